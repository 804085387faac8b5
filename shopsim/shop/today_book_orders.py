"""Open orders from the lines of an order book: which state the lines of one order have together.

An order of the model is at one stage as a whole, so lines further on than those with the customer wait with them, which
is told. Lines that do not fit the scenario are left out with their reasons.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from shopsim.shop.plain_messages import choices
from shopsim.shop.products import Product
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_checks import check_today
from shopsim.shop.today_model import OpenLine, OpenOrder, Today, Whereabouts
from shopsim.shop.today_words import CALENDER, DONE, PRINT, PRINTED, PRINTING, places_by_word, steps_by_word, words_of

SHIPPED, CANCELLED, OPEN = "shipped", "cancelled", "open"
LATER, WITHOUT_STATUS = "later", "without status"
_WITH_CUSTOMER = ("received", "approval")
_ORDER_CHECK, _COMPLETE = "order_check", "complete"
_DONE = (_ORDER_CHECK, _COMPLETE, SHIPPED, DONE)
# Lines of these may still wait for the customer, if the book says that files are approved later.
_NOT_BEGUN = (None, OPEN, PRINT)


class BookLine(NamedTuple):
    """A row of a book: where it stands, its values by column, and why it cannot be used, if so."""

    place: str
    values: Mapping[str, Any]
    reasons: tuple[str, ...] = ()


class BookOrders:
    """Makes open orders of rows, order by order; keeps counts of those that are none, and places left out by reason."""

    def __init__(self, scenario: Scenario, told: Today) -> None:
        self.scenario = scenario
        self.now = told.now
        self.products: dict[str, Product] = scenario.by_id("products")
        self.counts = dict.fromkeys((SHIPPED, CANCELLED, LATER, WITHOUT_STATUS), 0)
        self.left_out: dict[str, list[str]] = {}
        self.mixed: list[str] = []

    def leave_out(self, row: BookLine, why: str) -> None:
        """A row that cannot be simulated."""
        self.left_out.setdefault(why, []).append(row.place)

    def order(self, rows: Sequence[BookLine]) -> OpenOrder | None:
        """The open order of all rows of one id; None where it is no open order, which is counted."""
        if rows[0].values["received"] > self.now:
            self.counts[LATER] += 1
            return None
        rows = [row for row in rows if self._word(row) != CANCELLED]
        if not rows:
            self.counts[CANCELLED] += 1
        elif all(self._word(row) == SHIPPED for row in rows):
            self.counts[SHIPPED] += 1
        else:
            return self._open(rows)
        return None

    def _word(self, row: BookLine) -> str | None:
        """A line's status; dates of cancelling and shipping tell it too."""
        for word in (CANCELLED, SHIPPED):
            at = row.values.get(word)
            if row.values.get("status") == word or (at is not None and at <= self.now):
                return word
        status: str | None = row.values.get("status")
        return status

    def _open(self, rows: Sequence[BookLine]) -> OpenOrder | None:
        """The order of these rows, without those that cannot be simulated; None where none of them can."""
        rows = [row for row in rows if self._is_known(row)]
        if all(self._word(row) == SHIPPED for row in rows):
            return None
        stage = self._stage(rows)
        if stage in _WITH_CUSTOMER:
            # What is done waits for nobody; what is begun cannot be held beside lines that are with the customer.
            rows = [row for row in rows if self._word(row) not in _DONE]
        made = [(row, line) for row in rows if (line := self._line(row, stage)) is not None]
        order = self._checked(made, stage)
        if order is not None:
            self.counts[WITHOUT_STATUS] += not any(row.values.get("status") for row, _ in made)
            if stage in _WITH_CUSTOMER and any(not self._waits(row) for row, _ in made):
                self.mixed.append(order.order)
        return order

    def _stage(self, rows: Sequence[BookLine]) -> str:
        words = {self._word(row) for row in rows}
        if words & set(_WITH_CUSTOMER) or any(self._waits(row) for row in rows):
            return "received" if "received" in words else "approval"
        if words <= set(_DONE) - {DONE}:
            return _ORDER_CHECK if _ORDER_CHECK in words else _COMPLETE
        return "released"

    def _waits(self, row: BookLine) -> bool:
        """Whether a line is with the customer."""
        word, approved = self._word(row), row.values.get("approved")
        later = approved is not None and approved > self.now
        return word in _WITH_CUSTOMER or (later and word in _NOT_BEGUN)

    def _checked(self, made: list[tuple[BookLine, OpenLine]], stage: str) -> OpenOrder | None:
        """The order, if need be without lines that do not fit the scenario; None where it does not as a whole."""
        while made:
            order = self._as_order(made, stage)
            faults = check_today(Today(now=self.now, orders=(order,)), self.scenario)
            bad: dict[int | None, str] = {}
            for path, message in faults:
                if path[0] == "orders":
                    bad.setdefault(int(path[3]) if path[2] == "lines" else None, f"{path[-1]}: {message}")
            if not bad:
                return order
            for number, (row, _) in enumerate(made):
                if why := bad.get(number) or bad.get(None):
                    self.leave_out(row, why)
            made = [each for number, each in enumerate(made) if number not in bad and None not in bad]
        return None

    def _as_order(self, made: list[tuple[BookLine, OpenLine]], stage: str) -> OpenOrder:
        first = made[0][0].values
        approved = first.get("approved")
        expected = {"expected": approved} if stage == "approval" and approved and approved > self.now else {}
        return OpenOrder(
            order=first["order_id"], received=first["received"], due=first["due"], stage=stage,  # type: ignore[arg-type]
            rush=bool(first.get("rush")), repeat=bool(first.get("repeat")), priority=first.get("priority"),
            lines=tuple(line for _, line in made), **expected,
        )  # fmt: skip

    # -- lines --------------------------------------------------------------------------------------------------------

    def _is_known(self, row: BookLine) -> bool:
        product = row.values["product"]
        if product not in self.products:
            self.leave_out(row, f"product: the scenario has no product {product!r}{choices(product, self.products)}")
        return product in self.products

    def _line(self, row: BookLine, stage: str) -> OpenLine | None:
        """A line of the order; None, with the reason told, where its status cannot be."""
        values = row.values
        product, word, done = self.products[values["product"]], self._word(row), values.get("pieces_done", 0)
        where: tuple[Whereabouts, ...] = ()
        if stage == "released" and (word not in (None, OPEN) or done):
            found = self._where(product, values["pieces"], word, done)
            if isinstance(found, str):
                self.leave_out(row, f"status: {found}")
                return None
            where = found
        return OpenLine(
            product=product.id, pieces=values["pieces"], width_m=values.get("width_m"),
            height_m=values.get("height_m"), where=where,
        )  # fmt: skip

    def _where(self, product: Product, pieces: int, word: str | None, done: int) -> tuple[Whereabouts, ...] | str:
        if word in _DONE:
            return (Whereabouts(at=DONE, pieces=pieces),)
        way = [each for each in words_of(self.scenario, product) if each not in (PRINTING, PRINTED, CALENDER)]
        at = self._step(product, word, way)
        if at is None:
            known = [*way, PRINTED, *_WITH_CUSTOMER, _ORDER_CHECK, _COMPLETE, SHIPPED, CANCELLED]
            return f"{product.id!r} has no step {word!r}{choices(word, known)}"
        if done > pieces:
            return f"the line has {pieces} pieces, but {done} are told to be done"
        further = way[way.index(at) + 1]
        parts = ((further, done), (at, pieces - done))
        return tuple(Whereabouts(at=each, pieces=count) for each, count in parts if count)

    def _step(self, product: Product, word: str | None, way: list[str]) -> str | None:
        """The step a status means: its own word, the place where it is done, `printing` or `printed`."""
        if word is None or word == OPEN:
            return way[0]
        if word == PRINTING and PRINT in way:
            return PRINT
        if word == PRINTED and PRINT in way:
            return way[1]
        places = {place: step for step, place in reversed(places_by_word(product).items())}
        if word in places:
            return places[word]
        return word if word in way or word in steps_by_word(product) else None
