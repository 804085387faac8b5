"""The front end in a real browser: a server of its own, Chromium, and what every visit must not do."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

LOG = "server.log"
ROOT = Path(__file__).resolve().parents[2]
CHROMIUM = os.environ.get("SHOPSIM_CHROMIUM", "/usr/bin/chromium")
ARGS = [
    "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--disable-quic", "--no-first-run",
    "--disable-background-networking", "--disable-component-update", "--disable-sync", "--disable-extensions",
]  # fmt: skip
PAGES = (
    "start",
    "shop",
    "orders",
    "as_we_are",
    "match",
    "promise",
    "what_if",
    "second_printer",
    "sewing_crew",
    "shifts",
    "growth",
    "report",
)


def begun(folder: Path) -> tuple[str, subprocess.Popen[bytes]]:
    """A front end that keeps everything in `folder`: its address, once it answers, and its process, head of a group."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    environment = {**os.environ, "XDG_STATE_HOME": str(folder / "state"), "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "shopsim", "app", "--no-browser", "--port", str(port)]
    log = folder / LOG
    with log.open("ab") as out:
        server = subprocess.Popen(command, stdout=out, stderr=subprocess.STDOUT, cwd=folder, env=environment,
                                  start_new_session=True)  # fmt: skip
    url = f"http://127.0.0.1:{port}"
    try:
        _wait_until_up(url, server, log)
    except BaseException:
        os.killpg(server.pid, signal.SIGKILL)
        raise
    return url, server


@contextmanager
def served(folder: Path) -> Iterator[str]:
    """The address of a front end that keeps everything in `folder`. Its log must hold no traceback."""
    url, server = begun(folder)
    try:
        yield url
    finally:
        os.killpg(server.pid, signal.SIGTERM)
        server.wait(20)
    log = (folder / LOG).read_text(errors="replace")
    assert "Traceback" not in log, log


def _wait_until_up(url: str, server: subprocess.Popen[bytes], log: Path) -> None:
    end = time.monotonic() + 60
    while True:
        try:
            with urllib.request.urlopen(f"{url}/_stcore/health", timeout=1):
                return
        except OSError:
            assert server.poll() is None, log.read_text()
            assert time.monotonic() < end, log.read_text()
            time.sleep(0.05)


_STILL = """addEventListener('DOMContentLoaded', () => {
    const style = document.createElement('style')
    style.textContent = '*, *::before, *::after { animation: none !important; transition: none !important }'
    document.head.append(style)
})"""


@contextmanager
def visited(browser: Any, url: str, **context: Any) -> Iterator[Any]:
    """A page in a context of its own; in the end nothing may have failed, and nothing been fetched from elsewhere."""
    given = {"viewport": {"width": 1280, "height": 900}, "locale": "en-GB", "reduced_motion": "reduce", **context}
    made = browser.new_context(base_url=url, **given)
    # Two cores have studies to run besides: what is waited for may take long, what never comes is still told.
    made.set_default_timeout(90_000)
    # What turns and glows while a page waits is painted by the processor that has the studies to run.
    made.add_init_script(_STILL)
    page, bad = made.new_page(), []
    watch(page, url, bad)
    try:
        yield page
        assert page.locator("[data-testid=stException]").count() == 0, page.locator(
            "[data-testid=stException]"
        ).all_inner_texts()
    finally:
        made.close()
    assert not bad, bad


def watch(page: Any, url: str, bad: list[Any]) -> None:
    """Note errors of the console, failed answers and requests to anywhere else."""

    def probe(address: str) -> bool:
        # On a deep link the page looks for its own base address; not finding it at once is normal.
        return "/_stcore/health" in address or "/_stcore/host-config" in address

    own = (url, url.replace("http", "ws"), "data:", "blob:")
    page.on("console", lambda told: bad.append(told.text)
            if told.type == "error" and not probe(told.location.get("url", "")) else None)  # fmt: skip
    page.on("pageerror", lambda fault: bad.append(str(fault)))
    page.on(
        "response", lambda got: bad.append((got.status, got.url)) if got.status >= 400 and not probe(got.url) else None
    )
    page.on("request", lambda asked: bad.append(("elsewhere", asked.url)) if not asked.url.startswith(own) else None)


SENTENCE = "[class*=st-key-answer_] h2"
"""Where an answer stands."""


def settled(page: Any) -> None:
    """Wait until the script of the page has run to its end."""
    page.wait_for_function(
        "() => document.querySelector('[data-testid=stApp]')?.dataset.testScriptState === 'notRunning'",
        timeout=60_000,
    )  # fmt: skip


def go(page: Any, name: str) -> None:
    """To a page by its link, as a visitor goes."""
    page.locator(f"[data-testid=stSidebarNav] a[href$='/{name}']").click()
    page.wait_for_url(f"**/{name}*")
    settled(page)


def open_demo(page: Any, number: int) -> str:
    """Start from a demo; returns the id of the draft."""
    page.goto("/")
    settled(page)
    page.get_by_role("button", name="Start from this").nth(number).click()
    page.wait_for_url("**/as_we_are?*shop=*")
    settled(page)
    found: str = page.evaluate("() => new URLSearchParams(location.search).get('shop')")
    return found


def stop_button(page: Any) -> Any:
    """The button that stops a job; the frame around the page has one of that name too, for its script."""
    return page.locator("[data-testid=stButton]").get_by_role("button", name="Stop")


def answer(page: Any, timeout_s: float = 120) -> str:
    """The sentence, once it is there and answers what is asked now; its hard spaces are spaces."""
    sentence = page.locator(SENTENCE).first
    sentence.wait_for(timeout=timeout_s * 1000)
    page.get_by_text("Inputs have moved on").wait_for(state="detached", timeout=timeout_s * 1000)
    return str(sentence.inner_text()).replace("\u00a0", " ")


# What Streamlit itself draws and no page can change: the list of pages, where files are dropped, the picks of rows.
STREAMLITS_OWN = {
    "list": "stSidebarNavItems", "listitem": '<li class="st-emotion-cache',
    "presentation-role-conflict": "stFileUploaderDropzone",
    "empty-table-header": '<th role="columnheader" aria-selected="false" aria-colindex="1" ',
}  # fmt: skip


# The rules of axe-core on which light or dark bears.
_OF_COLOURS = ("color-contrast", "link-in-text-block")


def found_by_axe(page: Any, axe: str, rules: Sequence[str] = ()) -> list[tuple[str, str]]:
    """What axe-core finds on the page and we could mend, by some rules or all: the rule and the element."""
    page.evaluate(axe)
    found = page.evaluate("asked => axe.run(asked)", {"runOnly": list(rules)} if rules else {})
    return [
        (each["id"], node["html"])
        for each in found["violations"]
        for node in each["nodes"]
        if STREAMLITS_OWN.get(each["id"], "<none>") not in node["html"]
    ]


def found_by_axe_in_light_and_dark(page: Any, axe: str) -> list[tuple[str, str]]:
    """What axe-core finds on a page opened in light; then, of colours, after the reader's system turned dark."""
    found = found_by_axe(page, axe)
    page.emulate_media(color_scheme="dark")
    # The page follows by itself: its own ground is dark then.
    page.wait_for_function(
        """() => getComputedStyle(document.querySelector('[data-testid=stApp]')).backgroundColor
            .match(/\\d+/g).slice(0, 3).every(each => +each < 80)"""
    )
    settled(page)
    page.wait_for_timeout(300)
    return found + found_by_axe(page, axe, _OF_COLOURS)
