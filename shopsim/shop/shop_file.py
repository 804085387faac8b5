"""A shop as the doors open it: the scenario, the orders of its order book, and what looked unusual."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from shopsim.errors import Problem, ScenarioError
from shopsim.shop.file_text import read_text
from shopsim.shop.order_book import OrderLine, load_order_book
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import parse_with_warnings, problem_at
from shopsim.shop.sequence_checks import check_listed_orders

_BOOK_PATH = ("demand", "order_book", "file")


@dataclass(frozen=True, slots=True)
class Shop:
    """What one simulation needs to know: ``order_lines`` is empty without an order book; ``warnings`` stop nothing."""

    scenario: Scenario
    order_lines: tuple[OrderLine, ...] = ()
    warnings: tuple[Problem, ...] = ()


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
        raise ScenarioError([problem_at(text, str(path), _BOOK_PATH, "must lie in the scenario's folder")])
    if not beside.exists():
        raise ScenarioError([problem_at(text, str(path), _BOOK_PATH, f"there is no such file: {beside}")])
    lines = load_order_book(beside, scenario)
    faults = check_listed_orders(scenario, lines)
    if faults:
        raise ScenarioError(problem_at(text, str(path), where, message) for where, message in faults)
    return Shop(scenario, lines, tuple(warnings))
