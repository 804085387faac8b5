"""The review of the open shop: what to look at, worst first, and what to do, as `shopsim check` tells it."""

from __future__ import annotations

from itertools import groupby

import streamlit as st

from app import state
from app.page_words import on_page
from app.say import table
from shopsim.answers.question import shop_key
from shopsim.pictures.text import capital
from shopsim.shop.names import shop_by_name, words_for
from shopsim.shop.review.finding import Finding
from shopsim.shop.review.shop_review import shop_review
from shopsim.shop.shop_file import Shop

_COLUMNS = ("Here", "Found", "What to do", "Handbook or practice")
# The page tells them beside their cells.
_TOLD_ELSEWHERE = ("unusual_value",)


@st.cache_resource(max_entries=4, show_spinner=False, hash_funcs={Shop: shop_key})
def _review(one: Shop) -> list[Finding]:
    return [each for each in shop_review(shop_by_name(one)) if each.id not in _TOLD_ELSEWHERE]


def review_panel() -> None:
    """The list of a sound shop; nothing for one with faults."""
    shop = state.shop()
    if shop is None:
        return
    found = _review(shop)
    st.header("What to look at", divider="gray")
    if not found:
        st.caption("On paper nothing calls for a second look.")
    words = words_for(shop.scenario)
    for grade, group in groupby(found, key=lambda each: each.grade_text):
        rows = [(*(capital(on_page(text, words)) for text in (each.headline, each.found, each.do)), each.basis)
                for each in group]  # fmt: skip
        table(_COLUMNS, rows, left=(0, 1, 2, 3), title=grade.capitalize())
