"""Does it match?: a list of other software is mapped on screen, looked through, and compared with the model."""

from __future__ import annotations

import datetime
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from app import records, state
from app.drafts import Draft
from shopsim.shop.exports.mapping import load_mapping
from shopsim.shop.scenario_dump import dump_scenario
from shopsim.studies import match_causes
from tests.app.visit import answered, said, sentence, visit
from tests.evidence.matching_shop import happened, model_of

SEED, WEEKS = 2, 6
HEADING = "Auftrag;Eingang;Termin;Artikel;Menge;Breite (cm);Höhe (cm);Versandt am"


@pytest.fixture(scope="module")
def listed() -> bytes:
    """The order list, made once."""
    return listed_text()


def listed_text() -> bytes:
    """The order list of six weeks as other software writes it, with a sum below."""
    rows = [_row(row) for row in happened(SEED, WEEKS).orders]
    return "\n".join([HEADING, *rows, f"Summe;{len(rows)}"]).encode("cp1252")


def _row(row: dict[str, Any]) -> str:
    def day(at: datetime.date) -> str:
        return f"{at:%d.%m.%Y}"

    shipped = f"{row['shipped']:%d.%m.%Y %H:%M}" if "shipped" in row else ""
    sides = ";".join(f"{row[side] * 100:g}" for side in ("width_m", "height_m"))
    received = f"{row['received']:%d.%m.%Y %H:%M}"
    return f"{row['order_id']};{received};{day(row['due'])};Spannrahmen;{row['pieces']};{sides};{shipped}"


def draft_of(model: str) -> Draft:
    return state.drafts().new({"shop.yaml": dump_scenario(model_of(SEED, model)).encode()})


def given(draft: Draft, listed: bytes) -> AppTest:
    at = visit("match", draft)
    assert "Give an order history with the day on which each order was shipped." in said(at)
    at.file_uploader(key="match.orders").upload("Auftragsliste.csv", listed)
    return run(at)


def run(at: AppTest) -> AppTest:
    at.run()
    assert not at.exception, at.exception[0].value
    return at


def test_a_list_is_mapped_on_screen(listed: bytes) -> None:
    draft = draft_of("true")
    at = given(draft, listed)
    told = said(at)
    assert "In use: **Auftragsliste.csv**" in told
    # Nothing is guessed: the product's name is none of ours, and every order waits for it.
    assert "To settle: products without an id of ours, translate them under `values`: 'Spannrahmen'" in told
    assert "no order on record fits the scenario: the scenario has no product 'Spannrahmen'; known: frame" in told
    at.selectbox(key="map.orders.product.0").select("frame")
    run(at)
    kept = records.kept(draft, "orders")
    assert kept is not None
    mapping = load_mapping(kept.mapping_path)
    assert mapping.columns["product"].values == {"Spannrahmen": "frame"}
    assert (mapping.columns["width_m"].unit, mapping.columns["shipped"].headings) == ("cm", ("Versandt am",))
    rows = len(listed.splitlines()) - 1
    told = said(at)
    assert f"{rows - 1} of {rows} rows can be used as order lines, none of them repaired; 1 is rejected." in told
    assert f"| line {rows + 1} | a row of totals: 'Summe' |" in told
    first = at.dataframe[0].value.iloc[0]
    assert (first["product"], first["width_m"]) == ("frame", "2.8")
    # Another column in its place is kept at once, and the rows are read anew.
    at.selectbox(key="map.orders.width_m").select("not in the file")
    run(at)
    assert "width_m" not in load_mapping(kept.mapping_path).columns
    assert "the other side is not" in said(at)


def test_the_verdict_stands_first(listed: bytes, monkeypatch: pytest.MonkeyPatch) -> None:
    # How well causes are found is tested elsewhere: the page needs some, soon.
    monkeypatch.setattr(match_causes, "FIRST_RUNS", 2)
    monkeypatch.setattr(match_causes, "LAST_RUNS", 12)
    draft = draft_of("no breakdowns")
    at = given(draft, listed)
    at.selectbox(key="map.orders.product.0").select("frame")
    run(at)
    at.number_input(key="match.run_in").set_value(2)
    at.number_input(key="match.count").set_value(19)
    run(at)
    at = answered(at, "match")
    verdict = sentence(at)
    assert verdict.startswith("The model differs from what happened in 4 weeks: ")
    shown = [one.value for one in at.markdown]
    assert next(i for i, text in enumerate(shown) if text.startswith("## ")) < 3
    assert [one.value for one in at.subheader] == ["19 Jan 2026 to 15 Feb 2026, 4 weeks"]
    told = said(at)
    assert "19 runs of the recorded orders, 2026-01-19 to 2026-02-15; the 2 weeks before fill the shop." in told
    assert "95 % for all 10 figures at once." in told
    assert "| on time, % |" in told
    # What another visit finds: the file, its mapping and the answer.
    again = visit("match", draft)
    assert sentence(again) == verdict


def test_a_record_too_short_says_so(listed: bytes) -> None:
    draft = draft_of("true")
    at = given(draft, b"\n".join(listed.splitlines()[:60]))
    at.selectbox(key="map.orders.product.0").select("frame")
    run(at)
    assert "leave less than 2 to compare" in said(at) or "must cover at least two whole weeks" in said(at)
    assert not [button for button in at.button if button.key == "match.run"]


def test_a_file_of_nothing_known_is_refused() -> None:
    draft = draft_of("true")
    at = visit("match", draft)
    at.file_uploader(key="match.orders").upload("notes.csv", b"hello;world\n1;2\n")
    run(at)
    assert "no row holds a heading that is known; write a mapping" in said(at)
    assert records.kept(draft, "orders") is None
