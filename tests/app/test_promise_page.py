"""The page of promises on a shop that can be followed by hand, and on a demo's own morning."""

from __future__ import annotations

from pathlib import Path

import pytest

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
    assert sentence(at) == "All 2 open orders leave by their dates with 80 % or more."
    at.toggle(key="promise.ask").set_value(True).run()
    at.number_input(key="promise.pieces").set_value(10).run()
    at = answered(at, "promise")
    assert sentence(at).startswith("10 pieces of flag leave by ")


def test_faults_of_a_file_are_told(tmp_path: Path) -> None:
    at = visit("promise", with_morning(tmp_path, MORNING.replace("product: flag", "product: flags")))
    assert "the scenario has no product 'flags'; did you mean 'flag'?" in said(at)


@pytest.mark.parametrize("demo", [demo for demo in DEMOS if demo_mornings(demo.name)])
def test_a_demo_offers_its_morning(demo: object) -> None:
    draft = state.drafts().new(files_of(demo))  # type: ignore[arg-type]
    at = visit("promise", draft)
    assert "88 open orders" in said(at).replace("*", "")
    assert [each for each in at.button if each.key == "promise.run"]
