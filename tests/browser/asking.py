"""Questions asked on every page that answers one."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from shopsim.shop.demos import DEMOS, files_of
from tests.browser.harness import answer, settled

ASKS = {
    "as_we_are": "Run", "what_if": "Compare", "second_printer": "Work it out", "sewing_crew": "Find the crew",
    "growth": "Find the limit", "shifts": "Compare",
}  # fmt: skip
"""The button that asks, by page."""
# Where something has to be chosen before it can be asked.
_CHOICES = {"what_if": "Changes to compare", "shifts": "Patterns to set beside"}


def ask(page: Any, name: str, draft: str, longest_s: float) -> None:
    """Go to a page, choose what it needs, ask, and wait for the sentence that rests on all runs."""
    page.goto(f"/{name}?shop={draft}")
    settled(page)
    if name in _CHOICES:
        choose(page, _CHOICES[name])
    page.get_by_role("button", name=ASKS[name], exact=True).click()
    answer(page, longest_s)
    page.get_by_role("progressbar").first.wait_for(state="detached", timeout=longest_s * 1000)
    settled(page)


def choose(page: Any, label: str, option_name: str | None = None) -> None:
    """The option of that name in a list, or its first."""
    field = page.get_by_role("combobox", name=label)
    option = page.get_by_role("option", name=option_name).filter(has_not_text="Select all").first
    # A list that opens while the page is still being drawn is closed again; then it takes another click.
    for _ in range(4):
        field.click()
        page.wait_for_timeout(1000)
        if option.count():
            break
    option.click()
    page.keyboard.press("Escape")
    settled(page)


def open_short_demo(page: Any, folder: Path) -> str:
    """The first demo with few and short runs, opened as files; returns the id of the draft."""
    paths = []
    for name, content in files_of(DEMOS[0]).items():
        text = re.sub(r"(?m)^  weeks: \d+", "  weeks: 3", content.decode(), count=1)
        text = re.sub(r"(?m)^  replications: \d+", "  replications: 3", text, count=1)
        paths.append(folder / Path(name).name)
        paths[-1].write_text(text, encoding="utf-8")
    page.goto("/")
    settled(page)
    page.locator("input[type=file]").set_input_files(paths)
    page.get_by_role("button", name="Open", exact=True).click()
    page.wait_for_url("**/as_we_are?*shop=*")
    settled(page)
    found: str = page.evaluate("() => new URLSearchParams(location.search).get('shop')")
    return found
