"""A morning from the order book's own status column, as our columns or through the mapping of another software's list.

`status` is a word of the shop's route, for each order line: `sew` has all its pieces waiting for sewing, `print` in the
print queue, `approval` with the customer. `pieces_done` of them are through that step and wait for the next. Orders
that are shipped or cancelled are left out and counted, and so are those received after now: they are no open orders,
and what is still to come is the scenario's to say.
"""

from __future__ import annotations

import datetime
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shopsim.errors import Problem, TodayError
from shopsim.shop.order_book import read_rows
from shopsim.shop.order_tables import open_table
from shopsim.shop.plain_messages import choices
from shopsim.shop.products import Product
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_file import require_fits
from shopsim.shop.today_model import OpenLine, OpenOrder, Today, Whereabouts
from shopsim.shop.today_words import CALENDER, DONE, PRINT, PRINTED, PRINTING, places_by_word, steps_by_word, words_of

SHIPPED, CANCELLED, OPEN = "shipped", "cancelled", "open"
_WHOLE_ORDER = {"received": "received", "approval": "approval", "order_check": "order_check", "complete": "complete"}
MOST_PROBLEMS = 50


@dataclass(frozen=True, slots=True)
class TodayBook:
    """The morning, and what of the book is no open order: counts of orders."""

    today: Today
    shipped: int
    cancelled: int
    later: int
    without_status: int

    def notes(self) -> tuple[str, ...]:
        """What was left out and taken for granted, a sentence each."""
        counted = (
            (self.shipped, "shipped and left out"),
            (self.cancelled, "cancelled and left out"),
            (self.later, "received later and no open orders yet"),
            (self.without_status, "without a status, taken as not started"),
        )
        told = [f"{count} {words}" for count, words in counted if count]
        return (f"Of the book's orders {', '.join(told)}.",) if told else ()


def today_from_book(path: str | Path, scenario: Scenario, now: datetime.datetime) -> TodayBook:
    """The morning that a book with a status column tells. Raises TodayError or OrderBookError with every fault."""
    path = Path(path)
    rows: list[tuple[int, dict[str, Any]]] = []
    problems: list[Problem] = []
    for row in read_rows(open_table(path), scenario):
        if "status" not in row.cells and not rows:
            raise TodayError([Problem(str(path), 1, None, "", "has no column `status`, which a morning needs")])
        extra, faults = _extra(row.cells)
        told = [*row.faults, *faults]
        problems += [Problem(str(path), row.line, None, f"column {column}", text) for column, text in told]
        rows.append((row.line, {**row.values, **extra}))
    if problems:
        raise TodayError(problems[:MOST_PROBLEMS])
    return today_from_rows(rows, scenario, now, str(path))


def today_from_rows(
    rows: Iterable[tuple[int, Mapping[str, Any]]], scenario: Scenario, now: datetime.datetime, name: str
) -> TodayBook:  # fmt: skip
    """As `today_from_book`, from rows by column, each with its line in the file called `name`."""
    maker = _Maker(scenario, now, name)
    for line, row in rows:
        maker.take(line, row)
    return maker.made()


def _extra(cells: Mapping[str, Any]) -> tuple[dict[str, Any], list[tuple[str, str]]]:
    """Status and pieces done of a row of our own columns."""
    values: dict[str, Any] = {"status": str(cells.get("status") or "").strip().lower() or None}
    given = cells.get("pieces_done")
    text = str(given).strip().removesuffix(".0") if given is not None else ""
    if text and not (text.isascii() and text.isdigit() and len(text) < 9):
        return values, [("pieces_done", f"must be a whole number from 0, found {text!r}")]
    if text:
        values["pieces_done"] = int(text)
    shipped = cells.get("shipped")
    if shipped not in (None, ""):
        values["shipped"] = shipped
    return values, []


