"""What the open shop asks to be careful about; hot machines with nobody there are never folded away."""

from __future__ import annotations

from collections.abc import Mapping

import streamlit as st

from app import edits, state
from app.say import cautions
from shopsim.answers.care import caution_line, cautions_added, cautions_of
from shopsim.answers.crew_notes import crew_notes
from shopsim.answers.growth import more_demand_notes
from shopsim.answers.question import shop_key
from shopsim.cautions import NOBODY_THERE
from shopsim.errors import InputError
from shopsim.shop.scenario_file import parse_with_warnings
from shopsim.shop.shop_file import Shop


def care_of_edits() -> None:
    """Beside what is edited: the cautions that edits have added since the oldest that can be taken back; nothing for a
    shop with faults."""
    shop = state.shop()
    if shop is not None:
        cautions(_of_edits(shop, edits.before(), state.required().name))


def care_of_shop(shop: Shop) -> None:
    """Which hazards a shop has, in the open, and all that is to be said of them folded in below."""
    found = cautions_of(shop)
    if not found:
        return
    hazards = "; ".join(each.hazard for each in found if each.row != NOBODY_THERE)
    alone = [caution_line(each) for each in found if each.row == NOBODY_THERE]
    cautions([*alone, *([f"In this shop: {hazards}"] if hazards else [])])
    with st.expander("What to be careful about in this shop", icon=":material/health_and_safety:"):
        cautions([caution_line(each) for each in found])


# Pages ask at every click, and a large shop on paper takes a second.
@st.cache_resource(max_entries=32, show_spinner=False, hash_funcs={Shop: shop_key})
def care_of_crew(shop: Shop, heads: Mapping[str, int]) -> list[str]:
    """As `crew_notes`."""
    return crew_notes(shop, heads)


@st.cache_resource(max_entries=32, show_spinner=False, hash_funcs={Shop: shop_key})
def care_at_demand(shop: Shop, factor: float) -> list[str]:
    """As `more_demand_notes`."""
    return more_demand_notes(shop, factor)


@st.cache_resource(max_entries=8, show_spinner=False, hash_funcs={Shop: shop_key})
def _of_edits(shop: Shop, texts: tuple[str, ...], name: str) -> list[str]:
    first = _first_sound(shop, texts, name)
    added = [] if first is None else cautions_added(first, shop)
    rows = {NOBODY_THERE, *(each.row for each in added)}
    # Those added are told as the comparison tells them.
    told = {each.row: each for each in [*cautions_of(shop), *added] if each.row in rows}
    return [caution_line(told[row]) for row in sorted(told)]


def _first_sound(shop: Shop, texts: tuple[str, ...], name: str) -> Shop | None:
    """The shop of the oldest of these texts that has no faults, with the orders of today's book that fit it."""
    for text in texts:
        try:
            scenario, _ = parse_with_warnings(text, name)
        except InputError:
            continue
        products = scenario.by_id("products")
        return Shop(scenario, tuple(line for line in shop.order_lines if line.product in products))
    return None
