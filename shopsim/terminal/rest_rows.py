"""Breaches of rest-time rules as rows of a table: those that are alike share one, with all their dates."""

from __future__ import annotations

import datetime
from collections.abc import Iterator, Sequence

from shopsim.shop.shift_breaches import RestFinding

WEEKLY_REST = (
    "Weekly rest is the longest rest inside a week from Monday to Sunday, cut off at its ends. Averages of a night "
    "worker leave out one day of rest a week. A night worker here is who has three hours of the night in more than "
    "half of the shifts: a convention of this page; the law names no share, and courts have counted fewer nights."
)


def rest_rows(findings: Sequence[RestFinding]) -> Iterator[tuple[str, ...]]:
    """Shift and crews, what, rule or advice, dates in the first rotation, found, and what is asked for."""
    dates: dict[tuple[str, ...], list[datetime.date]] = {}
    for each in findings:
        who = f"{each.shift}: {', '.join(each.crews)}"
        asked = f"{each.required:.4g}" if each.required else "some"
        kind = "rule" if each.rule else "advice"
        dates.setdefault((who, f"{each.what} ({each.row})", kind, f"{each.found:.4g}", asked), []).append(each.date)
    for (who, what, kind, found, asked), on in dates.items():
        yield who, what, kind, _dates(on), found, asked


def _dates(on: Sequence[datetime.date]) -> str:
    """`Mon 05, Tue 06 Jan`: the month once, after the last of its days."""
    texts = []
    for i, date in enumerate(on):
        last = i + 1 == len(on) or (on[i + 1].year, on[i + 1].month) != (date.year, date.month)
        texts.append(f"{date:%a %d %b}" if last else f"{date:%a %d}")
    return ", ".join(texts)
