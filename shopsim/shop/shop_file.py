"""A shop as the doors open it: the scenario, the orders of its order book, and what looked unusual."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from shopsim.clock import MINUTES_PER_WEEK, date_of, minute_of
from shopsim.errors import Problem, ScenarioError
from shopsim.shop.file_text import read_text
from shopsim.shop.located_faults import Fault
from shopsim.shop.model_paths import Path as ValuePath
from shopsim.shop.order_book import OrderLine, load_order_book
from shopsim.shop.rough_cut import RoughCut, rough_cut
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import parse_with_warnings, problem_at
from shopsim.shop.sequence_checks import check_listed_orders

BOOK_PATH: ValuePath = ("demand", "order_book", "file")
# Long enough for the last orders to leave the shop.
_MOST_IDLE_WEEKS = 4


@dataclass(frozen=True)
class Shop:
    """What one simulation needs to know: ``order_lines`` is empty without an order book; ``warnings`` stop nothing."""

    scenario: Scenario
    order_lines: tuple[OrderLine, ...] = ()
    warnings: tuple[Problem, ...] = ()

    @cached_property
    def rough_cut(self) -> RoughCut:
        """Load against capacity on paper, worked out when it is first asked for."""
        return rough_cut(self.scenario, self.order_lines)


def load_shop(path: str | Path) -> Shop:
    """Read a scenario file and the order book it names, which lies in the same folder or below.

    Raises ScenarioError or OrderBookError with every fault found.
    """
    path = Path(path)
    text = read_text(path)
    scenario, warnings = parse_with_warnings(text, str(path))
    book = scenario.demand.order_book
    if book is None:
        return Shop(scenario, (), tuple(warnings))
    beside = path.parent / book.file
    # The name itself leads down only (cross_checks); a link in the folder could still lead out of it.
    if not beside.resolve().is_relative_to(path.parent.resolve()):
        raise ScenarioError([problem_at(text, str(path), BOOK_PATH, "must lie in the scenario's folder")])
    if not beside.exists():
        raise ScenarioError([problem_at(text, str(path), BOOK_PATH, f"there is no such file: {beside}")])
    lines = load_order_book(beside, scenario)
    faults = book_faults(scenario, lines)
    if faults:
        raise ScenarioError(problem_at(text, str(path), where, message) for where, message in faults)
    late = [problem_at(text, str(path), where, message) for where, message in book_warnings(scenario, lines)]
    return Shop(scenario, lines, (*warnings, *late))


def book_faults(scenario: Scenario, lines: Sequence[OrderLine]) -> list[Fault]:
    """Why a scenario cannot be simulated with the lines of its order book, each of which fits it."""
    faults = check_listed_orders(scenario, lines)
    if faults or scenario.demand.order_book is None or scenario.demand.forecast or scenario.demand.hire_fleets:
        return faults
    return [(BOOK_PATH, _all_late(scenario, lines))] if len(_late(scenario, lines)) == len(lines) else []


def book_warnings(scenario: Scenario, lines: Sequence[OrderLine]) -> list[Fault]:
    """What of an order book a simulation leaves out, and weeks of it in which no orders come in any more."""
    late = _late(scenario, lines)
    if late:
        return [(BOOK_PATH, _some_late(scenario, late))]
    if scenario.demand.forecast or scenario.demand.hire_fleets:
        return []
    last = max(lines, key=lambda line: line.received)
    idle_min = scenario.horizon_min - _minute(last, scenario)
    return [(BOOK_PATH, _runs_out(scenario, last, idle_min))] if idle_min > _MOST_IDLE_WEEKS * MINUTES_PER_WEEK else []


def _late(scenario: Scenario, lines: Sequence[OrderLine]) -> list[OrderLine]:
    return [line for line in lines if _minute(line, scenario) >= scenario.horizon_min]


def _minute(line: OrderLine, scenario: Scenario) -> float:
    return minute_of(line.received.date(), scenario.shop.starts)


def _last_day(scenario: Scenario) -> str:
    return date_of(scenario.horizon_min - 1, scenario.shop.starts).isoformat()


def _runs_out(scenario: Scenario, last: OrderLine, idle_min: float) -> str:
    return (
        f"the last order of the book is received on {last.received.date()}; the study goes on to "
        f"{_last_day(scenario)}, {idle_min / MINUTES_PER_WEEK:.0f} weeks in which nothing new comes in, so averages a "
        "week are too low"
    )


def _all_late(scenario: Scenario, lines: Sequence[OrderLine]) -> str:
    if not lines:
        return "this order book has no orders, and nothing else is asked of the shop"
    return f"all {len(lines):,} order lines are received after the study ends on {_last_day(scenario)}"


def _some_late(scenario: Scenario, late: list[OrderLine]) -> str:
    first = min(late, key=lambda line: line.received)
    return (
        f"left out, because received after the study ends on {_last_day(scenario)}: {len(late):,} of the book's order "
        f"lines, the first of them in order {first.order_id} of {first.received.date()}"
    )
