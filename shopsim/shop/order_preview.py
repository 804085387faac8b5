"""An order book before it is taken: what would come in, and every row that would not, with its reasons."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from shopsim.errors import OrderBookError
from shopsim.shop.order_book import BookRow, OrderLine, read_rows
from shopsim.shop.order_rows import COLUMNS, cell_text
from shopsim.shop.order_tables import table_in
from shopsim.shop.scenario import Scenario

MOST_REJECTED = 200


@dataclass(frozen=True, slots=True)
class Rejected:
    """A row that cannot be taken: its line in the file, its order as far as known, a reason a fault."""

    line: int | None
    order: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Preview:
    """What is in an order book. `lines` are those of orders without any rejected row; `rejected` holds up to 200 rows.

    `broken` says why reading ended early, if it did; `left_out` counts sound rows of orders that have a rejected one.
    """

    lines: tuple[OrderLine, ...]
    rejected: tuple[Rejected, ...]
    rejected_rows: int
    left_out: int
    broken: str

    @property
    def sound(self) -> bool:
        """Whether the whole book can be taken as it is."""
        return not self.rejected and not self.broken

    @property
    def orders(self) -> int:
        """Orders that could be taken."""
        return len({line.order_id for line in self.lines})

    def by_product(self) -> list[tuple[str, int, int]]:
        """(product, order lines, pieces), the most pieces first."""
        lines = Counter(line.product for line in self.lines)
        pieces: Counter[str] = Counter()
        for line in self.lines:
            pieces[line.product] += line.pieces
        return [(product, lines[product], count) for product, count in pieces.most_common()]

    def by_week(self) -> list[tuple[str, int]]:
        """(Monday, orders received in its week), weeks without orders left out."""
        first = {line.order_id: line.received.date() for line in self.lines}
        weeks = Counter(day.isocalendar()[:2] for day in first.values())
        mondays = {day.isocalendar()[:2]: day for day in sorted(first.values(), reverse=True)}
        return [(mondays[week].fromisocalendar(*week, 1).isoformat(), count) for week, count in sorted(weeks.items())]


def preview_order_book(content: bytes, name: str, scenario: Scenario) -> Preview:
    """Look through the content of an uploaded book; nothing is raised for what is wrong in it."""
    rows: list[BookRow] = []
    broken = ""
    try:
        rows.extend(read_rows(table_in(content, _path(name)), scenario))
    except OrderBookError as fault:
        broken = "; ".join(
            f"line {problem.line}: {problem.message}" if problem.line else problem.message for problem in fault.problems
        )
    bad = [row for row in rows if row.faults]
    spoilt = {row.values.get("order_id") for row in bad}
    good = [row for row in rows if not row.faults]
    taken = [row for row in good if row.values["order_id"] not in spoilt]
    return Preview(
        tuple(OrderLine(**row.values) for row in taken), tuple(_rejected(bad[:MOST_REJECTED])), len(bad),
        len(good) - len(taken), broken,
    )  # fmt: skip


def first_rows(lines: Iterable[OrderLine], most: int = 20) -> list[dict[str, str]]:
    """The first lines as text by column, columns nobody fills left out."""
    shown = [line for _, line in zip(range(most), lines, strict=False)]
    used = [column for column in COLUMNS if any(getattr(line, column) not in (None, False) for line in shown)]
    return [{column: cell_text(getattr(line, column)) for column in used} for line in shown]


def _rejected(rows: Iterable[BookRow]) -> Iterable[Rejected]:
    for row in rows:
        order = row.values.get("order_id") or row.cells.get("order_id") or ""
        yield Rejected(row.line, str(order)[:60], tuple(f"{column}: {message}" for column, message in row.faults))


def _path(name: str) -> Path:
    # Only the end of what the browser calls the file.
    return Path(Path(name.replace("\\", "/")).name)
