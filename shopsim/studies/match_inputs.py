"""Inputs that may explain why a model misses what happened, each as one amount that can be moved either way."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from shopsim.clock import MINUTES_PER_DAY, clock_text, parse_clock
from shopsim.shop.base import write_distribution
from shopsim.shop.changes import Change, changed_values
from shopsim.shop.people import Crew, Shift
from shopsim.shop.printers import Printer
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import scenario_or_faults
from shopsim.shop.skills import PRINTING

# So many of a kind are tried, the busiest first: what has time to spare explains little.
_MOST_CREWS, _MOST_PRINTERS, _MOST_SHIFTS = 4, 3, 2
_MINUTES_STEP_PCT, _SPEED_STEP_PCT, _HOURS_STEP = 20.0, 15.0, 1.0
# Where the file has no breakdowns or faults: breakdowns in 100 running hours, and points, to begin with.
_NEW_BREAKDOWNS, _NEW_FAULTS = 1.0, 3.0
_NONE_LEFT = 0.02


@dataclass(frozen=True, slots=True)
class Input:
    """One input: its name, the unit of its amount (0 = as in the file), amounts to try first, and the changes that move
    it by an amount; `whole` amounts only where it counts people."""

    name: str
    unit: str
    steps: tuple[float, ...]
    moved: Callable[[float], tuple[Change, ...]]
    whole: bool = False


def moved_scenario(scenario: Scenario, one: Input, amount: float) -> Scenario | None:
    """The scenario with an input moved by an amount; None where no scenario is like that."""
    values = scenario_values(scenario)
    try:
        for change in one.moved(amount):
            values = changed_values(values, change)
    except ValueError:
        return None
    made = scenario_or_faults(values)
    return made if isinstance(made, Scenario) else None


def inputs_of(scenario: Scenario, busy: Mapping[str, float]) -> tuple[Input, ...]:
    """What may be wrong in a scenario; `busy` has the busy share of crews and printers by id, as far as known."""

    def rank(name: str) -> float:
        share = busy.get(name, 0.0)
        return -share if math.isfinite(share) else 0.0

    crews = [crew for crew in scenario.crews if crew.count]
    by_skill: dict[str, list[Crew]] = {}
    for crew in sorted(crews, key=lambda crew: rank(crew.id)):
        by_skill.setdefault(crew.home_skill, []).append(crew)
    printers = sorted(scenario.printers, key=lambda printer: rank(printer.id))[:_MOST_PRINTERS]
    shifts: dict[str, Shift] = scenario.by_id("shifts")
    worked = dict.fromkeys(crew.shift for crew in sorted(crews, key=lambda crew: rank(crew.id)))
    found: list[Input] = []
    for skill, listed in list(by_skill.items())[:_MOST_CREWS]:
        if skill != PRINTING:
            found.append(_minutes(skill, listed))
        found.append(_people(listed[0]))
    for printer in printers:
        found += [_speed(printer), _breakdowns(printer)]
    found += [_hours(shifts[name]) for name in list(worked)[:_MOST_SHIFTS] if shifts[name].weeks]
    return (*found, *_faults(scenario))


def _minutes(skill: str, crews: list[Crew]) -> Input:
    def moved(pct: float) -> tuple[Change, ...]:
        return tuple(
            Change("set", f"crews.{crew.id}.efficiency_pct", min(200.0, crew.efficiency_pct / (1 + pct / 100)))
            for crew in crews
        )

    return Input(f"{skill.replace('_', ' ')} minutes", "%", (-_MINUTES_STEP_PCT, _MINUTES_STEP_PCT), moved)


def _people(crew: Crew) -> Input:
    def moved(heads: float) -> tuple[Change, ...]:
        return (Change("set", f"crews.{crew.id}.count", max(1, crew.count + round(heads))),)

    steps = (-1.0, 1.0) if crew.count > 1 else (1.0,)
    return Input(f"people in {_spoken(crew.id)}", "people", steps, moved, whole=True)


def _speed(printer: Printer) -> Input:
    def moved(pct: float) -> tuple[Change, ...]:
        path = f"printers.{printer.id}.modes"
        return tuple(
            Change("set", f"{path}.{mode.id}.achieved_share", min(1.0, mode.achieved_share * (1 + pct / 100)))
            for mode in printer.modes
        )

    faster = all(mode.achieved_share < 1 for mode in printer.modes)
    steps = (-_SPEED_STEP_PCT, _SPEED_STEP_PCT) if faster else (-_SPEED_STEP_PCT,)
    return Input(f"speed of {_spoken(printer.id)}", "%", steps, moved)


def _breakdowns(printer: Printer) -> Input:
    rule, path = printer.breakdowns, f"printers.{printer.id}.breakdowns"
    key = "every_calendar_h" if rule is not None and rule.every_calendar_h is not None else "every_running_h"
    law = None if rule is None else getattr(rule, key)
    now = 0.0 if law is None else 100 / law.mean

    def moved(amount: float) -> tuple[Change, ...]:
        wanted = now + amount
        if wanted <= _NONE_LEFT * max(now, _NEW_BREAKDOWNS):
            return (Change("set", path, None),)
        if law is None:
            return (Change("set", path, {"every_running_h": 100 / wanted}),)
        return (Change("set", f"{path}.{key}", write_distribution(law.scaled(now / wanted))),)

    hours = "hours" if key == "every_calendar_h" else "running hours"
    steps = (-now, now) if now else (_NEW_BREAKDOWNS, 8 * _NEW_BREAKDOWNS)
    return Input(f"breakdowns of {_spoken(printer.id)}", f"in 100 {hours}", steps, moved)


def _hours(shift: Shift) -> Input:
    def moved(hours: float) -> tuple[Change, ...]:
        # Whole five minutes: the clock of a shift plan.
        extra = round(hours * 12) * 5
        return tuple(
            Change("set", f"shifts.{shift.id}.weeks[{w}].blocks[{b}].hours", _longer(block.hours, extra))
            for w, week in enumerate(shift.weeks)
            for b, block in enumerate(week.blocks)
        )

    return Input(f"hours of the shift {_spoken(shift.id)}", "h a day", (-_HOURS_STEP, _HOURS_STEP), moved)


def _longer(hours: str, extra_min: int) -> str:
    start, end = hours.split("-")
    length = (parse_clock(end) - parse_clock(start)) % MINUTES_PER_DAY or MINUTES_PER_DAY
    if not 0 < length + extra_min < MINUTES_PER_DAY:
        raise ValueError(f"no shift lasts {length + extra_min} minutes")
    return f"{start}-{clock_text((parse_clock(end) + extra_min) % MINUTES_PER_DAY)}"


def _faults(scenario: Scenario) -> Iterator[Input]:
    names = {"print_fault_pct": "print faults", "sewing_fault_pct": "sewing faults"}
    for key, name in names.items():
        now: float = getattr(scenario.policies.quality, key)
        if key == "print_fault_pct" and not scenario.printers:
            continue
        yield Input(name, "points", (-now / 2, now) if now else (_NEW_FAULTS,), _set_to(f"policies.quality.{key}", now))


def _set_to(path: str, now: float) -> Callable[[float], tuple[Change, ...]]:
    def moved(points: float) -> tuple[Change, ...]:
        return (Change("set", path, min(100.0, max(0.0, now + points))),)

    return moved


def _spoken(name: str) -> Any:
    return name.replace("_", " ")
