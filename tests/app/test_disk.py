"""A disk that takes nothing more: told on every page before anybody enters something that would be lost."""

from __future__ import annotations

import shutil
from pathlib import Path
from types import SimpleNamespace

import pytest

from app import state
from app.disk import complaint
from tests.app.visit import said, tiny, visit


def test_no_page_is_shown_while_the_disk_is_full(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    draft = tiny(tmp_path)
    with monkeypatch.context() as full:
        full.setattr(shutil, "disk_usage", lambda _: SimpleNamespace(free=3_400_000))
        at = visit("shop", draft)
        assert said(at).strip() == (
            f"The disk of {state.state_folder()} is full (3 MB free). Make room there, then reload; nothing is lost."
        )
        assert not at.button
    assert "Tiny shop" in said(visit("shop", draft))


def test_a_folder_nobody_can_write_in_is_told(tmp_path: Path) -> None:
    # Writing inside a file fails for everybody, even where permissions do not count.
    (tmp_path / "state").write_text("", encoding="utf-8")
    folder = tmp_path / "state" / "shopsim"
    assert complaint(folder) == (
        f"Nothing can be kept in {folder}: Not a directory. Give shopsim the right to write there, then reload."
    )
    assert complaint(tmp_path / "fresh" / "shopsim") == ""
