"""How work goes through this shop, from its file: places with what is done there, ways between them, and loops back."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

from shopsim.report.flow_words import (
    AtPlace,
    hands_of,
    name_of,
    print_queue,
    queue_words,
    route_words,
    size_words,
    step_name,
)
from shopsim.shop.printers import OfflineFixation, Printer
from shopsim.shop.products import Print, Product, Rest
from shopsim.shop.route_times import printers_for
from shopsim.shop.scenario import Scenario
from shopsim.shop.skills import PRINTING, skill_for_calenders
from shopsim.shop.work_centres import WorkCentre

IN, OUT = "orders in", "orders out"
"""Where orders enter and leave; no id of a file can have a space."""
AGAIN, MENDED = "made again", "mended"
"""Why pieces go back."""
_APPROVAL = "artwork approval"


@dataclass(slots=True)
class Place:
    """A box of the picture. `does` are the steps done there, `hands` the crews able to work there, `queue` how the line
    before it is ranked; empty where there is none."""

    id: str
    name: str
    size: str = ""
    does: list[str] = field(default_factory=list)
    hands: tuple[str, ...] = ()
    queue: str = ""


@dataclass(frozen=True, slots=True)
class Way:
    """From one place to the next, for these products; `loop` says why pieces go back, empty for the way forward."""

    start: str
    end: str
    products: tuple[str, ...]
    loop: str = ""


@dataclass(frozen=True, slots=True)
class Flow:
    """Places in the order in which products meet them, the ways between them, and each product's route in words."""

    places: dict[str, Place]
    ways: tuple[Way, ...]
    routes: dict[str, str]


def flow_of(scenario: Scenario) -> Flow:
    """The flow of all products."""
    made = _Made(scenario)
    for product in scenario.products:
        made.follow(product)
    made.places[OUT] = Place(OUT, "Dispatch", does=[_collections(scenario)])
    ways = [Way(start, end, tuple(products)) for (start, end), products in made.ways.items()]
    loops = [Way(start, end, tuple(products), why) for (start, end, why), products in made.loops.items()]
    routes = {each.id: route_words(scenario, each) for each in scenario.products}
    return Flow(made.places, (*ways, *loops), routes)


class _Made:
    """Places and ways while products are followed one by one."""

    def __init__(self, scenario: Scenario) -> None:
        self.scenario = scenario
        self.places: dict[str, Place] = {IN: Place(IN, "Orders come in", does=list(_sources(scenario)))}
        self.ways: dict[tuple[str, str], list[str]] = {}
        self.loops: dict[tuple[str, str, str], list[str]] = {}
        self._product = ""

    def follow(self, product: Product) -> None:
        """All ways of one product, its loops included."""
        self._product = product.id
        at = self._to(self._artwork(), (IN,))
        first: Sequence[str] = ()
        sewn = ""
        for step in product.route:
            if isinstance(step, Print):
                first, at = self._printing(product, at)
            elif isinstance(step, Rest):
                for place in at:
                    _add(self.places[place].does, "rest")
            else:
                at = self._to((self._centre(step.at, step_name(step)),), at)
                self._found_at(step, first, sewn)
                sewn = step.at if step.op == "sew" else sewn
        check = self.scenario.policies.dispatch.order_check_at
        if check is not None:
            at = self._to((self._centre(check, "order check"),), at)
        self._to((OUT,), at)

    def _to(self, ends: Sequence[str], starts: Sequence[str]) -> Sequence[str]:
        """Ways from each of several places to each of several others; staying where one is is no way."""
        for start in starts if ends else ():
            for end in ends:
                if start != end:
                    _add(self.ways.setdefault((start, end), []), self._product)
        return ends or starts

    def _loop(self, start: str, end: str, why: str) -> None:
        _add(self.loops.setdefault((start, end, why), []), self._product)

    def _artwork(self) -> Sequence[str]:
        artwork = self.scenario.demand.artwork
        if artwork is None:
            return ()
        if artwork.check_at is not None:
            return (self._centre(artwork.check_at, "artwork check"),)
        self.places.setdefault(_APPROVAL, Place(_APPROVAL, "Artwork approval", does=["a wait, nobody's work"]))
        return (_APPROVAL,)

    def _printing(self, product: Product, at: Sequence[str]) -> tuple[Sequence[str], Sequence[str]]:
        """To the printers that may print a product, those with the same products in one box, and over the calender."""
        like: dict[tuple[str, ...], list[Printer]] = {}
        for printer in printers_for(self.scenario, product):
            like.setdefault(_alike(self.scenario, printer), []).append(printer)
        boxes: list[str] = []
        ends: list[str] = []
        for alike in like.values():
            box = "+".join(printer.id for printer in alike)
            fixation = alike[0].fixation
            self.places.setdefault(box, Place(
                box, ", ".join(name_of(printer.id) for printer in alike), size_words(len(alike), "printer"),
                ["print" if isinstance(fixation, OfflineFixation) else "print and fix"],
                hands_of(self.scenario, PRINTING), print_queue(self.scenario),
            ))  # fmt: skip
            self._to((box,), at)
            ends += self._to((self._drum(fixation.calender),), (box,)) if fixation.kind == "offline" else [box]
            boxes.append(box)
        return boxes, tuple(dict.fromkeys(ends))

    def _drum(self, name: str) -> str:
        count = self.scenario.by_id("calenders")[name].count
        hands = hands_of(self.scenario, skill_for_calenders(self.scenario))
        made = Place(name, name_of(name), size_words(count, "drum"), ["fix"], hands, "first come")
        self.places.setdefault(name, made)
        return name

    def _centre(self, name: str, does: str) -> str:
        centre: WorkCentre = self.scenario.by_id("work_centres")[name]
        place = self.places.setdefault(name, Place(
            name, name_of(name), size_words(centre.seats, "seat"), [], hands_of(self.scenario, centre.needed_skill),
            queue_words(centre.queue_rule),
        ))  # fmt: skip
        _add(place.does, does)
        return name

    def _found_at(self, step: AtPlace, printed: Sequence[str], sewn: str) -> None:
        """What becomes of faults found at a step: made again from the printer on, or mended where they were sewn."""
        quality = self.scenario.policies.quality
        faults_pct = {
            "inspect": max(quality.print_fault_pct, quality.sewing_fault_pct),
            "cut": quality.cut_loss_pct,
        }.get(step.op, 0.0)
        if faults_pct:
            for box in printed:
                self._loop(step.at, box, AGAIN)
        if step.op == "inspect" and sewn and quality.sewing_fault_pct and quality.sewing_repaired_pct:
            self._loop(step.at, sewn, MENDED)


def _alike(scenario: Scenario, printer: Printer) -> tuple[str, ...]:
    """What printers that share a box have in common: their calender and their products."""
    calender = printer.fixation.calender if isinstance(printer.fixation, OfflineFixation) else ""
    return (calender, *(each.id for each in scenario.products if printer in printers_for(scenario, each)))


def _sources(scenario: Scenario) -> Iterator[str]:
    demand = scenario.demand
    if demand.order_book is not None:
        yield "order book"
    if demand.forecast is not None:
        yield f"forecast: {demand.forecast.orders_per_week:g} a week"
    for fleet in demand.hire_fleets:
        yield f"{fleet.pieces} pieces on hire"


def _collections(scenario: Scenario) -> str:
    rule = scenario.policies.dispatch
    return "at once" if rule.at_once else f"collected at {rule.cut_off}"


def _add(known: list[str], word: str) -> None:
    if word not in known:
        known.append(word)
