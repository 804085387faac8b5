"""Promise a date in a browser: a list of open orders, who is away, a request of two lines, and everybody's access."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.app.test_promise_page import LIST
from tests.browser.asking import choose
from tests.browser.harness import answer, found_by_axe, go, settled
from tests.doors.tiny import write_shop

pytestmark = pytest.mark.e2e


def test_a_date_is_promised_and_read_by_everybody(page: Any, axe: str, tmp_path: Path) -> None:
    write_shop(tmp_path)
    orders = tmp_path / "List.csv"
    orders.write_text(LIST, encoding="utf-8")
    page.goto("/")
    settled(page)
    page.locator("input[type=file]").set_input_files([tmp_path / "tiny.yaml", tmp_path / "orders.csv"])
    page.get_by_role("button", name="Open", exact=True).click()
    page.wait_for_url("**/as_we_are?*shop=*")
    settled(page)
    go(page, "promise")
    page.get_by_text("The order book's status column").click()
    settled(page)
    page.get_by_text("Give the order book with its status column").wait_for()
    page.locator("input[type=file]").first.set_input_files(orders)
    page.get_by_text("In use: List.csv").wait_for()
    settled(page)
    page.get_by_text("1 open order.").wait_for()
    settled(page)
    page.get_by_text("Who is away, what is down").click()
    choose(page, "Crews with people away", "Sewer")
    _fill(page, "Futures", "20")
    page.get_by_text("A customer asks for a date").click()
    settled(page)
    _fill(page, "Lines of the request", "2")
    page.get_by_role("button", name="Look ahead", exact=True).click()
    told = answer(page)
    assert told.startswith("10 pieces of flag and 10 pieces of flag leave by ")
    assert "1 row of the order book is left out and in none of these dates: status: 'somewhere' is not known" in told
    page.locator(".js-plotly-plot").first.wait_for()
    assert found_by_axe(page, axe) == []
    page.set_viewport_size({"width": 390, "height": 844})
    settled(page)
    assert page.evaluate("() => document.documentElement.scrollWidth") == 390


def _fill(page: Any, label: str, text: str) -> None:
    field = page.get_by_role("spinbutton", name=label).first
    field.fill(text)
    field.press("Enter")
    settled(page)
