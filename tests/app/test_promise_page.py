"""The page of promises on a shop that can be followed by hand, and on a demo's own morning."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from app import state
from app.drafts import Draft
from shopsim.shop.demos import DEMOS, demo_mornings, files_of
from tests.app.visit import answered, said, sentence, tiny, visit
from tests.doors.test_promise import MORNING


def with_morning(folder: Path, text: str) -> Draft:
    """The tiny shop with a morning given on an earlier visit."""
    draft = tiny(folder)
    (draft.folder / "mornings").mkdir()
    (draft.folder / "mornings" / "today.yaml").write_text(text, encoding="utf-8")
    return draft


def test_no_morning_yet(tmp_path: Path) -> None:
    at = visit("promise", tiny(tmp_path))
    assert "Give a file of the morning: open orders and where they are." in said(at)
    assert not [each for each in at.button if each.key == "promise.run"]


def test_a_morning_from_a_file_and_a_request(tmp_path: Path) -> None:
    at = visit("promise", with_morning(tmp_path, MORNING))
    assert "Tuesday, 06 January 2026, 07:00: 2 open orders." in said(at).replace("*", "")
    at.number_input(key="promise.count").set_value(20).run()
    at = answered(at, "promise")
    assert sentence(at).startswith("Both open orders leave by their dates with 80 % or more. No further order comes in")
    at.toggle(key="promise.ask").set_value(True).run()
    at.number_input(key="promise.lines").set_value(2).run()
    at.number_input(key="promise.2.pieces").set_value(3).run()
    at = answered(at, "promise")
    assert sentence(at).startswith("10 pieces of flag and 3 pieces of flag leave by ")


LIST = """\
Job;Taken in;To leave by;What;Qty;State
A;05.01.2026 07:00;06.01.2026;flag;20;Work
B;05.01.2026 07:00;06.01.2026;flag;40;somewhere
C;05.01.2026 07:00;06.01.2026;flag;5;dispatched
"""


def test_another_software_s_list_with_who_is_away_and_what_is_down(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit("promise", draft)
    at.radio(key="promise.from").set_value("The order book's status column").run()
    assert "Give the order book with its status column" in said(at)
    assert at.date_input(key="promise.day").value == datetime.datetime.now().date()
    at.date_input(key="promise.day").set_value(datetime.date(2026, 1, 6)).run()
    at.file_uploader(key="promise.orders").upload("List.csv", LIST.encode())
    at.run()
    told = said(at)
    assert "2 of 3 rows can be used as order lines, none of them repaired; 1 is rejected." in told
    assert "(1 row, first line 3)." in told
    assert "Tuesday, 06 January 2026, 07:00: 1 open order." in told.replace("*", "")
    # The sewing table is down until Wednesday noon, so A, with an hour's work there, leaves on that day; the sewer is
    # away until Thursday: A leaves then.
    at.number_input(key="promise.count").set_value(20).run()
    at.multiselect(key="promise.down").set_value(["sewing_table"]).run()
    at.date_input(key="promise.until.sewing_table").set_value(datetime.date(2026, 1, 7)).run()
    at = answered(at, "promise")
    assert sentence(at).startswith("The open order is at risk, below 80 %; least likely A (due Tue 06 Jan, 0 %")
    assert leaves(at) == "Wed 07 Jan"
    at.multiselect(key="promise.away").set_value(["sewer"]).run()
    at.date_input(key="promise.back.sewer").set_value(datetime.date(2026, 1, 8)).run()
    at = answered(at, "promise")
    assert leaves(at) == "Thu 08 Jan"
    # On the next visit, on another day, what was entered is offered as far as it is to come.
    again = visit("promise", draft)
    assert again.multiselect(key="promise.down").value == ["sewing_table"]
    assert again.multiselect(key="promise.away").value == ["sewer"]
    tomorrow = datetime.datetime.now().date() + datetime.timedelta(days=1)
    assert again.date_input(key="promise.back.sewer").value == tomorrow


def leaves(at: AppTest) -> str:
    """By when A leaves with 80 %, in the table of orders at risk."""
    lines = [line for each in at.markdown for line in each.value.splitlines()]
    return next(line for line in lines if line.startswith("| A | Tue 06 Jan | 0")).split("|")[4].strip()


def test_faults_of_a_file_are_told(tmp_path: Path) -> None:
    at = visit("promise", with_morning(tmp_path, MORNING.replace("product: flag", "product: flags")))
    assert "the scenario has no product 'flags'; did you mean 'flag'?" in said(at)


@pytest.mark.parametrize("demo", [demo for demo in DEMOS if demo_mornings(demo.name)])
def test_a_demo_offers_its_morning(demo: object) -> None:
    draft = state.drafts().new(files_of(demo))  # type: ignore[arg-type]
    at = visit("promise", draft)
    assert "88 open orders" in said(at).replace("*", "")
    # The book's later orders are nothing that the morning knows.
    assert "With “Orders to come as forecast”." in said(at)
    assert [each for each in at.button if each.key == "promise.run"]
