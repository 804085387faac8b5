"""The page Report: which answers go in, what is said where there are none, what is downloaded."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest
from openpyxl import load_workbook

from app import reports, state
from app.reports import answered as answers_of_draft
from shopsim.report.folder import folder_of, zipped
from shopsim.report.page import page_of
from shopsim.report.workbook import workbook_of
from tests.app.visit import WHAT_IF, answered, said, tiny, visit


@pytest.fixture(autouse=True)
def no_chromium(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("SHOPSIM_CHROMIUM", str(tmp_path / "nowhere"))


def test_without_an_answer_it_says_where_to_begin(tmp_path: Path) -> None:
    at = visit("report", tiny(tmp_path))
    assert "There is no answer yet. A report is made of answers: begin with how the shop does." in said(at)
    assert len(at.get("download_button")) == 1, "the sidebar's own alone"


def test_answers_of_the_draft_are_offered_and_chosen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    draft = tiny(tmp_path, WHAT_IF)
    answered(visit("as_we_are", draft), "as_we_are")
    at = visit("growth", draft)
    at.number_input[0].set_value(2).run()
    answered(at, "growth")
    at = visit("report", draft)
    titles = [
        "As we are: How does the shop do as it stands?",
        "Growth: How much more can the shop take on before it breaks, as it stands?",
    ]
    assert at.multiselect[0].value == titles
    text = said(at)
    assert "**1. How does the shop do as it stands?**" in text
    assert "On time 67 % of orders in every run" in text
    assert "No Chromium found on this machine" in text
    buttons = at.get("download_button")
    assert [one.proto.label for one in buttons if "Save" not in one.proto.label] == [
        "Page (HTML)",
        "Workbook (XLSX)",
        "Everything (ZIP)",
    ]
    assert "Left for you to fill in: 7 of 24 items" in at.expander[0].label
    at.multiselect[0].set_value(titles[1:]).run()
    assert "**1. How much more can the shop take on before it breaks, as it stands?**" in said(at)
    assert draft.forms()["report"]["left_out"] == titles[:1]
    assert visit("report", draft).multiselect[0].value == titles[1:]
    at.multiselect[0].set_value([]).run()
    assert "Choose at least one answer." in said(at)


def test_what_is_downloaded_holds_the_answer_the_title_and_the_files(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    draft = tiny(tmp_path)
    answered(visit("as_we_are", draft), "as_we_are")
    monkeypatch.setattr(state, "required", lambda: draft)
    monkeypatch.setattr(state, "sound_shop", draft.shop)
    contents = reports.contents_of(answers_of_draft(), "For <the> bank", "Somebody")
    page = page_of(contents)
    assert "<h1>For &lt;the&gt; bank</h1>" in page
    assert ", by Somebody, from tiny.yaml" in page
    assert "shopsim run tiny.yaml --replications 3" in page
    book = load_workbook(io.BytesIO(workbook_of(contents)))
    assert book["Answers"]["D2"].value.startswith("On time 67 % of orders in every run")
    with zipfile.ZipFile(io.BytesIO(zipped(folder_of(contents)))) as everything:
        assert sorted(everything.namelist()) == [
            "answers.json", "files/orders.csv", "files/requirements.txt", "files/tiny.yaml", "replications.csv",
            "report.html", "workbook.xlsx",
        ]  # fmt: skip
    assert "file orders.csv" in [row[0].value for row in book["Read me"].iter_rows()]


def test_an_answer_to_the_shop_as_it_was_is_named_and_left_out(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    answered(visit("as_we_are", draft), "as_we_are")
    draft.put_text(draft.text().replace("wage_per_h: 30", "wage_per_h: 31"))
    at = visit("report", draft)
    assert "Asked of the shop as it was before; ask again to have them in:" in said(at)
    assert "- As we are: How does the shop do as it stands?" in said(at)
    assert len(at.multiselect) == 0
