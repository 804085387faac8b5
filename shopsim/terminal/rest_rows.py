"""Breaches of rest-time rules as rows of a table: those that are alike share one, with all their dates."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from shopsim.shop.rest_words import asked_words, found_words, who
from shopsim.shop.shift_breaches import RestFinding

HOW_JUDGED = (
    "A finding is about each of the people named. Weeks run from Monday to Sunday; a weekly rest across the turn of a "
    "week counts whole, for one of the two weeks. Weekly hours and night hours are averages of a reference period from "
    "that week on; where a rotation does not fit into it a whole number of times, they may lie above or below those of "
    "the rotation. Averages of a night worker leave out one day of rest a week. A night worker here is who has enough "
    "of the night in more than half of the shifts: a convention of this page; the law names no share, and courts have "
    "counted fewer nights, so that from a quarter of the shifts on long nights are advice. What holds for heavy or "
    "hazardous night work is asked of all night work, unless the file says otherwise."
)
_AS_ABOVE = "as above"


def rest_rows(findings: Sequence[RestFinding], words: Mapping[str, str] | None = None) -> Iterator[tuple[str, ...]]:
    """Shift and crews with their people (`as above` where they are those of the row before), what, rule or advice,
    dates in the first rotation, found, and asked for; `words` say what parts are called, by id."""
    dates: dict[tuple[str, ...], list[datetime.date]] = {}
    for each in (_called(each, words or {}) for each in findings):
        what = f"{each.what}: {each.reason}" if each.reason else each.what
        whose = f"{each.shift}: {', '.join(who(each))}" if each.crews else each.shift
        row = (
            whose, f"{what} ({each.row})", "rule" if each.rule else "advice",
            found_words(each), asked_words(each),
        )  # fmt: skip
        dates.setdefault(row, []).append(each.date)
    above = ""
    for (whose, what, kind, found, asked), on in dates.items():
        yield _AS_ABOVE if whose == above else whose, what, kind, _dates(on), found, asked
        above = whose


def _called(finding: RestFinding, words: Mapping[str, str]) -> RestFinding:
    crews = tuple(words.get(crew, crew) for crew in finding.crews)
    return replace(finding, shift=words.get(finding.shift, finding.shift), crews=crews)


def _dates(on: Sequence[datetime.date]) -> str:
    """`Mon 05, Tue 06 Jan`: each day once, the month once, after the last of its days."""
    texts = []
    on = list(dict.fromkeys(on))
    for i, date in enumerate(on):
        last = i + 1 == len(on) or (on[i + 1].year, on[i + 1].month) != (date.year, date.month)
        texts.append(f"{date:%a %d %b}" if last else f"{date:%a %d}")
    return ", ".join(texts)
