"""What the places of pieces are called: the steps of a product's route, and what lies before, between and after."""

from __future__ import annotations

from shopsim.shop.printers import OfflineFixation
from shopsim.shop.products import At, Print, Product
from shopsim.shop.route_times import printers_for
from shopsim.shop.scenario import Scenario

PRINT, PRINTING, PRINTED, CALENDER, DONE = "print", "printing", "printed", "calender", "done"
BEFORE_STEPS = (PRINT, PRINTING, PRINTED, CALENDER)


def steps_by_word(product: Product) -> dict[str, int]:
    """Number of each step after printing, by the word of its kind; `sew 2` is the second of one kind."""
    found: dict[str, int] = {}
    seen: dict[str, int] = {}
    for number, op in enumerate(op for op in product.route if not isinstance(op, Print)):
        seen[op.op] = seen.get(op.op, 0) + 1
        found[op.op if seen[op.op] == 1 else f"{op.op} {seen[op.op]}"] = number
    return found


def word_of_step(product: Product, step: int) -> str:
    """The word of a step after printing; `done` past the last."""
    return next((word for word, number in steps_by_word(product).items() if number == step), DONE)


def places_by_word(product: Product) -> dict[str, str]:
    """The work centre of each step that has one, by the step's word."""
    ops = [op for op in product.route if not isinstance(op, Print)]
    return {word: op.at for word, number in steps_by_word(product).items() if isinstance(op := ops[number], At)}


def words_of(scenario: Scenario, product: Product) -> list[str]:
    """Every place pieces of a product may be at, in the order of its route."""
    before = [] if product.print_step is None else [PRINT, PRINTING, PRINTED]
    if before and calenders_of(scenario, product):
        before.append(CALENDER)
    return [*before, *steps_by_word(product), DONE]


def calenders_of(scenario: Scenario, product: Product) -> list[str]:
    """The calenders a printed product may come over, one for each printer without a plate."""
    fixations = [printer.fixation for printer in printers_for(scenario, product)]
    return list(dict.fromkeys(each.calender for each in fixations if isinstance(each, OfflineFixation)))
