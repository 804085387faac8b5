"""The wheel: the front end and the demos work from any folder, without the source tree."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path
from typing import Any

import pytest

from tests.browser import harness
from tests.browser.harness import open_demo, served, visited

pytestmark = pytest.mark.e2e


def test_the_front_end_of_the_wheel(browser: Any, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    command = [
        sys.executable,
        "-m",
        "pip",
        "wheel",
        "--quiet",
        "--no-deps",
        "--wheel-dir",
        str(tmp_path),
        str(harness.ROOT),
    ]
    subprocess.run(command, check=True, env={**os.environ, "PIP_DISABLE_PIP_VERSION_CHECK": "1"})
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as files:
        names = files.namelist()
        files.extractall(tmp_path / "installed")
    assert [name for name in names if name.startswith(("app/", "demo_scenarios/", "tests/"))] == []
    assert "shopsim/published/systems/m_m_1.yaml" in names
    monkeypatch.setattr(harness, "ROOT", tmp_path / "installed")
    (tmp_path / "elsewhere").mkdir()
    with served(tmp_path / "elsewhere") as url, visited(browser, url) as page:
        open_demo(page, 2)
        assert page.get_by_text("Osier Hall Exhibition Textiles").count() == 1
