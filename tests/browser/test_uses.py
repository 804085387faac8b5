"""The three uses, each from an empty start with files of one's own to the answer, on a shop followed by hand."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.browser.harness import answer, go, settled
from tests.doors.tiny import ORDERS, write_shop

pytestmark = pytest.mark.e2e


def open_files(page: Any, folder: Path) -> None:
    """The tiny shop, given as files on the start page."""
    page.goto("/")
    settled(page)
    page.locator("input[type=file]").set_input_files([write_shop(folder), folder / "orders.csv"])
    page.get_by_role("button", name="Open", exact=True).click()
    page.wait_for_url("**/as_we_are?*shop=*")
    settled(page)


def press(page: Any, name: str) -> None:
    page.get_by_role("button", name=name, exact=True).click()


def fill(page: Any, label: str, text: str) -> None:
    field = page.get_by_role("spinbutton", name=label).or_(page.get_by_role("textbox", name=label)).first
    field.fill(text)
    field.press("Enter")
    settled(page)


def test_whether_a_second_printer_pays(page: Any, tmp_path: Path) -> None:
    open_files(page, tmp_path)
    go(page, "second_printer")
    fill(page, "Price, CU", "50000")
    page.get_by_text("Planning aid only.").first.wait_for()
    press(page, "Work it out")
    assert answer(page).startswith("“Another printer” does not pay: it is worth ")
    page.locator(".js-plotly-plot").first.wait_for()


def test_how_many_sewers_are_enough(page: Any, tmp_path: Path) -> None:
    open_files(page, tmp_path)
    go(page, "sewing_crew")
    fill(page, "Wanted on time, %", "60")
    press(page, "Find the crew")
    told = (
        "1 person in crew “Sewer” is the cheapest crew that sends 60 % of orders out on time, give or take 3 points "
        "(67 %)"
    )
    assert answer(page).startswith(told)
    press(page, "Keep this crew as a what-if")
    page.get_by_text("Kept: it is on the What if page").wait_for()


def test_which_shifts_to_work(page: Any, tmp_path: Path) -> None:
    open_files(page, tmp_path)
    go(page, "shifts")
    page.locator("[data-testid=stCheckbox] label", has_text="Sat").click()
    settled(page)
    press(page, "Paint")
    settled(page)
    fill(page, "Name of the pattern", "Saturdays too")
    press(page, "Keep to compare")
    page.get_by_role("button", name="Compare", exact=True).click()
    assert answer(page) == "No pattern can be recommended: each breaks a rest-time rule."
    page.get_by_text("Saturdays too").first.wait_for()


def test_a_sound_order_book_is_taken(page: Any, tmp_path: Path) -> None:
    open_files(page, tmp_path)
    go(page, "orders")
    (tmp_path / "new.csv").write_text("\n".join(ORDERS.splitlines()[:3]) + "\n", encoding="utf-8")
    page.locator("input[type=file]").first.set_input_files(tmp_path / "new.csv")
    page.get_by_text("2 orders with 2 order lines can be taken.").wait_for()
    press(page, "Take this order book")
    page.get_by_text("2 orders, 2 order lines.").wait_for()
    go(page, "as_we_are")
    press(page, "Run")
    assert answer(page).startswith("On time 100 % of orders in every run")
