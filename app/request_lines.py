"""The lines of a request: products, pieces and sizes."""

from __future__ import annotations

import streamlit as st

from app import state
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_model import OpenLine

_MOST_LINES = 20


def request_lines(page: str, scenario: Scenario) -> list[OpenLine]:
    """The lines as they are entered, one at first."""
    before = int(state.entered(page).get("lines", 1))
    count = st.number_input("Lines of the request", 1, _MOST_LINES, min(before, _MOST_LINES), key=f"{page}.lines")
    state.keep_entered(page, lines=count)
    return [_line(f"{page}.{number}", scenario) for number in range(1, count + 1)]


def _line(key: str, scenario: Scenario) -> OpenLine:
    products = scenario.by_id("products")
    product_at, pieces_at, width_at, height_at = st.columns(4)
    product = product_at.selectbox(
        "Product", list(products), key=f"{key}.product", format_func=lambda name: products[name].name or name
    )
    sizes = products[product].sizes
    # A size belongs to its product: another one begins with its own.
    width_m, height_m = (sizes[0].width_m, sizes[0].height_m) if len(sizes) == 1 else (1.0, 1.0)
    pieces = pieces_at.number_input("Pieces", 1, 10_000, 10, key=f"{key}.pieces")
    return OpenLine(
        product=product, pieces=pieces,
        width_m=width_at.number_input("Width, m", 0.05, 100.0, width_m, step=0.1, key=f"{key}.{product}.width"),
        height_m=height_at.number_input("Height, m", 0.05, 100.0, height_m, step=0.1, key=f"{key}.{product}.height"),
    )  # fmt: skip
