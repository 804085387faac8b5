"""Pictures of every page at 1280 and 390 px, light and dark: `python -m tests.browser.screenshots FOLDER [--ask]`.

Ends with 1 where a page was asked and gave no answer in time.
"""

from __future__ import annotations

import sys
import tempfile
from itertools import product
from pathlib import Path
from typing import Any

from tests.browser.asking import ASKS, ask
from tests.browser.harness import ARGS, CHROMIUM, PAGES, open_demo, served, settled, stop_button, visited

# The demo that is answered soonest.
DEMO = 0
_LONGEST_S = 300
_TALLEST = 6000


def shoot(folder: Path, asks: bool) -> list[str]:
    """Open the demo, ask on every page if wanted, and write a picture of each; the pages that gave no answer."""
    from playwright.sync_api import sync_playwright

    folder.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as state, served(Path(state)) as url, sync_playwright() as play:
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGS)
        with visited(browser, url) as page:
            draft = open_demo(page, DEMO)
            silent = _ask_everywhere(page, draft) if asks else []
        for scheme, width in product(("light", "dark"), (1280, 390)):
            with visited(browser, url, color_scheme=scheme, viewport={"width": width, "height": 900}) as page:
                for name in PAGES:
                    _picture(page, name, draft, folder / f"{name}_{scheme}_{width}.png", width)
        browser.close()
    return silent


def _ask_everywhere(page: Any, draft: str) -> list[str]:
    from playwright.sync_api import TimeoutError as NotInTime

    silent = []
    for name in ASKS:
        try:
            ask(page, name, draft, _LONGEST_S)
        except NotInTime:
            silent.append(name)
            sys.stderr.write(f"{name}: no answer within {_LONGEST_S} s\n")
            for stop in stop_button(page).all():
                stop.click()
                settled(page)
    return silent


def _picture(page: Any, name: str, draft: str, where: Path, width: int) -> None:
    page.set_viewport_size({"width": width, "height": 900})
    page.goto(f"/{name if name != 'start' else ''}?shop={draft}")
    settled(page)
    page.wait_for_timeout(500)
    tall = int(page.evaluate("() => document.querySelector('[data-testid=stMain]').scrollHeight"))
    page.set_viewport_size({"width": width, "height": min(tall + 20, _TALLEST)})
    page.wait_for_timeout(500)
    page.screenshot(path=str(where))


if __name__ == "__main__":
    if len(sys.argv) not in (2, 3):
        sys.exit("usage: python -m tests.browser.screenshots FOLDER [--ask]")
    sys.exit(1 if shoot(Path(sys.argv[1]), "--ask" in sys.argv) else 0)
