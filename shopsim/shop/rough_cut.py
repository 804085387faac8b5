"""Load against capacity on paper: can each place, printer and group of people keep up, and which week is the worst?

Start reading here. Orders become standard minutes (`rough_demand`, `rough_work`), shifts become hours (`rough_hours`).
A rough cut sees no queue: what it calls possible may still be late, what it calls impossible is.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import combinations
from typing import Literal

import numpy as np

from shopsim.shop.order_book import OrderLine
from shopsim.shop.rough_demand import Floats, arrivals, study_weeks
from shopsim.shop.rough_hours import Hours
from shopsim.shop.rough_work import Hands, Work, work_of
from shopsim.shop.scenario import Scenario
from shopsim.shop.skills import PRINTING

TIGHT, FULL = 0.85, 1.0
USUALLY_PRINTING = 0.65
"""MNT-08: a printer in mixed work really prints this share of its planned time at most."""
PRINT_ROOM = "print room"
# All groups of this many kinds of work are tried; shops with more skills keep the busiest.
_MOST_KINDS = 10

Kind = Literal["printer", "calender", "work_centre", "print_room", "people"]


@dataclass(frozen=True, slots=True)
class Load:
    """Hours asked for and there, week by week, of what runs short first at one place.

    `limit` says what that is: `seats`, `people` or `machine`. For `people` who serve several places, `places` names
    them.
    """

    id: str
    kind: Kind
    limit: Literal["seats", "people", "machine"]
    asked_h: tuple[float, ...]
    there_h: tuple[float, ...]
    places: tuple[str, ...] = ()

    @property
    def share(self) -> float:
        """Asked over there, all weeks together; infinite if something is asked of nobody."""
        return _share(sum(self.asked_h), sum(self.there_h))

    @property
    def by_week(self) -> tuple[float, ...]:
        """Asked over there in each week."""
        return tuple(_share(asked, there) for asked, there in zip(self.asked_h, self.there_h, strict=True))

    @property
    def peak(self) -> int:
        """Position of the week with the greatest share."""
        shares = self.by_week
        return shares.index(max(shares))


@dataclass(frozen=True, slots=True)
class RoughCut:
    """Mondays of the weeks studied, and the load of every place that has any, in the order of the file."""

    mondays: tuple[date, ...]
    loads: tuple[Load, ...]

    @property
    def hopeless(self) -> tuple[Load, ...]:
        """What can never keep up: asked for more than there is over all weeks together."""
        return tuple(load for load in self.loads if load.share > FULL)


def rough_cut(scenario: Scenario, order_lines: Sequence[OrderLine] = ()) -> RoughCut:
    """The load of a checked scenario over the weeks studied. Overtime and bought-in work are not counted on."""
    weeks = study_weeks(scenario)
    hours = Hours(scenario)
    work = work_of(scenario, arrivals(scenario, order_lines))
    printers = list(_printer_loads(scenario, hours, work))
    loads = [*printers, *_place_loads(scenario, hours, work)]
    shared = _shared_people(hours, work, loads)
    monday = scenario.shop.starts
    mondays = tuple(monday + timedelta(weeks=week) for week in weeks)
    return RoughCut(mondays, tuple(load for load in [*loads, *shared] if sum(load.asked_h) > 0))


def _printer_loads(scenario: Scenario, hours: Hours, work: Work) -> Iterator[Load]:
    """Printing shared among able printers so that they are as evenly busy as can be; their hands go to `work`."""
    there = {printer.id: hours.printer(printer) for printer in scenario.printers}
    asked = {printer.id: np.zeros(work.weeks) for printer in scenario.printers}
    for minutes in sorted(work.printing, key=len):
        for name, part in _even_parts(minutes, asked, there).items():
            asked[name] += part * minutes[name]
    for printer in scenario.printers:
        hands = asked[printer.id] * printer.attention_pct / 100
        work.hands[PRINT_ROOM][Hands(PRINTING, False)] += hands
        yield _load(printer.id, "printer", "machine", asked[printer.id], there[printer.id])


def _even_parts(minutes: dict[str, Floats], asked: dict[str, Floats], there: dict[str, Floats]) -> dict[str, float]:
    """The part of some printing each printer takes so that the busiest of them is as little busy as can be."""
    used = {name: float(asked[name].sum()) for name in minutes}
    room = {name: float(there[name].sum()) for name in minutes}
    needs = {name: float(minutes[name].sum()) for name in minutes}

    def parts(level: float) -> dict[str, float]:
        return {
            name: max(0.0, level * room[name] - used[name]) / needs[name] if needs[name] else 1.0 for name in minutes
        }

    low, high = 0.0, 1.0
    while sum(parts(high).values()) < 1 and high < 1e6:
        high *= 2
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if sum(parts(middle).values()) >= 1 else (middle, high)
    found = parts(high)
    total = sum(found.values())
    return {name: part / total for name, part in found.items()} if total else dict.fromkeys(minutes, 1 / len(minutes))


def _place_loads(scenario: Scenario, hours: Hours, work: Work) -> Iterator[Load]:
    seats = {centre.id: centre.seats for centre in scenario.work_centres}
    seats |= {drum.id: drum.count for drum in scenario.calenders}
    stops = {centre.id: centre.stops for centre in scenario.work_centres}
    drums = {drum.id for drum in scenario.calenders}
    for place in [*seats, PRINT_ROOM]:
        if place not in work.hands:
            continue
        kind: Kind = "print_room" if place == PRINT_ROOM else "calender" if place in drums else "work_centre"
        people = max(_groups(hours, place, kind, work.hands[place].items()), key=lambda load: load.share)
        if place in seats:
            able = hours.seats(seats[place], next(iter(work.hands[place])), stops.get(place))
            seat = _load(place, kind, "machine" if place in drums else "seats", work.seats[place], able)
            # The seats' hours are bounded by the people's: only where they say more are they what is short.
            yield seat if seat.share > people.share * (1 + 1e-9) else people
        else:
            yield people


def _groups(hours: Hours, name: str, kind: Kind, asked: Iterable[tuple[Hands, Floats]]) -> Iterator[Load]:
    """The load of every group of kinds of work on the people who can do any of them (Hall's condition)."""
    kinds = sorted(asked, key=lambda each: -float(each[1].sum()))[:_MOST_KINDS]
    for size in range(1, len(kinds) + 1):
        for group in combinations(kinds, size):
            total = np.sum([minutes for _, minutes in group], axis=0)
            yield _load(name, kind, "people", total, hours.people([hands for hands, _ in group]))


def _shared_people(hours: Hours, work: Work, loads: list[Load]) -> Iterator[Load]:
    """People who serve several places can be short together although each place alone looks well."""
    asked: dict[Hands, Floats] = {}
    places: dict[Hands, list[str]] = {}
    for place, kinds in work.hands.items():
        for hands, minutes in kinds.items():
            asked[hands] = asked.get(hands, 0.0) + minutes
            places.setdefault(hands, []).append(place)
    most = sorted(asked, key=lambda hands: -float(asked[hands].sum()))[:_MOST_KINDS]
    best: tuple[float, tuple[Hands, ...]] | None = None
    for size in range(1, len(most) + 1):
        for group in combinations(most, size):
            share = _share(float(sum(asked[h].sum() for h in group)), float(hours.people(list(group)).sum()))
            if best is None or share > best[0] * 1.0001:
                best = share, group
    if best is None:
        return
    where = tuple(dict.fromkeys(place for hands in best[1] for place in places[hands]))
    if len(where) > 1 and best[0] > 1.02 * max(load.share for load in loads if load.id in where):
        total = np.sum([asked[hands] for hands in best[1]], axis=0)
        there = hours.people(list(best[1]))
        yield Load("people", "people", "people", _hours(total), _hours(there), where)


def _load(name: str, kind: Kind, limit: Literal["seats", "people", "machine"], asked: Floats, there: Floats) -> Load:
    return Load(name, kind, limit, _hours(asked), _hours(there))


def _hours(minutes: Floats) -> tuple[float, ...]:
    return tuple((minutes / 60).tolist())


def _share(asked: float, there: float) -> float:
    if there > 0:
        return asked / there
    return float("inf") if asked > 0 else 0.0
