"""Editing in a browser: what is saved runs alike on the command line; a bad order book; keys alone; painted hours."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import pytest

from tests.browser.harness import ROOT, answer, go, open_demo, settled

pytestmark = pytest.mark.e2e

BAD = "order_id,received,due,product,pieces\nA,2026-01-05 09:00,2026-01-08,nothing,2\nB,2026-01-05 09:00,,nothing,0\n"


def open_editor(page: Any, right: int, down: int) -> Any:
    """The first grid's cell so many steps from the first one, opened by keys."""
    grid = page.locator("[data-testid=stDataFrame]").first
    grid.wait_for()
    cell = page.locator("input.gdg-input, textarea.gdg-input").first
    # A grid that is drawn anew while keys arrive forgets them; then they are given once more.
    for _ in range(4):
        box = grid.bounding_box()
        page.mouse.click(box["x"] + 20, box["y"] + 52)
        for key, times in (("ArrowDown", down), ("ArrowRight", right)):
            for _ in range(times):
                page.keyboard.press(key)
        page.keyboard.press("Enter")
        page.wait_for_timeout(1000)
        if cell.count():
            break
    cell.wait_for()
    return cell


def type_in(page: Any, cell: Any, text: str) -> None:
    page.keyboard.press("Control+A")
    page.keyboard.type(text, delay=30)
    page.keyboard.press("Enter")
    cell.wait_for(state="detached")
    # The grid sends what was typed a moment later.
    page.wait_for_timeout(400)
    settled(page)


def choose(page: Any, name: str) -> None:
    page.locator("[data-testid=stRadio] label", has_text=re.compile(f"^{name}$")).first.click()
    settled(page)


def cells(page: Any, grid: int = 0) -> list[str]:
    found: list[str] = page.locator("[data-testid=stDataFrame]").nth(grid).locator("table td").all_text_contents()
    return found


def test_what_is_edited_and_saved_runs_to_the_same_numbers(page: Any, tmp_path: Path) -> None:
    open_demo(page, 0)
    go(page, "shop")
    choose(page, "People")
    type_in(page, open_editor(page, right=2, down=1), "2")
    assert "2" in cells(page)
    with page.expect_download() as saved:
        page.get_by_role("button", name="Save as files").click()
    saved.value.save_as(tmp_path / "shop.zip")
    with zipfile.ZipFile(tmp_path / "shop.zip") as files:
        files.extractall(tmp_path)
    scenario = next(tmp_path.glob("*.yaml"))
    assert "count: 2" in scenario.read_text(encoding="utf-8")
    go(page, "as_we_are")
    page.get_by_role("spinbutton", name="Runs").fill("4")
    page.get_by_role("spinbutton", name="Runs").press("Enter")
    settled(page)
    page.get_by_role("button", name="Run", exact=True).click()
    on_screen = answer(page)
    command = [
        sys.executable,
        "-m",
        "shopsim",
        "run",
        str(scenario),
        "--replications",
        "4",
        "--no-store",
        "--json",
        "-",
    ]
    told = subprocess.run(command, capture_output=True, check=True, cwd=ROOT)
    assert on_screen == json.loads(told.stdout)["sentence"]


def test_a_bad_order_book_is_told_row_by_row(page: Any, tmp_path: Path) -> None:
    open_demo(page, 0)
    go(page, "orders")
    (tmp_path / "bad.csv").write_text(BAD, encoding="utf-8")
    page.locator("input[type=file]").first.set_input_files(tmp_path / "bad.csv")
    page.get_by_text("2 rows cannot be taken").wait_for()
    rows = page.locator("table", has_text="Reasons").locator("tbody tr").all_inner_texts()
    assert [row.split("\t")[:2] for row in rows] == [["2", "A"], ["3", "B"]]
    assert "product: the scenario has no product 'nothing'" in rows[0]
    assert "due: is empty; pieces: must be a whole number of at least 1, found '0'" in rows[1]
    assert page.get_by_role("button", name="Take").count() == 0


def test_a_cell_is_edited_mended_and_taken_back_by_keys_alone(page: Any) -> None:
    open_demo(page, 0)
    go(page, "shop")
    choose(page, "Money and study")
    page.get_by_role("spinbutton", name="Energy, ").focus()
    page.keyboard.press("Control+A")
    page.keyboard.type("-1")
    page.keyboard.press("Enter")
    page.get_by_text("must be at least 0, found −1").first.wait_for()
    page.keyboard.press("Control+A")
    page.keyboard.type("0.31")
    page.keyboard.press("Enter")
    page.get_by_text("must be at least 0, found −1").first.wait_for(state="detached")
    assert page.get_by_role("spinbutton", name="Energy, ").input_value() == "0.31"
    for _ in range(40):
        page.keyboard.press("Shift+Tab")
        if page.evaluate("() => document.activeElement.innerText").endswith("Undo"):
            break
    page.keyboard.press("Enter")
    page.wait_for_timeout(400)
    settled(page)
    assert page.get_by_role("spinbutton", name="Energy, ").input_value() == "-1"


def test_hours_are_painted_and_put_into_the_shop(page: Any) -> None:
    open_demo(page, 0)
    go(page, "shifts")
    page.locator("[data-testid=stCheckbox] label", has_text="Sat").click()
    settled(page)
    page.get_by_role("button", name="Paint", exact=True).click()
    settled(page)
    page.get_by_text("6 shifts").wait_for()
    page.get_by_role("button", name="Put into the shop").click()
    page.get_by_role("button", name="Put into the shop").wait_for(state="detached")
    go(page, "shop")
    go(page, "shifts")
    assert page.get_by_text("6 shifts").count() == 1
