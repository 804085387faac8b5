"""Does it match? in a browser: a list of other software mapped on screen, the verdict, and everybody's access to it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from shopsim.shop.scenario_dump import dump_scenario
from tests.app.test_match_page import SEED, listed_text
from tests.browser.asking import choose
from tests.browser.harness import answer, found_by_axe, go, settled
from tests.evidence.matching_shop import model_of

pytestmark = pytest.mark.e2e


def test_a_list_is_mapped_compared_and_read_by_everybody(page: Any, axe: str, tmp_path: Path) -> None:
    shop, orders = tmp_path / "shop.yaml", tmp_path / "Auftragsliste.csv"
    shop.write_text(dump_scenario(model_of(SEED, "true")), encoding="utf-8")
    orders.write_bytes(listed_text())
    page.goto("/")
    settled(page)
    page.locator("input[type=file]").set_input_files(shop)
    page.get_by_role("button", name="Open", exact=True).click()
    page.wait_for_url("**/as_we_are?*shop=*")
    settled(page)
    go(page, "match")
    page.locator("input[type=file]").first.set_input_files(orders)
    page.get_by_text("To settle: products without an id of ours").wait_for()
    settled(page)
    choose(page, "Spannrahmen", "frame")
    page.get_by_text("none of them repaired; 1 is rejected.").wait_for()
    for label, text in (("Weeks that fill it", "2"), ("Runs", "19")):
        field = page.get_by_role("spinbutton", name=label).first
        field.fill(text)
        field.press("Enter")
        settled(page)
    page.get_by_role("button", name="Compare", exact=True).click()
    verdict = answer(page)
    assert verdict.startswith("Nothing in 4 weeks on record speaks against the model")
    page.locator(".js-plotly-plot").nth(4).wait_for()
    # The verdict stands above the records and the pictures.
    tops = [page.locator(each).first.bounding_box()["y"] for each in ("h2", "input[type=file]", ".js-plotly-plot")]
    assert tops[0] < tops[1] < tops[2]
    assert found_by_axe(page, axe) == []
