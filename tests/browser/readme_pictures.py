"""The pictures of the README, made anew: `python -m tests.browser.readme_pictures`."""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from html import escape
from pathlib import Path
from typing import Any

from rich.text import Text

from tests.browser.asking import ask
from tests.browser.harness import ARGS, CHROMIUM, ROOT, open_demo, served, settled, visited

RUN = ("run", "demo_scenarios/frame_fabric_shop.yaml")
# The page and the demo it asks about.
PAGES = {"as_we_are": 1, "growth": 0}
_COLUMNS, _LINES = 88, 40
_LETTER_PX, _LINE_PX, _EDGE_PX = 7.83, 18, 20
_LONGEST_S = 300


def first_page() -> str:
    """The first lines of a run as a drawing: text with what is bold, no font from elsewhere."""
    environment = {**os.environ, "COLUMNS": str(_COLUMNS), "FORCE_COLOR": "1"}
    told = subprocess.run([sys.executable, "-m", "shopsim", *RUN], cwd=ROOT, env=environment, capture_output=True,
                          text=True, check=True).stdout  # fmt: skip
    lines = [Text.from_ansi(line) for line in told.splitlines()[:_LINES]]
    width, height = round(_COLUMNS * _LETTER_PX) + 2 * _EDGE_PX, len(lines) * _LINE_PX + 2 * _EDGE_PX
    words = "First tables of a run of the frame-fabric demo: on time, lead times, hours of the printers"
    return "\n".join([
        (f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" width="{width}" height="{height}" '
        f'role="img" aria-label="{words}">'),
        '<rect width="100%" height="100%" rx="6" fill="#ffffff" stroke="#8a8a8a"/>',
        '<g font-family="DejaVu Sans Mono, Liberation Mono, Consolas, Menlo, monospace" font-size="13" fill="#111111">',
        *(_drawn(line, _EDGE_PX + 10 + number * _LINE_PX) for number, line in enumerate(lines) if line.plain.strip()),
        "</g>", "</svg>", "",
    ])  # fmt: skip


def _drawn(line: Text, y: int) -> str:
    heavy = ' font-weight="bold"' if any("bold" in str(span.style) for span in line.spans) else ""
    text = escape(line.plain.rstrip()).replace(" ", "&#160;")
    return f'<text x="{_EDGE_PX}" y="{y}"{heavy}>{text}</text>'


def page(browser: Any, url: str, name: str, demo: int, where: Path) -> None:
    """The top of a page with its answer."""
    with visited(browser, url, viewport={"width": 1280, "height": 1000}) as shown:
        ask(shown, name, open_demo(shown, demo), _LONGEST_S)
        settled(shown)
        shown.mouse.move(5, 5)
        shown.wait_for_timeout(500)
        shown.screenshot(path=str(where))


if __name__ == "__main__":
    from playwright.sync_api import sync_playwright

    (ROOT / ".github" / "run.svg").write_text(first_page(), encoding="utf-8")
    with tempfile.TemporaryDirectory() as state, served(Path(state)) as url, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGS)
        for name, demo in PAGES.items():
            page(browser, url, name, demo, ROOT / "app" / "static" / f"{name}.png")
        browser.close()
