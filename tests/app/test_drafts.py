"""Drafts: the files of a shop on disk, whatever they were called, and nothing beside their folder."""

from __future__ import annotations

import io
import zipfile
from pathlib import Path

import pytest

from app import drafts as module
from app.drafts import Drafts, age
from shopsim.errors import InputError
from shopsim.shop.what_if import Change, WhatIf
from tests.app.visit import WHAT_IF
from tests.doors.tiny import ORDERS, SHOP


@pytest.fixture
def drafts(tmp_path: Path) -> Drafts:
    return Drafts(tmp_path / "drafts")


def files(**more: str) -> dict[str, bytes]:
    return {name: text.encode() for name, text in {"tiny.yaml": SHOP, "orders.csv": ORDERS, **more}.items()}


def test_a_draft_is_what_the_command_line_runs(drafts: Drafts) -> None:
    draft = drafts.new(files(**{"q.yaml": WHAT_IF}))
    draft.put_forms({"as_we_are": {"count": 5}})
    with zipfile.ZipFile(io.BytesIO(draft.zipped())) as made:
        assert sorted(made.namelist()) == ["orders.csv", "tiny.yaml", "what_ifs/q.yaml"]
        assert made.read("tiny.yaml").decode() == SHOP
    assert drafts.open(draft.id) == draft
    assert draft.forms() == {"as_we_are": {"count": 5}}


def test_folders_in_names_are_dropped(drafts: Drafts, tmp_path: Path) -> None:
    draft = drafts.new({"../../evil dir/My Shop.yaml": SHOP.encode(), "../orders.csv": ORDERS.encode()})
    assert sorted(path.name for path in draft.folder.iterdir()) == ["my_shop.yaml", "orders.csv", "what_ifs"]
    assert sorted(path.name for path in tmp_path.iterdir()) == ["drafts"]


def test_an_order_book_outside_the_folder_is_refused(drafts: Drafts, tmp_path: Path) -> None:
    shop = SHOP.replace("file: orders.csv", "file: ../orders.csv")
    with pytest.raises(InputError, match=r"tiny\.yaml:\d+:\d+: demand\.order_book\.file: "):
        drafts.new({"tiny.yaml": shop.encode(), "orders.csv": ORDERS.encode()})
    assert list((tmp_path / "drafts").iterdir()) == []


def test_a_missing_order_book_is_told_without_the_folder(drafts: Drafts) -> None:
    with pytest.raises(InputError) as told:
        drafts.new({"tiny.yaml": SHOP.encode()})
    assert str(told.value).endswith("demand.order_book.file: there is no such file: orders.csv")
    assert str(told.value).startswith("tiny.yaml:")


def test_a_what_if_of_one_name_is_replaced(drafts: Drafts) -> None:
    draft = drafts.new(files())
    for minutes in (1.0, 2.0):
        changes = (Change("set", "products.flag.route[1].minutes", minutes),)
        draft.save_what_if(WhatIf("Seams & <more>", changes, "elsewhere.yaml"))
    assert [path.name for path in (draft.folder / "what_ifs").iterdir()] == ["seams_more.yaml"]
    (kept,) = draft.what_ifs()
    assert (kept.base, kept.changes[0].value) == ("../tiny.yaml", 2.0)


def test_what_ifs_of_other_names_lie_in_files_of_their_own(drafts: Drafts) -> None:
    draft = drafts.new(files())
    changes = (Change("set", "products.flag.route[1].minutes", 1.0),)
    for name in ("Вторая смена", "两班制", "Вторая смена"):
        draft.save_what_if(WhatIf(name, changes, "elsewhere.yaml"))
    assert [one.name for one in draft.what_ifs()] == ["Вторая смена", "两班制"]
    assert sorted(path.name for path in (draft.folder / "what_ifs").iterdir()) == ["shop.yaml", "shop_2.yaml"]


def test_an_order_book_left_out_is_not_saved_with_the_files(drafts: Drafts) -> None:
    draft = drafts.new(files())
    (draft.folder / "earlier.csv").write_text(ORDERS, encoding="utf-8")
    with zipfile.ZipFile(io.BytesIO(draft.zipped())) as made:
        assert made.namelist() == ["orders.csv", "tiny.yaml"]


def test_a_book_whose_name_no_disk_takes_is_refused_and_leaves_nothing(drafts: Drafts, tmp_path: Path) -> None:
    shop = SHOP.replace("file: orders.csv", f"file: {'o' * 300}.csv")
    with pytest.raises(InputError):
        drafts.new({"tiny.yaml": shop.encode(), "orders.csv": ORDERS.encode()})
    assert list((tmp_path / "drafts").iterdir()) == []


def test_the_oldest_drafts_go(drafts: Drafts, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST", 2)
    made = [drafts.new(files()).id for _ in range(3)]
    assert len(drafts.listed()) == 2
    assert made[2] in [draft.id for draft in drafts.listed()]


def test_what_somebody_worked_on_stays(drafts: Drafts, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "MOST", 1)
    worked_on = drafts.new(files())
    worked_on.put_forms({"as_we_are": {"count": 5}})
    made = [drafts.new(files()).id for _ in range(3)]
    assert {draft.id for draft in drafts.listed()} == {worked_on.id, made[2]}


@pytest.mark.parametrize("name", ["", "..", "../drafts", "0123456789ab", "0123456789AB"])
def test_ids_that_are_none(drafts: Drafts, name: str) -> None:
    drafts.new(files())
    assert drafts.open(name) is None


@pytest.mark.parametrize(
    ("seconds", "words"),
    [(5, "just now"), (60, "1 minute ago"), (7300, "2 hours ago"), (90_000, "1 day ago"), (200_000, "2 days ago")],
)
def test_ages_in_words(seconds: float, words: str) -> None:
    assert age(seconds) == words
