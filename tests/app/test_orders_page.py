"""The page of the orders: a forecast by month, weekday and hour, and an order book from a file."""

from pathlib import Path

from streamlit.testing.v1 import AppTest

from app import state
from shopsim.shop.demos import DEMOS, files_of
from shopsim.shop.scenario_file import load_scenario
from tests.app.visit import said, tiny, visit
from tests.doors.tiny import SHOP

BAD = b"""order_id,received,due,product,pieces
A,2026-01-05 07:00,2026-01-05,flag,20
B,2026-01-05 07:50,2026-01-05,flg,10
B,2026-01-05 07:50,2026-01-05,flag,5
C,2026-01-06 07:50,2026-01-02,flag,none
"""


def run(at: AppTest) -> AppTest:
    at.run()
    assert not at.exception, at.exception[0].value
    return at


def test_a_bad_order_book_is_told_row_by_row_and_its_sound_orders_can_be_taken(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit("orders", draft)
    assert "In use: **orders.csv**, 3 orders, 3 order lines." in said(at)
    at.file_uploader(key="orders.book").upload("Bad book.csv", BAD)
    run(at)
    told = said(at)
    assert "2 rows cannot be taken; sound rows of the same orders are left out too: 1." in told
    assert "| 3 | B | product: the scenario has no product 'flg'; did you mean 'flag'? known: flag |" in told
    assert "| 5 | C | pieces: must be a whole number of at least 1, found 'none'; due: must not be before" in told
    assert "**1 order** with 1 order lines can be taken." in told
    assert draft.text() == SHOP
    assert at.button(key="orders.take").label == "Take the 1 order without faults"
    at.button(key="orders.take").click()
    run(at)
    shop = draft.shop()
    assert [(line.order_id, line.pieces) for line in shop.order_lines] == [("A", 20)]
    file = shop.scenario.demand.order_book.file
    assert file.startswith("bad_book_")
    assert draft.text() == SHOP.replace("file: orders.csv", f"file: {file}")
    at.button(key="orders.undo").click()
    run(at)
    assert len(draft.shop().order_lines) == 3


def test_an_order_book_in_use_comes_first(tmp_path: Path) -> None:
    at = visit("orders", tiny(tmp_path))
    asked, shares = "How many, and of what", "Over the year, the week and the day"
    assert [each.value for each in at.header][:3] == ["Order book", asked, shares]
    at.button(key="orders.leave_out").click()
    run(at)
    assert [each.value for each in at.header][:3] == [asked, shares, "Order book"]


def test_a_file_that_is_no_book_says_so(tmp_path: Path) -> None:
    at = visit("orders", tiny(tmp_path))
    at.file_uploader(key="orders.book").upload("book.csv", b"order,due\n1,2\n")
    run(at)
    assert "book.csv: line 1: unknown column 'order'" in said(at)
    assert "No order can be taken from this file." in said(at)


def test_shares_of_a_forecast_are_edited_and_told() -> None:
    draft = state.drafts().new(files_of(DEMOS[0]))
    before = draft.shop().scenario.demand.forecast
    at = visit("orders", draft)
    at.session_state["orders.span"] = "week"
    run(at)
    assert "Orders over the week: most in" in said(at)
    assert at.data_editor[-1].value["share"].tolist() == list(before.weekday_shares)
    at.session_state["edit.shares.week.0"] = {"edited_rows": {5: {"share": 12.5}}, "added_rows": [], "deleted_rows": []}
    run(at)
    after = load_scenario(draft.path).demand.forecast
    assert after.weekday_shares == (*before.weekday_shares[:5], 12.5, before.weekday_shares[6])
    assert after.model_copy(update={"weekday_shares": before.weekday_shares}) == before
    for span in ("year", "day"):
        at.session_state["orders.span"] = span
        run(at)
        assert f"Orders over the {span}: most in" in said(at)


def test_leaving_the_book_out_brings_a_forecast(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit("orders", draft)
    at.button(key="orders.leave_out").click()
    run(at)
    demand = draft.shop().scenario.demand
    assert demand.order_book is None
    assert [line.product for line in demand.forecast.mix] == ["flag"]
