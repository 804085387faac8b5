"""Two tabs on one shop: an edit is made only to what its tab shows, and nothing that is kept is lost."""

from __future__ import annotations

import threading
import time
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from app.drafts import Draft
from app.locks import locked
from shopsim.shop.what_if import Change, WhatIf
from tests.app.test_shop_page import at_table, run, type_in
from tests.app.visit import said, tiny, visit
from tests.doors.tiny import SHOP

MOVED_ON = "This shop was changed in another tab, so what you did here was not taken."


@pytest.fixture
def draft(tmp_path: Path) -> Draft:
    return tiny(tmp_path)


def press(at: AppTest, key: str) -> AppTest:
    at.button(key=key).click()
    return run(at)


def test_a_row_that_has_moved_meanwhile_is_not_edited(draft: Draft) -> None:
    mine, other = at_table(draft, "people", "crews"), at_table(draft, "people", "crews")
    other.selectbox(key="edit.crews..row").set_value(1)
    run(other)
    press(other, "edit.crews..remove")
    without_sewer = draft.text()
    assert "sewer" in SHOP and "id: sewer" not in without_sewer
    # In this tab the third row is still the packers', in the file there is no third row any more.
    type_in(mine, "crews..0", 2, wage_per_h=99)
    assert MOVED_ON in said(mine)
    assert draft.text() == without_sewer
    # What stands in the grid now is the file; the same edit to the right row is taken.
    assert mine.data_editor[0].value["id"].tolist() == ["operator", "packer"]
    type_in(mine, "crews..1", 1, wage_per_h=99)
    assert MOVED_ON not in said(mine)
    assert draft.text() == without_sewer.replace(
        "{packing: 3}, shift: day, wage_per_h: 20", "{packing: 3}, shift: day, wage_per_h: 99"
    )


def test_nothing_of_another_tab_is_undone_unseen(draft: Draft) -> None:
    mine = at_table(draft, "policies", "printing")
    mine.number_input(key="sheet.printing.gang_max_web_m").set_value(60.0)
    run(mine)
    other = at_table(draft, "policies", "printing")
    other.number_input(key="sheet.printing.gang_max_web_m").set_value(70.0)
    run(other)
    press(mine, "shop.undo")
    assert MOVED_ON in said(mine)
    assert draft.text() == SHOP.replace("gang_max_web_m: 500", "gang_max_web_m: 70")
    assert mine.number_input(key="sheet.printing.gang_max_web_m").value == 70
    press(mine, "shop.undo")
    press(mine, "shop.undo")
    assert MOVED_ON not in said(mine)
    assert draft.text() == SHOP


def test_a_field_whose_shop_has_changed_is_not_taken_and_shows_the_file(draft: Draft) -> None:
    mine, other = at_table(draft, "policies", "printing"), at_table(draft, "policies", "printing")
    other.number_input(key="sheet.printing.gang_max_web_m").set_value(70.0)
    run(other)
    mine.number_input(key="sheet.printing.gang_max_web_m").set_value(60.0)
    run(mine)
    assert MOVED_ON in said(mine)
    assert mine.number_input(key="sheet.printing.gang_max_web_m").value == 70
    assert "gang_max_web_m: 70" in draft.text()


def test_a_tab_that_has_seen_the_change_edits_on(draft: Draft) -> None:
    mine, other = at_table(draft, "policies", "printing"), at_table(draft, "policies", "printing")
    other.number_input(key="sheet.printing.gang_max_web_m").set_value(70.0)
    run(other)
    run(mine)
    mine.number_input(key="sheet.printing.gang_max_web_m").set_value(60.0)
    run(mine)
    assert MOVED_ON not in said(mine)
    assert "gang_max_web_m: 60" in draft.text()


def test_whoever_changes_waits_for_whoever_is_changing(draft: Draft) -> None:
    kept, changes = [], (Change("set", "products.flag.route[1].minutes", 1.0),)

    def keep() -> None:
        draft.save_what_if(WhatIf("Quick seams", changes, "tiny.yaml"))
        kept.append(time.monotonic())

    other = threading.Thread(target=keep)
    with draft.changing():
        other.start()
        time.sleep(0.3)
        let_go = time.monotonic()
        assert kept == []
    other.join(10)
    assert kept[0] >= let_go


def test_what_is_entered_on_two_pages_at_once_is_kept(draft: Draft) -> None:
    one, two = visit("as_we_are", draft), visit("growth", draft)
    turns = [threading.Thread(target=lambda: one.number_input[0].set_value(7).run()),
             threading.Thread(target=lambda: two.number_input(key="growth.count").set_value(8).run())]  # fmt: skip
    with locked(draft.folder / ".lock"):
        for each in turns:
            each.start()
        time.sleep(0.5)
        assert [draft.forms().get(page, {}).get("count") for page in ("as_we_are", "growth")] == [3, 3]
    for each in turns:
        each.join(60)
    assert [draft.forms()[page]["count"] for page in ("as_we_are", "growth")] == [7, 8]
