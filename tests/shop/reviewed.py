"""A shop with nothing to look at, for stories that each bring one thing, and the review of it."""

from __future__ import annotations

from typing import Any

from shopsim.shop.order_book import OrderLine
from shopsim.shop.review.finding import Finding
from shopsim.shop.review.shop_review import shop_review
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import Shop
from tests.stories.shops import crew, fabric, printer, product, shift, shop, step, to_print

PAID = {"price": 1000, "life_years": 7}
# 42.5 h from 07:00 to 15:30, 40 of them work.
DAY = shift("day", "07:00-15:30", ("12:00-12:30",))


def hand(name: str, skills: str, **changes: Any) -> dict[str, Any]:
    """Two people of a crew who are paid."""
    return crew(name, skills, **{"count": 2, "wage_per_h": 25, **changes})


def machine(name: str = "p1", **changes: Any) -> dict[str, Any]:
    """The standard printer, bought and with a lift."""
    return printer(
        name, **{"money": PAID, **changes, "roll_change": {"needs_lift": True, **changes.pop("roll_change", {})}}
    )


BANNER = product("banner", to_print(), price_per_m2=20)
JOB = product("job", step("work", "bench", 10), price_per_piece=20)


def calm(**changes: Any) -> Scenario:
    """Two printers, two operators who also work at a bench of two seats, a credit for late orders."""
    base: dict[str, Any] = {
        "fabrics": [fabric()], "printers": [machine(), machine("p2")], "shifts": [DAY],
        "work_centres": [{"id": "bench", "kind": "general", "skill": "bench", "seats": 2}],
        "crews": [hand("op", "printing bench")], "products": [BANNER, JOB], "money": {"late_penalty_pct": 5},
    }  # fmt: skip
    if "demand" in changes:
        changes["demand"] = {"order_book": None, **changes["demand"]}
    return shop(**{**base, **changes})


def reviewed(scenario: Scenario, *orders: OrderLine) -> list[Finding]:
    """What is to be looked at, worst first."""
    return shop_review(Shop(scenario, orders))


def the(kind: str, findings: list[Finding]) -> Finding:
    """The only finding of a kind."""
    (found,) = [each for each in findings if each.id == kind]
    return found


def ids(findings: list[Finding]) -> list[str]:
    """The kinds found, worst first."""
    return [each.id for each in findings]
