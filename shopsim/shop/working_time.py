"""Working-time rules on paper: least rest, breaks due and most hours, as a country's law or an agreement sets them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import pairwise

from pydantic import Field, model_validator

from shopsim.clock import MINUTES_PER_DAY, parse_clock
from shopsim.craft.shift_rules import DIRECTIVE, Rules
from shopsim.shop.base import Base, ClockText, Label, Positive, row


class DueBreak(Base):
    """Above so many hours worked in a shift a break is due, of `least_min` minutes in all (null: of any length)."""

    above_h: float = Field(ge=0, lt=24)
    least_min: Positive | None = None


class WorkingTime(Base):
    """The rules by which `check` and `shifts` judge every shift; what is left out is as in Directive 2003/88/EC.

    For example the breaks of two countries: `{breaks: [{above_h: 6, least_min: 20}]}` (United Kingdom, Working Time
    Regulations 1998, reg. 12), `{breaks: [{above_h: 6, least_min: 30}, {above_h: 9, least_min: 45}]}` (Germany, ArbZG
    s. 4, from memory). Local law and agreements rule; what stands here is what the shop says they ask.
    """

    daily_rest_h: float = row(11, "LAW-01", ge=0, le=24)
    breaks: tuple[DueBreak, ...] = row((DueBreak(above_h=6),), "LAW-02", min_length=1, max_length=10)
    weekly_rest_h: float = row(35, "LAW-03", ge=1, le=168)
    weekly_average_h: float = row(48, "LAW-04", gt=0, le=168)
    reference_weeks: int = row(17, "LAW-04", ge=1, le=53)
    night_begins: ClockText = row("23:00", "LAW-07")
    night_ends: ClockText = row("06:00", "LAW-07")
    night_shift_from_h: float = row(3, "LAW-05", gt=0, le=24)
    """Hours in the night that make a shift a night shift."""
    night_average_h: float = row(8, "LAW-05", gt=0, le=24)
    night_shift_h: float = row(8, "LAW-05", gt=0, le=24)
    """The most for each night shift with special hazards or heavy strain."""
    heavy_work: bool = True
    """Whether night work here is of that kind, as at hot plates and rolls."""
    note: Label = ""
    """Which law or agreement this is from."""

    @model_validator(mode="after")
    def _makes_sense(self) -> WorkingTime:
        for before, after in pairwise(self.breaks):
            if after.above_h <= before.above_h:
                raise ValueError(f"breaks rise by above_h, found {after.above_h:g} after {before.above_h:g}")
            if (after.least_min or 0) < (before.least_min or 0):
                raise ValueError(f"a break does not get shorter by a longer day, found above_h: {after.above_h:g}")
        if self.night_begins == self.night_ends:
            raise ValueError(f"the night ends when it begins, {self.night_ends}")
        return self

    @property
    def rules(self) -> Rules:
        """The same as the arithmetic takes it."""
        begins, ends = parse_clock(self.night_begins), parse_clock(self.night_ends)
        return Rules(
            daily_rest_h=self.daily_rest_h,
            breaks=tuple((each.above_h, each.least_min) for each in self.breaks),
            weekly_rest_h=self.weekly_rest_h,
            weekly_average_h=self.weekly_average_h,
            reference_weeks=self.reference_weeks,
            night_start_min=begins,
            night_end_min=ends if ends > begins else ends + MINUTES_PER_DAY,
            night_shift_from_h=self.night_shift_from_h,
            night_average_h=self.night_average_h,
            night_h=self.night_shift_h,
            heavy_work=self.heavy_work,
        )


def rules_in_force(working_time: WorkingTime | None) -> Rules:
    """The rules to judge by: the file's, or the Directive's where the file has none."""
    return DIRECTIVE if working_time is None else working_time.rules


def below_the_directive(rules: Rules) -> Iterator[str]:
    """In what these rules ask less than the Directive, which only some laws and agreements may."""
    for what, number, unit, more_is_stricter in _COMPARED:
        asked, usual = number(rules), number(DIRECTIVE)
        if asked < usual if more_is_stricter else asked > usual:
            yield f"{what} ({asked:g} against {usual:g} {unit})"


def directive_beside(rules: Rules) -> Rules:
    """The Directive for the work that these rules are about: as heavy, at night when they say if that will do."""
    night = max((rules, DIRECTIVE), key=lambda each: each.night_end_min - each.night_start_min)
    return replace(
        DIRECTIVE,
        heavy_work=rules.heavy_work,
        night_start_min=night.night_start_min,
        night_end_min=night.night_end_min,
    )


_COMPARED: tuple[tuple[str, Callable[[Rules], float], str, bool], ...] = (
    ("daily rest", lambda rules: rules.daily_rest_h, "h", True),
    ("weekly rest", lambda rules: rules.weekly_rest_h, "h", True),
    ("length of the night", lambda rules: (rules.night_end_min - rules.night_start_min) / 60, "h", True),
    ("hours before a break", lambda rules: rules.breaks[0][0], "h", False),
    ("weekly hours", lambda rules: rules.weekly_average_h, "h", False),
    ("reference period", lambda rules: rules.reference_weeks, "weeks", False),
    ("night part of a night shift", lambda rules: rules.night_shift_from_h, "h", False),
    ("night hours on average", lambda rules: rules.night_average_h, "h", False),
    ("heavy night shift", lambda rules: rules.night_h, "h", False),
)