class _Maker:
    def __init__(self, scenario: Scenario, now: datetime.datetime, name: str) -> None:
        self.scenario = scenario
        self.now = now
        self.name = name
        self.products: dict[str, Product] = scenario.by_id("products")
        self.rows: dict[str, list[tuple[int, Mapping[str, Any]]]] = {}
        self.problems: list[Problem] = []
        self.counts = dict.fromkeys((SHIPPED, CANCELLED, "later", "without"), 0)

    def take(self, line: int, row: Mapping[str, Any]) -> None:
        """A row of the book."""
        self.rows.setdefault(row["order_id"], []).append((line, row))

    def made(self) -> TodayBook:
        """The morning. Raises TodayError with every fault found."""
        orders = [order for rows in self.rows.values() if (order := self._order(rows)) is not None]
        if self.problems:
            raise TodayError(self.problems[:MOST_PROBLEMS])
        today = Today(now=self.now, orders=tuple(orders))
        require_fits(today, self.scenario, self.name)
        counts = self.counts
        return TodayBook(today, counts[SHIPPED], counts[CANCELLED], counts["later"], counts["without"])

    def _order(self, rows: list[tuple[int, Mapping[str, Any]]]) -> OpenOrder | None:
        first = rows[0][1]
        words = [row.get("status") for _, row in rows]
        if first["received"] > self.now:
            self.counts["later"] += 1
        elif CANCELLED in words or (first.get("cancelled") is not None and first["cancelled"] <= self.now):
            self.counts[CANCELLED] += 1
        elif all(word == SHIPPED for word in words) or first.get("shipped") is not None:
            self.counts[SHIPPED] += 1
        else:
            self.counts["without"] += not any(words)
            return self._open(rows)
        return None

    def _open(self, rows: list[tuple[int, Mapping[str, Any]]]) -> OpenOrder | None:
        first = rows[0][1]
        stage = next((_WHOLE_ORDER[word] for _, row in rows if (word := row.get("status")) in _WHOLE_ORDER), "released")
        approved = first.get("approved")
        if stage == "released" and approved is not None and approved > self.now:
            stage = "approval"
        lines = [self._line(line, row, stage) for line, row in rows if self._is_known(line, row["product"])]
        if len(lines) < len(rows) or any(line is None for line in lines):
            return None
        given: dict[str, Any] = {}
        if stage == "approval" and approved is not None and approved >= self.now:
            given["expected"] = approved
        return OpenOrder(
            order=first["order_id"], received=first["received"], due=first["due"], stage=stage,  # type: ignore[arg-type]
            rush=bool(first.get("rush")), repeat=bool(first.get("repeat")), priority=first.get("priority"),
            lines=tuple(line for line in lines if line is not None), **given,
        )  # fmt: skip

    def _is_known(self, line: int, product: str) -> bool:
        if product not in self.products:
            message = f"the scenario has no product {product!r}{choices(product, self.products)}"
            self.problems.append(Problem(self.name, line, None, "column product", message))
        return product in self.products

    def _line(self, line: int, row: Mapping[str, Any], stage: str) -> OpenLine | None:
        product = self.products[row["product"]]
        word, done = row.get("status"), row.get("pieces_done", 0)
        where: tuple[Whereabouts, ...] = ()
        if stage == "released" and (word not in (None, OPEN, *_WHOLE_ORDER) or done):
            found = self._where(product, row["pieces"], word, done)
            if isinstance(found, str):
                self.problems.append(Problem(self.name, line, None, "column status", found))
                return None
            where = found
        return OpenLine(
            product=product.id, pieces=row["pieces"], width_m=row.get("width_m"), height_m=row.get("height_m"),
            where=where,
        )  # fmt: skip

    def _where(self, product: Product, pieces: int, word: str | None, done: int) -> tuple[Whereabouts, ...] | str:
        way = [each for each in words_of(self.scenario, product) if each not in (PRINTING, PRINTED, CALENDER)]
        at = self._step(product, word, way)
        if at is None:
            return f"{product.id!r} has no such step{choices(word, [*way, PRINTED, *_WHOLE_ORDER, SHIPPED, CANCELLED])}"
        if done > pieces:
            return f"the line has {pieces} pieces, but {done} are told to be done"
        further = DONE if at == DONE else way[way.index(at) + 1]
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
        if word == SHIPPED:
            return DONE
        places = {place: step for step, place in reversed(places_by_word(product).items())}
        if word in places:
            return places[word]
        return word if word in way or word in steps_by_word(product) else None
