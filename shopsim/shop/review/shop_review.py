"""The whole review: every look at a shop, and what they found, worst first. Nothing is simulated."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from shopsim.shop.review import booked, loads, money, printing, promises, rest, rolls, skills, stock, values
from shopsim.shop.review.finding import Finding, worst_first
from shopsim.shop.review.paper import Paper
from shopsim.shop.shop_file import Shop

LOOKS: tuple[Callable[[Paper], Iterable[Finding]], ...] = (
    loads.look, stock.look, rolls.look, skills.look, promises.look, booked.look, rest.look, values.look,
    printing.look, money.look,
)  # fmt: skip


def shop_review(shop: Shop) -> list[Finding]:
    """Everything worth a look in a checked shop, worst first."""
    paper = Paper(shop)
    return worst_first(finding for look in LOOKS for finding in look(paper))
