"""What good practice in shift work advises against, softer than the rules, and what a stricter reading of a rule finds.

LAW-08, LAW-09: a regulator's guidance. It names no hour before which a start is early, nor from which a shift is long
among those in a row: here 06:00 (common practice, no source) and the 10 h of LAW-09.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from math import ceil, floor

from shopsim.craft.shift_hours import DAY_MIN, H_MIN, SLACK_H, Worked, rests_h
from shopsim.craft.shift_rules import DIRECTIVE, NIGHT_SHIFT, Breach, Rules, is_night, is_night_worker, long_nights
from shopsim.craft.weekly_rest import weekly_rests

MOST_SHIFT_H, MOST_NIGHT_H, LONG_H, EARLY_MIN = 12.0, 8.0, 10.0, 6 * 60.0
MOST_NIGHTS, MOST_DAYS, NIGHTS_OF_SLEEP, QUICK_RETURN_H = 3, 7, 2, 11.0
IN_A_ROW, QUICK_RETURN, EARLY_START = "in a row", "quick return", "early start"
INSIDE_THE_WEEK = "weekly rest inside Monday to Sunday"
IF_NIGHT_WORKERS = f"{NIGHT_SHIFT}, if these people count as night workers"
# Above half of the shifts they are taken for night workers; courts and national laws have counted fewer nights.
_PERHAPS_FROM_SHARE = 0.25


def guidance(shifts: Sequence[Worked], rules: Rules = DIRECTIVE) -> list[Breach]:
    """What good practice advises against: long shifts and nights, early starts, many of one kind in a row, quick
    returns, and changes between days and nights without two nights of sleep; and where the rules leave room: rests cut
    by the turn of the week, long nights of people who may count as night workers."""
    nights = [shift for shift in shifts if is_night(shift, rules)]
    early = [shift for shift in shifts if shift.start % DAY_MIN < EARLY_MIN]
    long = [shift for shift in shifts if shift.span_h > LONG_H + SLACK_H]
    found = [
        Breach("LAW-08", what, shift.start, shift.span_h, most)
        for what, chosen, most in (("long shift", shifts, MOST_SHIFT_H), ("long night", nights, MOST_NIGHT_H))
        for shift in chosen
        if shift.span_h > most + SLACK_H
    ]
    for what, chosen, most in (
        ("nights", nights, MOST_NIGHTS), ("early starts", early, MOST_NIGHTS), ("long shifts", long, MOST_NIGHTS),
        ("days", shifts, MOST_DAYS),
    ):  # fmt: skip
        found += [Breach("LAW-08", f"{what} {IN_A_ROW}", at, row, most) for at, row in _rows(chosen, most)]
    found += [Breach("LAW-08", EARLY_START, s.start, s.start % DAY_MIN / H_MIN, EARLY_MIN / H_MIN) for s in early]
    found += [
        Breach("LAW-09", QUICK_RETURN, after.start, rest, QUICK_RETURN_H)
        for (_, after), rest in zip(pairwise(shifts), rests_h(shifts), strict=True)
        if rest < QUICK_RETURN_H - SLACK_H
    ]
    return [
        *found, *_changes_without_sleep(shifts, rules), *_rests_cut_by_the_week(shifts, rules),
        *_nights_of_perhaps_night_workers(shifts, rules),
    ]  # fmt: skip


def _changes_without_sleep(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    """Changes from nights to other shifts or back with fewer than two whole nights between."""
    for before, after in pairwise(shifts):
        if is_night(before, rules) == is_night(after, rules):
            continue
        first = ceil((before.end - rules.night_start_min) / DAY_MIN)
        last = floor((after.start - rules.night_end_min) / DAY_MIN)
        nights = max(0, last - first + 1)
        if nights < NIGHTS_OF_SLEEP:
            yield Breach("LAW-08", "nights of sleep at a change", after.start, nights, NIGHTS_OF_SLEEP)


def _rests_cut_by_the_week(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    """Weeks with rest enough, but too little of it in one piece between Monday and Sunday."""
    for week in weekly_rests(shifts, rules.weekly_rest_h):
        if week.enough and week.inside_h < rules.weekly_rest_h - SLACK_H:
            reason = f"{week.longest_h:.4g} h whole, across the turn of the week"
            yield Breach("LAW-03", INSIDE_THE_WEEK, week.monday, week.inside_h, rules.weekly_rest_h, reason)


def _nights_of_perhaps_night_workers(shifts: Sequence[Worked], rules: Rules) -> Iterator[Breach]:
    """Long nights of people with a quarter to half of their shifts at night."""
    if not rules.heavy_work or is_night_worker(shifts, rules):
        return
    nights = sum(is_night(shift, rules) for shift in shifts)
    if nights >= _PERHAPS_FROM_SHARE * len(shifts):
        for shift in long_nights(shifts, rules):
            yield Breach("LAW-05", IF_NIGHT_WORKERS, shift.start, shift.net_h, rules.night_h)


def _rows(shifts: Sequence[Worked], most: int) -> Iterator[tuple[float, int]]:
    """(start of the first shift, days) of each run of consecutive days longer than `most`."""
    starts = {int(shift.start // DAY_MIN): shift.start for shift in reversed(shifts)}
    for first, at in sorted(starts.items()):
        if first - 1 in starts:
            continue
        days = next(n for n in range(1, len(starts) + 1) if first + n not in starts)
        if days > most:
            yield at, days
