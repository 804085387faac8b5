"""Whether what is told of a morning fits its scenario: dangling names, steps a route has not, more work than seats."""

from __future__ import annotations

import datetime
from collections import Counter
from collections.abc import Iterator

from shopsim.shop.located_faults import Fault
from shopsim.shop.model_paths import Path
from shopsim.shop.order_checks import OrderChecker
from shopsim.shop.plain_messages import choices, found
from shopsim.shop.printers import Printer
from shopsim.shop.products import Product
from shopsim.shop.route_times import printers_for
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_model import OpenLine, OpenOrder, Today, Whereabouts
from shopsim.shop.today_words import (
    BEFORE_STEPS,
    DONE,
    PRINT,
    PRINTED,
    PRINTING,
    places_by_word,
    steps_by_word,
    words_of,
)
from shopsim.shop.work_centres import WorkCentre


def check_today(today: Today, scenario: Scenario) -> list[Fault]:
    """Every fault, as paths with messages."""
    return list(_Checks(today, scenario).faults())


class _Checks:
    def __init__(self, today: Today, scenario: Scenario) -> None:
        self.today = today
        self.scenario = scenario
        self.products: dict[str, Product] = scenario.by_id("products")
        self.printers: dict[str, Printer] = scenario.by_id("printers")
        self.centres: dict[str, WorkCentre] = scenario.by_id("work_centres")

    def faults(self) -> Iterator[Fault]:
        yield from self._when()
        checker = OrderChecker(self.scenario)
        seen: set[str] = set()
        for number, order in enumerate(self.today.orders):
            where: Path = ("orders", number)
            if order.order in seen:
                yield (*where, "order"), f"the order {order.order!r} stands here twice"
            seen.add(order.order)
            yield from self._order(order, where, checker)
        yield from self._printers()
        yield from self._seats()
        yield from self._limit()
        yield from self._people()
        yield from self._cloth()

    def _when(self) -> Iterator[Fault]:
        now, starts = self.today.now, self.scenario.shop.starts
        if now.date() < starts:
            yield ("now",), f"must not be before the scenario starts, {starts.isoformat()}, found {found(now)}"

    def _is_past(self, where: Path, moment: datetime.datetime | None) -> Iterator[Fault]:
        if moment is not None and moment > self.today.now:
            yield where, f"must not be after now, {found(self.today.now)}, found {found(moment)}"

    def _is_to_come(self, where: Path, moment: datetime.datetime | None) -> Iterator[Fault]:
        if moment is not None and moment < self.today.now:
            yield where, f"must not be before now, {found(self.today.now)}, found {found(moment)}"

    def _order(self, order: OpenOrder, where: Path, checker: OrderChecker) -> Iterator[Fault]:
        for path, message in self._is_past((*where, "received"), order.received):
            yield path, f"{message}: it is no open order yet"
        if order.due < order.received.date():
            yield (*where, "due"), f"must not be before the order was received, found {order.due}"
        yield from self._is_past((*where, "asked"), order.asked)
        yield from self._is_to_come((*where, "expected"), order.expected)
        fabrics = [fabric.id for fabric in self.scenario.fabrics]
        for fabric in order.lots:
            if fabric not in fabrics:
                yield (*where, "lots", fabric), f"there is no fabric {found(fabric)}{choices(fabric, fabrics)}"
        for number, line in enumerate(order.lines):
            at: Path = (*where, "lines", number)
            values = {name: getattr(line, name) for name in ("product", "width_m", "height_m")}
            faults = checker.faults(0, {name: each for name, each in values.items() if each is not None}, set())
            yield from (((*at, column), message) for column, message in faults)
            product = self.products.get(line.product)
            if product is not None:
                yield from self._line(line, product, at)

    def _line(self, line: OpenLine, product: Product, where: Path) -> Iterator[Fault]:
        words = words_of(self.scenario, product)
        for number, part in enumerate(line.where):
            at: Path = (*where, "where", number)
            if part.at not in words:
                yield (*at, "at"), f"{product.id!r} has no such step{choices(part.at, words)}"
                continue
            yield from (((*at, name), message) for name, message in self._part(part, product))
            yield from self._is_to_come((*at, "outside_until"), part.outside_until)
            yield from self._is_to_come((*at, "until"), part.until)
            yield from self._is_past((*at, "since"), part.since)

    def _part(self, part: Whereabouts, product: Product) -> Iterator[tuple[str, str]]:
        able = [printer.id for printer in printers_for(self.scenario, product)]
        if part.at == PRINTING and part.printer is None:
            yield "printer", "is missing: which printer is printing them?"
        if part.printer is not None and part.at not in (PRINTING, PRINTED):
            yield "printer", f"goes with `{PRINTING}` and `{PRINTED}`, found {part.at}"
        elif part.printer is not None and part.printer not in able:
            yield "printer", f"may not print {product.id!r}{choices(part.printer, able)}"
        places = places_by_word(product)
        if part.in_work and part.at not in places:
            yield "in_work", f"nobody works at {part.at!r}; it goes with a step at a work centre"
        if part.outside_until is not None and part.at != PRINT and part.at not in places:
            yield "outside_until", f"goes with `{PRINT}` or a step at a work centre, found {part.at}"
        if part.until is not None and (part.at in (*BEFORE_STEPS, DONE) or part.at in places):
            yield "until", f"goes with a rest, found {part.at}"

    def _printers(self) -> Iterator[Fault]:
        fabrics = self.scenario.by_id("fabrics")
        seen: set[str] = set()
        for number, told in enumerate(self.today.printers):
            if told.printer in seen:
                yield (
                    ("printers", number, "printer"),
                    f"{told.printer!r} stands here twice; tell all of it in one place",
                )
            seen.add(told.printer)
            yield from self._is_past(("printers", number, "last_printed"), told.last_printed)
            yield from self._is_to_come(("printers", number, "down_until"), told.down_until)
            printer = self.printers.get(told.printer)
            if printer is None:
                yield ("printers", number, "printer"), f"unknown{choices(told.printer, self.printers)}"
                continue
            if told.fabric is not None and told.fabric not in fabrics:
                yield ("printers", number, "fabric"), f"unknown{choices(told.fabric, fabrics)}"
            modes = [mode.id for mode in printer.modes]
            if told.mode is not None and told.mode not in modes:
                yield ("printers", number, "mode"), f"unknown{choices(told.mode, modes)}"
        running: dict[str, tuple[str | None, str]] = {}
        for at, part, product in _parts(self.today, self.products):
            if part.at == PRINTING and part.printer in self.printers:
                step = product.print_step
                assert step is not None
                wanted = (product.fabric, step.mode)
                if running.setdefault(part.printer, wanted) != wanted:
                    yield (*at, "printer"), f"{part.printer} prints one cloth in one mode at a time"

    def _seats(self) -> Iterator[Fault]:
        down: Counter[str] = Counter()
        for number, told in enumerate(self.today.down):
            if told.place not in self.centres:
                yield ("down", number, "place"), f"unknown{choices(told.place, self.centres)}"
            yield from self._is_to_come(("down", number, "until"), told.until)
            down[told.place] += told.seats
        taken = Counter(
            places_by_word(product)[part.at] for _, part, product in _parts(self.today, self.products)
            if part.in_work and part.at in places_by_word(product)
        )  # fmt: skip
        for place, centre in self.centres.items():
            if taken[place] + down[place] > centre.seats:
                told_in = "down" if not taken[place] else "orders"
                yield (
                    (told_in,),
                    (
                        f"{place} has {centre.seats} seats, but {taken[place]} pieces of work are told to be on them"
                        f" and {down[place]} to be down"
                    ),
                )

    def _limit(self) -> Iterator[Fault]:
        rule = self.scenario.policies.orders_at_once
        if rule is None:
            return
        turned = rule.when_full == "turn_away"
        inside = [order for order in self.today.orders if order.stage != "complete"]
        count = len(inside if turned else [order for order in inside if order.stage in ("released", "order_check")])
        if count > rule.most:
            yield ("orders",), f"{count} orders have a place, but policies.orders_at_once allows {rule.most}"

    def _people(self) -> Iterator[Fault]:
        crews = self.scenario.by_id("crews")
        away: Counter[str] = Counter()
        for number, told in enumerate(self.today.absent):
            away[told.crew] += told.people
            if told.crew not in crews:
                yield ("absent", number, "crew"), f"unknown{choices(told.crew, crews)}"
            elif away[told.crew] > crews[told.crew].count:
                yield ("absent", number, "people"), f"{told.crew} has {crews[told.crew].count} people"
            if told.back is not None and told.back <= self.today.now.date():
                yield ("absent", number, "back"), f"must be after today, found {told.back}"
        stays: set[tuple[str, datetime.date]] = set()
        for number, agreed in enumerate(self.today.overtime):
            if (agreed.crew, agreed.on) in stays:
                yield ("overtime", number, "crew"), f"{agreed.crew!r} stands here twice for {agreed.on}"
            stays.add((agreed.crew, agreed.on))
            if agreed.crew not in crews:
                yield ("overtime", number, "crew"), f"unknown{choices(agreed.crew, crews)}"
            if agreed.on < self.today.now.date():
                yield ("overtime", number, "on"), f"must not be before today, found {agreed.on}"

    def _cloth(self) -> Iterator[Fault]:
        fabrics = self.scenario.by_id("fabrics")
        counted: set[tuple[str, int]] = set()
        for number, cloth in enumerate(self.today.cloth):
            if cloth.fabric not in fabrics:
                yield ("cloth", number, "fabric"), f"unknown{choices(cloth.fabric, fabrics)}"
            if (cloth.fabric, cloth.lot) in counted:
                yield ("cloth", number, "fabric"), f"lot {cloth.lot} of {cloth.fabric!r} is counted twice"
            counted.add((cloth.fabric, cloth.lot))


def _parts(today: Today, products: dict[str, Product]) -> Iterator[tuple[Path, Whereabouts, Product]]:
    """Every place told of a product the scenario has."""
    for i, order in enumerate(today.orders):
        for j, line in enumerate(order.lines):
            product = products.get(line.product)
            for k, part in enumerate(line.where):
                if product is not None and (part.at in BEFORE_STEPS or part.at in steps_by_word(product)):
                    yield ("orders", i, "lines", j, "where", k), part, product
