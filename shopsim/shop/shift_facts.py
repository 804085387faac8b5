"""What a shift pattern asks of a person: hours, nights, weekends, how long it gets, and what is paid on top."""

from __future__ import annotations

from dataclasses import dataclass

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK
from shopsim.craft.shift_hours import Worked
from shopsim.craft.shift_rules import DIRECTIVE, Rules, night_hours
from shopsim.shop.people import Shift
from shopsim.shop.shift_breaches import worked_shifts

_WEEKEND = (5, 6)


@dataclass(frozen=True, slots=True)
class ShiftFacts:
    """Of one person, as a mean over the weeks of the rotation; `night_h` and `weekend_h` count breaks too.

    `paid_h` is working hours with the shift's premium on top, as hours of plain wage.
    """

    work_h: float
    paid_h: float
    night_h: float
    weekend_h: float
    shifts: float
    longest_h: float


def shift_facts(shift: Shift, rules: Rules = DIRECTIVE) -> ShiftFacts:
    """The facts of a pattern that is not round the clock; the night is that of the rules."""
    weeks = len(shift.weeks)
    # The second rotation holds the nights that begin on the last Sunday of the first.
    turns = [turn for turn in worked_shifts(shift, 2 * weeks) if weeks <= turn.start / MINUTES_PER_WEEK < 2 * weeks]
    work_h = sum(turn.net_h for turn in turns) / weeks
    return ShiftFacts(
        work_h, work_h * (1 + shift.premium_pct / 100), sum(night_hours(turn, rules) for turn in turns) / weeks,
        sum(turn.span_h for turn in turns if _weekday(turn) in _WEEKEND) / weeks, len(turns) / weeks,
        max((turn.span_h for turn in turns), default=0.0),
    )  # fmt: skip


def _weekday(turn: Worked) -> int:
    return int(turn.start // MINUTES_PER_DAY) % 7
