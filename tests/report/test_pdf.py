"""PDF: what is said where there is no Chromium, or one that does not print."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopsim.errors import InputError
from shopsim.report import pdf

MISSING = (
    "no Chromium found on this machine (chromium, chromium-browser, chrome, or the path in SHOPSIM_CHROMIUM), so "
    "there is no PDF; print the page from any browser"
)


def test_without_chromium_it_says_so(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.delenv("SHOPSIM_CHROMIUM", raising=False)
    assert pdf.chromium() is None
    with pytest.raises(InputError, match="no Chromium found") as refused:
        pdf.pdf_of("<p>")
    assert str(refused.value) == MISSING


def program(folder: Path, text: str) -> str:
    path = folder / "browser"
    path.write_text(f"#!/bin/sh\n{text}\n", encoding="utf-8")
    path.chmod(0o755)
    return str(path)


def test_another_name_is_taken_from_the_environment(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("SHOPSIM_CHROMIUM", program(tmp_path, "exit 0"))
    assert pdf.chromium() == str(tmp_path / "browser")
    monkeypatch.setenv("SHOPSIM_CHROMIUM", str(tmp_path / "nothing"))
    assert pdf.chromium() is None


@pytest.mark.parametrize(("does", "told"), [
    ("echo out of memory >&2; exit 1", "out of memory"), ("exit 0", "it said nothing"),
])  # fmt: skip
def test_a_browser_that_prints_nothing_is_told(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, does: str, told: str
) -> None:
    monkeypatch.setenv("SHOPSIM_CHROMIUM", program(tmp_path, does))
    with pytest.raises(InputError) as refused:
        pdf.pdf_of("<p>")
    assert str(refused.value) == f"{tmp_path}/browser did not print the page: {told}"


def test_the_page_is_handed_over_as_a_file_and_the_print_comes_back(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    copies = (
        'for one; do case "$one" in --print-to-pdf=*) to="${one#*=}";; file://*) from="${one#file://}";; esac; done'
    )
    monkeypatch.setenv("SHOPSIM_CHROMIUM", program(tmp_path, f'{copies}\ncp "$from" "$to"'))
    assert pdf.pdf_of("<p>ü") == "<p>ü".encode()
