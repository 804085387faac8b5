"""The server killed (SIGKILL) at a random moment of a study: shops, entries and finished replications are still there.

Started again on the same folder, it must give the answer that nobody disturbed; of the processes it had, none is left.
"""

from __future__ import annotations

import json
import os
import random
import signal
import subprocess
import tempfile
import time
from contextlib import closing
from pathlib import Path
from typing import Any

from shopsim.studies.store import Store
from tests.browser.harness import ARGS, CHROMIUM, answer, begun, open_demo, settled, stop_button
from tests.evidence.slices import ROOT
from tests.hardening.commands import shopsim
from tests.hardening.ordeal import Ordeal

RUNS, _LONGEST_S = 30, 4.0


def servers_killed(first: int, count: int) -> Ordeal:
    """So many servers; the moment is drawn by the number of the trial. Needs Chromium and Playwright."""
    from playwright.sync_api import sync_playwright

    bad: list[str] = []
    with tempfile.TemporaryDirectory() as name, sync_playwright() as play:
        asked = ("run", str(ROOT / "demo_scenarios" / "flag_banner_shop.yaml"), "--replications", str(RUNS))
        undisturbed = json.loads(shopsim(Path(name), *asked, "--no-store", "--json", "-").stdout)["sentence"]
        browser = play.chromium.launch(executable_path=CHROMIUM, args=ARGS)
        try:
            for number in range(first, first + count):
                bad += [f"{number}: {wrong}" for wrong in _killed(browser, number, undisturbed)]
        finally:
            browser.close()
    return Ordeal("server", "killed in a study, started again", count, tuple(bad))


def _killed(browser: Any, number: int, undisturbed: str) -> list[str]:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        url, server = begun(folder)
        draft = _asked(browser, url)
        time.sleep(random.Random(number).uniform(0, _LONGEST_S))
        server.kill()
        server.wait()
        wrong = [] if _group_is_gone(server) else ["processes of the killed server go on"]
        files, kept = _files(folder), _kept(folder)
        url, server = begun(folder)
        try:
            told = _asked_again(browser, url, draft)
        finally:
            os.killpg(server.pid, signal.SIGTERM)
            server.wait(20)
        if told != undisturbed:
            wrong.append(f"another answer: {told}")
        if not kept <= _kept(folder) or len(_kept(folder)) != RUNS:
            wrong.append(f"{len(kept)} replications before, {len(_kept(folder))} in the end")
        changed = [path for path, content in files.items() if _files(folder).get(path) != content]
        return wrong + [f"not what it was: {path}" for path in changed]


def _asked(browser: Any, url: str) -> str:
    """The first demo opened, its runs entered and begun; the id of the draft."""
    page = browser.new_context(base_url=url).new_page()
    draft = open_demo(page, 0)
    page.get_by_role("spinbutton", name="Runs").fill(str(RUNS))
    page.get_by_role("spinbutton", name="Runs").press("Enter")
    settled(page)
    page.get_by_role("button", name="Run", exact=True).click()
    stop_button(page).wait_for()
    page.context.close()
    return draft


def _asked_again(browser: Any, url: str, draft: str) -> str:
    page = browser.new_context(base_url=url).new_page()
    page.goto(f"/as_we_are?shop={draft}")
    settled(page)
    entered = page.get_by_role("spinbutton", name="Runs").input_value()
    page.get_by_role("button", name="Run", exact=True).click()
    told = answer(page)
    page.get_by_role("progressbar").first.wait_for(state="detached", timeout=120_000)
    settled(page)
    told = answer(page)
    page.context.close()
    return told if entered == str(RUNS) else f"{entered} runs entered"


def _group_is_gone(server: subprocess.Popen[bytes]) -> bool:
    """Workers look every half second whether their server is there."""
    end = time.monotonic() + 10
    while time.monotonic() < end:
        try:
            os.killpg(server.pid, 0)
        except ProcessLookupError:
            return True
        time.sleep(0.2)
    return False


def _kept(folder: Path) -> set[str]:
    """The text of every replication that is kept."""
    with closing(Store(folder / "state" / "shopsim" / "replications.sqlite")) as store:
        return {text for (text,) in store._read("select numbers from replications")}


def _files(folder: Path) -> dict[str, bytes]:
    """The shops of the visitor; what was entered on pages is looked at on the page itself."""
    drafts = folder / "state" / "shopsim" / "drafts"
    return {str(path.relative_to(drafts)): path.read_bytes() for path in drafts.rglob("*")
            if path.is_file() and path.name != "forms.json"}  # fmt: skip
