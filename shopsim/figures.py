"""Numbers as people read them: as many digits as the interval deserves, bounds rounded outward."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from shopsim.measures.measure_names import is_share, least_of
from shopsim.studies.precision import Interval

NOTHING = "-"
POINTS = 100.0
"""Points in a share: what shares are multiplied by when they are told, and the most that two of them can differ."""
ALIKE = "all runs alike"
# What is the same in every run differs by the rounding of sums at most.
_ROUNDING = 1e-9


class Figure(NamedTuple):
    """A number in words: its mean, and its interval as `78 to 84` and as `±3`, both empty where there is none."""

    mean: str
    between: str
    give_or_take: str

    @property
    def short(self) -> str:
        """Mean and half-width in one, e.g. `81 ±3`."""
        return f"{self.mean} {self.give_or_take}".rstrip()


def figure(found: Interval, scale: float = 1.0, least: float = -math.inf, most: float = math.inf,
           digits_alone: int | None = None, digits_least: int = 0) -> Figure:  # fmt: skip
    """An interval in words, multiplied by `scale`; bounds (scaled) never leave `least` to `most`.

    `digits_alone` is the number of decimals of a mean without an interval; three digits that count unless given. With
    one there are at least `digits_least`, however wide it is.
    """
    if math.isnan(found.mean):
        return Figure(NOTHING, "", "")
    mean = found.mean * scale
    alone = plain(mean) if digits_alone is None else _text(mean, digits_alone)
    if found.low is None or found.high is None or found.half_width is None:
        return Figure(alone, "", "")
    half_width = found.half_width * abs(scale)
    if half_width <= _ROUNDING * abs(mean) or half_width == 0:
        return Figure(alone, ALIKE, "")
    digits = max(digits_least, _digits(mean, half_width))
    low, high = max(least, found.low * scale), min(most, found.high * scale)
    between = f"{_text(_down(low, digits), digits)} to {_text(-_down(-high, digits), digits)}"
    return Figure(_text(mean, digits), between, f"±{_text(-_down(-half_width, digits), digits)}")


def percent(found: Interval) -> Figure:
    """A share from 0 to 1 in per cent, without the sign."""
    near_a_bound = not 0.01 <= found.mean <= 0.99 and found.mean not in (0.0, 1.0)
    return figure(found, 100, 0, 100, digits_alone=1 if near_a_bound else 0)


def measured(found: Interval, measure: str, scale: float) -> Figure:
    """A measure in words: shares in per cent, all else multiplied by `scale`; bounds stay where its means can lie."""
    return percent(found) if is_share(measure) else figure(found, scale, least_of(measure))


def plain(value: float) -> str:
    """A number without an interval: three digits that count, none of them after the point from 100 on."""
    if math.isnan(value):
        return NOTHING
    size = abs(value)
    return _text(value, 0 if size >= 100 or value == round(value) else 1 if size >= 10 else 2)


def _digits(mean: float, half_width: float) -> int:
    """Decimals such that the half-width shows one digit that counts, two if it begins with 1, and the mean three."""
    lead = math.floor(math.log10(half_width))
    digits = -lead + (half_width < 2 * 10.0**lead)
    size = math.floor(math.log10(abs(mean))) if mean else lead
    return max(0, min(digits, 2 - size, 3))


def _down(value: float, digits: int) -> float:
    """Rounded down, but not for a rounding error of the machine."""
    step = 10.0**digits
    return math.floor(value * step + 1e-9 * max(1.0, abs(value * step))) / step


def _text(value: float, digits: int) -> str:
    text = f"{value:,.{digits}f}".replace("-", "−")
    return text.lstrip("−") if not any(c in "123456789" for c in text) else text


def decimals(text: str) -> int:
    """How many digits a number as text has after the point."""
    return len(text.partition(".")[2])


def signed(found: Interval, scale: float = 1.0, digits_least: int = 0) -> Figure:
    """A difference in words, with its sign: mean `+15`, interval `+12 to +18`.

    Bounds of a difference of shares (scale 100) stay within 100 points.
    """
    if math.isnan(found.mean):
        return Figure(NOTHING, "", "")
    most = POINTS if scale == POINTS else math.inf
    text = figure(found, scale, -most, most, digits_least=digits_least)
    if found.low is None or found.high is None or text.between in ("", ALIKE):
        return Figure(with_sign(text.mean), text.between, "")
    low, high = text.between.split(" to ")
    return Figure(with_sign(text.mean), f"{with_sign(low)} to {with_sign(high)}", text.give_or_take)


def with_sign(text: str) -> str:
    """A number as text with the sign in front of it; nothing before 0."""
    if text.startswith(("-", "−")):
        return f"−{text[1:]}"
    return f"+{text}" if any(c in "123456789" for c in text) else text


def money(value: float) -> str:
    """An amount with three digits that count."""
    return rounded_to(value, step_of(abs(value)), round)


def rounded_to(value: float, step: int, rounded: Callable[[float], int]) -> str:
    """An amount in whole steps, with commas; `rounded` is `round`, `math.floor` or `math.ceil`."""
    amount = rounded(value / step) * step
    return f"{amount:,d}".replace("-", "−")


def step_of(size: float) -> int:
    """The power of ten, from 1 on, in which a size has three digits that count."""
    return int(10 ** max(0, math.floor(math.log10(size)) - 2)) if size >= 1 else 1
