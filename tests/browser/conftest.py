"""One server and one browser for all tests; a context for each."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.browser.harness import ARGS, CHROMIUM, served, visited


@pytest.fixture(scope="session")
def url(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    with served(tmp_path_factory.mktemp("server")) as address:
        yield address


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    api = pytest.importorskip("playwright.sync_api", reason="the extra e2e is not installed")
    with api.sync_playwright() as play:
        found = play.chromium.launch(executable_path=CHROMIUM, args=ARGS)
        yield found
        found.close()


@pytest.fixture
def page(browser: Any, url: str) -> Iterator[Any]:
    with visited(browser, url) as made:
        yield made


@pytest.fixture(scope="session")
def axe(tmp_path_factory: pytest.TempPathFactory) -> str:
    """The source of axe-core, from npm, for this run only."""
    if shutil.which("npm") is None:
        pytest.skip("npm is not installed")
    folder = tmp_path_factory.mktemp("axe")
    command = ["npm", "install", "--no-save", "--no-audit", "--no-fund", "--ignore-scripts", "axe-core@4"]
    subprocess.run(command, cwd=folder, check=True, capture_output=True)
    return (Path(folder) / "node_modules" / "axe-core" / "axe.min.js").read_text(encoding="utf-8")
