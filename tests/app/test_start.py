"""The start page: demos, files with their faults, what was open before."""

from __future__ import annotations

import os
import runpy
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from app import frame, state
from app.say import plain
from shopsim.shop.demos import DEMOS, files_of
from tests.app.visit import MAIN, WHAT_IF, said, tiny, visit
from tests.doors.tiny import ORDERS, SHOP


def test_a_visit_begins_with_three_demos_and_files() -> None:
    at = visit()
    assert [title.value for title in at.title] == ["Ask the shop"]
    assert [button.key for button in at.button] == ["demo.flag_banner", "demo.frame_fabric", "demo.exhibition"]
    assert "Three people, one printer near its limit. Does a second one pay?" in said(at)


def test_a_demo_comes_with_its_order_book_and_its_what_ifs() -> None:
    at = visit()
    at.button(key="demo.frame_fabric").click().run()
    assert not at.exception
    assert [title.value for title in at.title] == ["As we are"]
    draft = state.drafts().open(at.query_params["shop"])
    assert draft is not None
    assert draft.name == "frame_fabric_shop.yaml"
    assert len(draft.shop().order_lines) > 1000
    assert [what_if.name for what_if in draft.what_ifs()][-1] == "A weekend shift in the sewing room"


def test_every_demo_can_be_opened() -> None:
    assert [state.drafts().new(files_of(demo)).shop().scenario.shop.name for demo in DEMOS] == [
        demo.title for demo in DEMOS
    ]


def test_files_are_opened_together() -> None:
    at = visit()
    at.file_uploader[0].upload("my shop.yaml", SHOP.encode(), "text/yaml")
    at.file_uploader[0].upload("book of mine.csv", ORDERS.encode(), "text/csv")
    at.file_uploader[0].upload("quick.yaml", WHAT_IF.encode(), "text/yaml").run()
    next(button for button in at.button if button.label == "Open").click().run()
    assert not at.exception
    draft = state.drafts().open(at.query_params["shop"])
    assert draft is not None
    files = [path.relative_to(draft.folder).as_posix() for path in draft.folder.rglob("*.*")]
    assert sorted(name for name in files if not name.startswith(".")) == [
        "forms.json", "my_shop.yaml", "orders.csv", "what_ifs/quick.yaml",
    ]  # fmt: skip
    assert [what_if.name for what_if in draft.what_ifs()] == ["Quick seams"]


def open_file(text: str, name: str = "tiny.yaml", orders: str = ORDERS) -> str:
    at = visit()
    at.file_uploader[0].upload(name, text.encode(), "text/yaml")
    at.file_uploader[0].upload("orders.csv", orders.encode(), "text/csv").run()
    next(button for button in at.button if button.label == "Open").click().run()
    assert not at.exception
    assert "shop" not in at.query_params
    assert state.drafts().listed() == []
    return "\n".join(error.value for error in at.error).replace("\\", "")


def test_faults_of_a_scenario_are_told_with_their_places() -> None:
    told = open_file(SHOP.replace("price_per_m2: 20", "price_per_m2: dear"))
    assert told == (
        "One thing needs mending:\n\n- tiny.yaml:34:5: products.flag.price_per_m2: must be a number, found 'dear'"
    )


def test_faults_of_an_order_book_are_told_with_their_lines() -> None:
    told = open_file(SHOP, orders=ORDERS.replace("flag,10\n", "banner,10\n").replace("flag,100", "flag,-3"))
    assert told.startswith("2 things need mending:\n\n- orders.csv:3: column product: ")
    assert "\n- orders.csv:4: column pieces: " in told


def test_what_is_no_scenario_is_told() -> None:
    assert "one scenario file (.yaml) is needed, found none" in open_file(WHAT_IF, "quick.yaml")


def test_names_of_files_show_as_they_are_and_mark_nothing_up() -> None:
    told = open_file(SHOP.replace("fabric: knit", "fabric: ':red[x] <b>$y$'"))
    assert ":red[x] <b>$y$" in told


def test_text_on_the_page_is_escaped() -> None:
    assert plain("a *b* :red[c] $d$ <e>\n|f") == r"a \*b\* \:red\[c\] \$d\$ \<e\> \|f"


def test_where_one_was_is_offered_again(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit()
    button = at.button(key=f"draft.{draft.id}")
    assert button.label.replace("\\", "") == "Tiny shop, just now"
    button.click().run()
    assert at.query_params["shop"] == draft.id


def test_older_shops_are_found_by_their_names(tmp_path: Path) -> None:
    for number in range(10):
        draft = tiny(tmp_path)
        draft.put_text(draft.text().replace("Tiny shop", f"Tiny shop {number}"))
        os.utime(draft.path, (1_700_000_000 + number, 1_700_000_000 + number))
    drafts = state.drafts().listed()
    at = visit()
    assert [expander.label for expander in at.expander] == ["Older ones (2)"]
    older = [f"draft.{draft.id}" for draft in drafts[8:]]
    assert [button.key for button in at.expander[0].button] == older
    name = state.title_of(drafts[9])
    at.text_input(key="start.older").set_value(name.upper()).run()
    assert [button.key for button in at.expander[0].button] == older[1:]
    at.button(key=older[1]).click().run()
    assert at.query_params["shop"] == drafts[9].id


def test_a_page_without_a_shop_leads_to_the_start() -> None:
    assert "No shop is open yet." in said(visit("as_we_are"))


def test_an_address_that_leads_nowhere_is_forgotten() -> None:
    at = AppTest.from_file(str(MAIN), default_timeout=60)
    at.query_params["shop"] = "../../etc"
    at.run()
    assert not at.exception
    assert "shop" not in at.query_params


@pytest.mark.parametrize(("name", "times"), [("__main__", 1), ("__mp_main__", 0)])
def test_worker_processes_open_no_front_end(monkeypatch: pytest.MonkeyPatch, name: str, times: int) -> None:
    # A process that is spawned reads the main module under another name: it would wait for visitors and never end.
    shown: list[Path] = []
    monkeypatch.setattr(frame, "show", shown.append)
    runpy.run_path(str(MAIN), run_name=name)
    assert shown == [MAIN.parent] * times
