"""Shifts and crews on paper: when people are there, what they can do, what they cost, how often they are away."""

from __future__ import annotations

import datetime
from collections.abc import Collection
from typing import Annotated, Literal

from pydantic import Field, model_validator

from shopsim.calendars import Calendar, always_open
from shopsim.clock import MINUTES_PER_DAY, parse_clock
from shopsim.shift_plans import ShiftSpan, build_calendar
from shopsim.shop.base import Base, Id, Label, NotNegative, Percent, Positive, Spread, highest, row

WEEKDAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
HOURS_PATTERN = r"^\d{1,2}:\d{2}-\d{1,2}:\d{2}$"
Hours = Annotated[str, Field(pattern=HOURS_PATTERN)]


def _pair(text: str) -> tuple[float, float]:
    start, end = (parse_clock(part) for part in text.split("-"))
    return start, end if end > start else end + MINUTES_PER_DAY


LONGEST_CLOSURE_DAYS = 1000


class ShiftBlock(Base):
    """The same hours on several days: `{days: [mon, tue], hours: "06:00-14:00", breaks: ["10:00-10:30"]}`."""

    days: tuple[Weekday, ...] = Field(min_length=1, max_length=7)
    hours: Hours
    breaks: tuple[Hours, ...] = Field(default=(), max_length=10)

    @model_validator(mode="after")
    def _hours_make_sense(self) -> ShiftBlock:
        self.spans()
        return self

    def spans(self) -> list[ShiftSpan]:
        """One span a day; hours that end at or before they begin run past midnight."""
        start, end = _pair(self.hours)
        if start == MINUTES_PER_DAY:
            raise ValueError(f"hours begin from 00:00 to 23:59, found {self.hours}")
        breaks = [_pair(text) for text in self.breaks]
        breaks = [(a + MINUTES_PER_DAY, b + MINUTES_PER_DAY) if a < start else (a, b) for a, b in breaks]
        reached = start
        for text, (begin, finish) in zip(self.breaks, breaks, strict=True):
            if finish > end:
                raise ValueError(f"the break {text} is not inside the hours {self.hours}")
            if begin < reached:
                raise ValueError(f"the break {text} overlaps the one before it, or stands out of order")
            reached = finish
        if sum(finish - begin for begin, finish in breaks) >= end - start:
            raise ValueError(f"the breaks leave no time to work in {self.hours}")
        return [ShiftSpan(WEEKDAYS.index(day), start, end, tuple(breaks)) for day in self.days]


class Week(Base):
    """One week of a rotation. An empty list is a week off."""

    blocks: tuple[ShiftBlock, ...] = Field(default=(), max_length=50)


class Shift(Base):
    """A pattern of one or more weeks that repeats, with its pay premium and handover loss.

    `round_the_clock` replaces the weeks: always there, no closures or absences (for theory and unmanned seats).
    """

    id: Id
    name: Label = ""
    weeks: tuple[Week, ...] = Field(default=(), max_length=26)
    first_week: int = Field(default=0, ge=0, le=25)
    premium_pct: Percent = row(0, "PPL-18", 0, 100)
    handover_min: NotNegative = row(0, "PPL-17", 0, 20)
    round_the_clock: bool = False

    @model_validator(mode="after")
    def _has_hours(self) -> Shift:
        if self.round_the_clock == bool(self.weeks):
            raise ValueError("give either `weeks` or `round_the_clock: true`")
        if self.weeks and not any(week.blocks for week in self.weeks):
            raise ValueError("no week of this shift has any hours")
        return self

    def rotation(self) -> list[list[ShiftSpan]]:
        """The spans of each week of the rotation."""
        return [[span for block in week.blocks for span in block.spans()] for week in self.weeks]

    def calendar(self, horizon_min: float, closed_days: Collection[int] = ()) -> Calendar:
        """The pattern laid out from the start Monday on; round the clock it knows no closed days.

        Raises ValueError if the shift overlaps itself.
        """
        if self.round_the_clock:
            return always_open(horizon_min)
        return build_calendar(self.rotation(), horizon_min, closed_days, self.first_week)


class Absence(Base):
    """Sickness in spells: a chance a person-day to fall ill, and whole days away."""

    new_spell_pct_per_day: Percent = row(0.9, "PPL-13", 0.5, 1.5)
    spell_days: Spread = row({"log_normal": {"median": 2, "p90": 10}}, "PPL-13", validate_default=True)


class Learning(Base):
    """A crew of beginners: start speed, and working weeks until full speed, in a straight line (SEW-36)."""

    start_speed_pct: float = row(50, "SEW-38", 30, 90, gt=0, le=100)
    weeks_to_full: Positive = row(4, "SEW-36", 0.5, 30)


class SideWork(Base):
    """What people do who find nothing to do: tidying, restocking, machine care.

    Whoever has begun a side job ends it before looking for work again; the end of the shift ends it too. No side job is
    shorter than a minute.
    """

    minutes: Spread
    note: Label = ""

    @model_validator(mode="after")
    def _lasts(self) -> SideWork:
        if highest(self.minutes) < 1:
            raise ValueError(f"a side job lasts at least a minute, found {self.minutes.describe()}")
        return self


class Crew(Base):
    """Several people alike. `skills` gives a level 1-4 for each skill, the home skill first."""

    id: Id
    name: Label = ""
    count: int = Field(default=1, ge=0, le=500)
    skills: dict[Id, Annotated[int, Field(ge=1, le=4)]] = Field(min_length=1, max_length=40)
    shift: Id
    wage_per_h: NotNegative = row(28, "PPL-11", 9, 54)
    efficiency_pct: float = row(100, "SEW-32", 65, 105, gt=0, le=200)
    pace_spread_pct: Percent = row(0, "SEW-33", 0, 20)
    absence: Absence | None = None
    learning: Learning | None = None
    at_shift_end: Literal["hand_over", "keep"] = "hand_over"
    side_work: SideWork | None = None

    @property
    def home_skill(self) -> str:
        """What these people do first."""
        return next(iter(self.skills))


class Closure(Base):
    """The shop is closed on these days, both included."""

    first: datetime.date
    last: datetime.date
    note: Label = ""

    @model_validator(mode="after")
    def _ordered(self) -> Closure:
        if self.last < self.first:
            raise ValueError(f"the closure ends {self.last} before it begins {self.first}")
        if (self.last - self.first).days > LONGEST_CLOSURE_DAYS:
            raise ValueError(f"a closure lasts at most {LONGEST_CLOSURE_DAYS} days")
        return self
