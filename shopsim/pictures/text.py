"""Text in pictures: names made safe and short, numbers with their intervals in words."""

from __future__ import annotations

import math
import re
import textwrap
from collections.abc import Iterable

from shopsim.figures import ALIKE, figure, money, plain, signed
from shopsim.studies.precision import Interval

LABEL_LETTERS = 46
# Also between the words of a currency and its number; `15 %` and `0.8 m` are read in one.
_BEFORE_UNIT = re.compile(
    r"(?<=\d) (?=(?:%|°C|m²|m|cm|mm|km|kg|g|l|h|min|s|kW|kWh|points?|days?|weeks?|years?|[A-Z]{2,4})(?!\w))"
)

_RANGE = re.compile(r"\((\S+) to (\S+)\)")


def escaped(name: str) -> str:
    """A name from a file as plain text inside a figure: Plotly would take `<a href>` and `&lt;` for markup."""
    return name.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;").replace("\n", " ")


def label(name: str, letters: int = LABEL_LETTERS) -> str:
    """A name as a label: escaped, underscores as spaces, cut in its middle where it is too long for a phone."""
    return escaped(shortened(name, letters))


def shortened(name: str, letters: int) -> str:
    """A name in words, cut in its middle where it is longer."""
    words = spoken_id(name)
    if len(words) > letters:
        # What tells names of one kind apart often stands at their end.
        tail = letters // 3
        words = f"{words[: letters - tail - 1].rstrip()}…{words[-tail:].lstrip()}"
    return words


def unbroken(text: str) -> str:
    """A text whose numbers stay on one line with their signs and units, and intervals whole: hard spaces in them."""
    return _RANGE.sub("(\\1\u00a0to\u00a0\\2)", _BEFORE_UNIT.sub("\u00a0", text))


def wrapped(name: str, letters: int = LABEL_LETTERS) -> str:
    """A name as a label of as many lines as it takes, escaped; only a word longer than a line is broken."""
    return "<br>".join(escaped(line) for line in textwrap.wrap(unbroken(spoken_id(name)), letters)) or escaped(name)


def spoken_id(name: str) -> str:
    """An id in words."""
    return name.replace("_", " ")


def capital(text: str) -> str:
    """With a capital letter, for the beginning of a sentence that an id begins."""
    return text[:1].upper() + text[1:]


def between(mean: float, low: float | None, high: float | None, scale: float = 1.0, least: float = -math.inf,
            most: float = math.inf) -> str:  # fmt: skip
    """A mean with its interval, e.g. `81 (78 to 84)`; the mean alone where there is none."""
    text = figure(_interval(mean, low, high), scale, least, most)
    return text.mean if text.between in ("", ALIKE) else f"{text.mean} ({text.between})"


def change(mean: float, low: float | None, high: float | None, scale: float = 1.0) -> str:
    """A difference with its sign and interval, e.g. `+15 (+12 to +18)`."""
    text = signed(_interval(mean, low, high), scale)
    return text.mean if text.between in ("", ALIKE) else f"{text.mean} ({text.between})"


def _interval(mean: float, low: float | None, high: float | None) -> Interval:
    if low is None or high is None or math.isnan(low) or math.isnan(high):
        return Interval(mean, None, None, None, 1)
    return Interval(mean, low, high, (high - low) / 2, 2)


def per_cent(share: float) -> str:
    """A share from 0 to 1 in whole per cent, with a decimal near 0 and 1; never 0 or 100 unless it is."""
    if math.isnan(share):
        return "-"
    digits = 0 if 0.01 <= share <= 0.99 or share in (0.0, 1.0) or not 0 < share < 1 else 1
    value = round(share * 100, digits)
    if digits and value in (0.0, 100.0):
        return "under 0.1 %" if share < 0.5 else "over 99.9 %"
    return f"{value:.{digits}f} %"


def number(value: float) -> str:
    """A number alone, three digits that count, with a true minus sign."""
    return money(value) if abs(value) >= 1000 else plain(value).replace("-", "−")


def listed(parts: Iterable[str]) -> str:
    """`a, b and c`."""
    given = list(parts)
    return " and ".join([", ".join(given[:-1]), given[-1]] if len(given) > 1 else given)


def counted(count: float, one: str, many: str | None = None) -> str:
    """`1 order`, `1,200 orders`."""
    return f"{plain(count)} {one if count == 1 else many or one + 's'}"
