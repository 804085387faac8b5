"""Terminals that know few signs: every command still says all it has to say."""

from __future__ import annotations

import io
import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from shopsim.doors.plain_signs import nearest, use_nearest_signs
from tests.doors.tiny import write_shop

RUN = ("run", "--replications", "2", "--workers", "1", "--no-store")


def said(folder: Path, charset: str, *more: str, shop: str = "tiny.yaml") -> bytes:
    """What `run` prints where the terminal knows only the signs of a character set."""
    command, *options = RUN
    asked = [sys.executable, "-m", "shopsim", command, shop, *options, *more]
    environment = {**os.environ, "PYTHONIOENCODING": charset}
    done = subprocess.run(asked, cwd=folder, env=environment, capture_output=True, timeout=120)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.mark.parametrize("charset", ["ascii", "latin-1", "cp437"])
def test_an_answer_is_told_whole_in_few_signs(tmp_path: Path, charset: str) -> None:
    write_shop(tmp_path)
    whole = said(tmp_path, "utf-8").decode()
    few = said(tmp_path, charset).decode(charset)
    # The tables' lines are drawn in other signs where a terminal knows none; all words are the same.
    assert nearest(few).split("\n\n")[0] == nearest(whole).split("\n\n")[0]
    assert "m² a week" in whole
    assert ("m2 a week" if charset == "ascii" else "m² a week") in few


def test_json_stays_the_same_document(tmp_path: Path) -> None:
    shop = write_shop(tmp_path).rename(tmp_path / "Näherei ½.yaml").name
    whole = said(tmp_path, "utf-8", "--json", "-", shop=shop).decode()
    few = said(tmp_path, "ascii", "--json", "-", shop=shop).decode("ascii")
    assert json.loads(few) == json.loads(whole)
    assert (json.loads(few)["scenario"], few == whole) == (shop, False)


def test_each_sign_has_its_nearest() -> None:
    assert nearest("−4 to 88 %, ±1.3 m², 20 × 3 m, “Näherei” – 漢") == '-4 to 88 %, +/-1.3 m2, 20 x 3 m, "Naherei" - ?'


def test_streams_of_few_signs_take_all_of_them(monkeypatch: pytest.MonkeyPatch) -> None:
    out, err = (io.TextIOWrapper(io.BytesIO(), encoding=charset) for charset in ("ascii", "utf-8"))
    monkeypatch.setattr(sys, "stdout", out)
    monkeypatch.setattr(sys, "stderr", err)
    use_nearest_signs()
    for stream in (out, err):
        stream.write("±3 m²")
        stream.flush()
    assert (out.buffer.getvalue(), err.buffer.getvalue()) == (b"+/-3 m2", "±3 m²".encode())  # type: ignore[attr-defined]
    # It is for writing alone.
    with pytest.raises(UnicodeDecodeError):
        b"\xff".decode("ascii", errors=out.errors or "")
