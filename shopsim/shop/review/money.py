"""Prices and penalties that questions about money will need."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.shop.printers import MachineMoney
from shopsim.shop.products import Product
from shopsim.shop.review.finding import Finding, named
from shopsim.shop.review.paper import Paper

_MACHINES = ("cutting", "sewing")


def look(paper: Paper) -> Iterator[Finding]:
    """What would be counted as free, and what the handbook had to fill in."""
    yield from _late(paper)
    free = [each.id for each in paper.scenario.products if _earns_nothing(each)]
    if free:
        yield Finding(
            "sold_for_nothing", named(free), "no price a piece, and none a m² of a size: 0 a piece",
            "give price_per_m2 or price_per_piece: growth, payback and every margin rest on it", "CST-09", len(free),
        )  # fmt: skip
    machines = _machines(paper)
    given = [name for name, money in machines if money.price == 0]
    if given:
        yield Finding(
            "machine_costs_nothing", named(given), "price 0: no write-off, no service, nothing to pay back",
            "give money.price of each, or leave it if the machine is paid off and will not be replaced",
            "CST-01, CST-04", len(given),
        )  # fmt: skip
    yield from _by_default(paper, machines)


def _late(paper: Paper) -> Iterator[Finding]:
    money = paper.scenario.money
    if money.late_penalty_pct == 0 and money.late_penalty_pct_per_day == 0:
        yield Finding(
            "late_costs_nothing", "money", "no credit and no penalty for a late order: 0 % of its price",
            "give late_penalty_pct or late_penalty_pct_per_day; at 0 a change that saves dates can only cost",
            "CST-13",
        )  # fmt: skip


def _earns_nothing(product: Product) -> bool:
    sized = product.sizes or product.size_range is not None or product.print_step is not None
    return product.price_per_piece == 0 and (product.price_per_m2 == 0 or not sized)


def _machines(paper: Paper) -> list[tuple[str, MachineMoney]]:
    scenario = paper.scenario
    return [
        *((each.id, each.money) for each in scenario.printers),
        *((each.id, each.money) for each in scenario.calenders),
        *((each.id, each.money) for each in scenario.work_centres if each.kind in _MACHINES),
    ]


def _by_default(paper: Paper, machines: list[tuple[str, MachineMoney]]) -> Iterator[Finding]:
    """What nobody wrote: the handbook's value stands in."""
    scenario = paper.scenario
    prices = [each.id for each in scenario.products if not _earns_nothing(each)
              and not {"price_per_m2", "price_per_piece"} & each.model_fields_set]  # fmt: skip
    wages = [crew.id for crew in scenario.crews if crew.count and "wage_per_h" not in crew.model_fields_set]
    bought = [name for name, money in machines if money.price and "price" not in money.model_fields_set]
    lives = [name for name, money in machines if money.price and "life_years" not in money.model_fields_set]
    parts = [("price of", prices), ("wage of", wages), ("price of machine", bought), ("years of life of", lives)]
    told = [f"{what} {named(names, 5)}" for what, names in parts if names]
    if told:
        yield Finding(
            "money_by_default", "money", f"not in the file, so the handbook's: {'; '.join(told)}",
            "put your own in before deciding on money", "CST-01, CST-02, CST-09, PPL-11",
        )  # fmt: skip
