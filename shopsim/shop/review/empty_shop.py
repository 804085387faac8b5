"""How soon an order could leave a shop that does nothing else: the stages of its route, and a clock to walk them by."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

from shopsim.calendars import Calendar, union
from shopsim.craft.fixation import calender_speed_m_per_h
from shopsim.craft.sewers import skill_speed
from shopsim.craft.waits import wait_in_line_min
from shopsim.shop.people import Shift
from shopsim.shop.printers import Calender, InlineFixation, OfflineFixation
from shopsim.shop.products import At, Product, Rest
from shopsim.shop.review.paper import Paper
from shopsim.shop.rough_work import piece_at, printed_piece, share_of_pieces
from shopsim.shop.route_times import printers_for
from shopsim.shop.skills import PRINTING, skill_for_calenders
from shopsim.shop.work_centres import WorkCentre

Sizes = tuple[tuple[float, float, float], ...]
BY_THE_CLOCK = ""


class Step(NamedTuple):
    """Minutes, and the skill whose hours count."""

    minutes: float
    skill: str


class Stage(NamedTuple):
    """Minutes at one step: of the first bundle, and of the whole line with all seats at it.

    `skill` says whose hours count, `BY_THE_CLOCK` nobody's. `seats` is what works at once, `load` the place's share.
    """

    place: str
    skill: str
    first_min: float
    all_min: float
    seats: int = 1
    load: float = 0.0

    @property
    def wait_min(self) -> float:
        """The usual wait in line, were all jobs like this one."""
        return wait_in_line_min(self.first_min, self.seats, self.load) if self.first_min else 0.0


class Clock:
    """Working hours by skill, of shifts laid out in one way."""

    def __init__(self, paper: Paper, calendars: dict[str, Calendar]) -> None:
        self._crews = paper.hours.crews
        self._calendars = calendars
        self._by_skill: dict[str, Calendar] = {}

    def hours(self, skill: str) -> Calendar:
        """When somebody with a skill works."""
        if skill not in self._by_skill:
            shifts = {crew.shift for crew in self._crews if skill in crew.skills}
            found = [self._calendars[shift] for shift in shifts]
            # A printer goes on in the breaks of its operator.
            self._by_skill[skill] = union([each.envelope() for each in found] if skill == PRINTING else found)
        return self._by_skill[skill]


def plain_calendars(shifts: Sequence[Shift], reach_min: float) -> dict[str, Calendar]:
    """The patterns themselves, closures left out."""
    return {shift.id: shift.calendar(reach_min) for shift in shifts}


def steps_of(stages: Sequence[Stage], in_line: bool = False) -> list[Step]:
    """What a line goes through: its first bundle at each stage, all at the slowest; `in_line` with usual waits."""
    slowest = max(range(len(stages)), key=lambda i: stages[i].all_min - stages[i].first_min, default=-1)
    found = []
    for i, stage in enumerate(stages):
        minutes = max(stage.first_min, stage.all_min) if i == slowest else stage.first_min
        found.append(Step(minutes + (stage.wait_min if in_line else 0.0), stage.skill))
    return found


def made_at(steps: Sequence[Step], start: float, clock: Clock) -> float:
    """When the last step of a line is done that comes to the first at `start`; infinity if never."""
    t = start
    for minutes, skill in steps:
        if math.isinf(minutes):
            return math.inf
        t = t + minutes if skill == BY_THE_CLOCK else clock.hours(skill).finish(t, minutes)
    return t


class Routes:
    """Stages of order lines; what follows from a size is worked out once."""

    def __init__(self, paper: Paper) -> None:
        self.paper = paper
        self._centres: dict[str, WorkCentre] = paper.scenario.by_id("work_centres")
        self._shares: dict[str, float] = {}
        self._heads: dict[str, int] = {}
        self._each = lru_cache(maxsize=10_000)(self._piece_min)
        self._prints = lru_cache(maxsize=10_000)(self._printed)
        self._speeds: dict[str, float] = {}
        self._products: dict[str, Product] = paper.scenario.by_id("products")

    def stages(self, product: Product, pieces: int, sizes: Sizes) -> list[Stage]:
        """The way of one order line through the shop, printing first."""
        found = list(self._printing(product, pieces, sizes)) if product.print_step else []
        for number, op in enumerate(product.route):
            if isinstance(op, Rest):
                found.append(Stage("rest", BY_THE_CLOCK, op.minutes.mean, op.minutes.mean))
            elif isinstance(op, At):
                found.append(self._at(product, number, op, pieces, sizes))
        return found

    def desk(self, place: str, minutes: float) -> Stage:
        """One job at a place: an artwork check, an order check."""
        skill = self._centres[place].needed_skill
        each_min = minutes / self._speed(skill)
        return Stage(place, skill, each_min, each_min, self._seats(place, skill), self._load(place))

    def _at(self, product: Product, number: int, op: At, pieces: int, sizes: Sizes) -> Stage:
        centre = self._centres[op.at]
        skill = centre.needed_skill
        bundle = min(pieces, product.bundle_pieces)
        set_up_min = centre.set_up_min.mean * share_of_pieces(op)
        each_min = self._each(product.id, number, sizes)
        bundles = math.ceil(pieces / product.bundle_pieces)
        seats = self._seats(op.at, skill)
        total_min = (bundles * set_up_min + pieces * each_min) / min(seats, bundles)
        speed = self._speed(skill)
        first_min = (set_up_min + bundle * each_min) / speed
        return Stage(op.at, skill, first_min, total_min / speed, seats, self._load(op.at))

    def _piece_min(self, product: str, number: int, sizes: Sizes) -> float:
        model = self._products[product]
        op = model.route[number]
        assert isinstance(op, At)  # stages() asks for these only
        centre = self._centres[op.at]
        return sum(part * piece_at(self.paper.scenario, model, op, centre, w, h)[0] for w, h, part in sizes)

    def _printed(self, product: str, sizes: Sizes) -> tuple[str, float, float]:
        """The fastest printer, its metres and minutes a piece."""
        model = self._products[product]
        able = printers_for(self.paper.scenario, model)
        found = [(each.id, *printed_piece(self.paper.scenario, model, sizes, each)) for each in able]
        return min(found, key=lambda each: each[2])

    def _printing(self, product: Product, pieces: int, sizes: Sizes) -> list[Stage]:
        scenario = self.paper.scenario
        name, each_m, each_min = self._prints(product.id, sizes)
        printer = scenario.by_id("printers")[name]
        able = printers_for(scenario, product)
        metres, minutes = pieces * each_m, pieces * each_min
        runs = max(1, math.ceil(metres / scenario.policies.printing.gang_max_web_m - 1e-9))
        skill = BY_THE_CLOCK if printer.unattended_running else PRINTING
        load = min(self._load(each.id) for each in able)
        # What one run cannot hold is printed on all able printers at once.
        first = Stage(name, skill, minutes / runs, minutes / min(runs, len(able)), len(able), load)
        if isinstance(printer.fixation, InlineFixation):
            tail_min = printer.fixation.tail_m * each_min / each_m if each_m else 0.0
            return [first, Stage(name, skill, tail_min, tail_min)]
        assert isinstance(printer.fixation, OfflineFixation)
        drum: Calender = scenario.by_id("calenders")[printer.fixation.calender]
        m_per_min = calender_speed_m_per_h(drum.drum_m, drum.wrapped_share, drum.dwell_s) / 60
        at_drum = skill_for_calenders(scenario)
        fixed_min = (metres / runs / m_per_min + drum.set_up_min.mean) / self._speed(at_drum)
        drying = Stage("drying", BY_THE_CLOCK, printer.fixation.drying_min, printer.fixation.drying_min)
        return [first, drying, Stage(drum.id, at_drum, fixed_min, fixed_min, drum.count, self._load(drum.id))]

    def _load(self, place: str) -> float:
        """The share of a place, or of the people it has with others, whichever is greater."""
        if place not in self._shares:
            loads = [load for load in self.paper.cut.loads if place == load.id or place in load.places]
            self._shares[place] = max((load.share for load in loads), default=0.0)
        return self._shares[place]

    def _seats(self, place: str, skill: str) -> int:
        if skill not in self._heads:
            self._heads[skill] = self.paper.people([skill])
        return max(1, min(self._centres[place].seats, self._heads[skill]))

    def _speed(self, skill: str) -> float:
        """Of the fastest who can do it, learners as if they had learnt."""
        if skill not in self._speeds:
            crews = [crew for crew in self.paper.hours.crews if skill in crew.skills]
            self._speeds[skill] = max(skill_speed(crew.skills[skill]) * crew.efficiency_pct / 100 for crew in crews)
        return self._speeds[skill]
