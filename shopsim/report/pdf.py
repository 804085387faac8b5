"""The page as PDF, printed by a Chromium on this machine; without one the page itself prints from any browser."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

from shopsim.errors import InputError, Problem
from shopsim.report.page import WIDTH_PX

NAMES = ("chromium", "chromium-browser", "chrome")
PLACE = "SHOPSIM_CHROMIUM"
"""The environment variable that says where Chromium is, where it has another name."""
_WAIT_S = 120
# Time of the page in which it may draw its pictures.
_DRAWING_MS = 2_000
_PAGE_HEIGHT_PX = 1000


def chromium() -> str | None:
    """The Chromium of this machine; None if there is none."""
    named = os.environ.get(PLACE)
    if named:
        return shutil.which(named)
    return next((found for name in NAMES if (found := shutil.which(name))), None)


def missing() -> str:
    """What to tell where there is none."""
    return (
        f"no Chromium found on this machine ({', '.join(NAMES)}, or the path in {PLACE}), so there is no PDF; "
        "print the page from any browser"
    )


def pdf_of(page: str) -> bytes:
    """The page as PDF. Raises InputError where there is no Chromium, or it prints nothing."""
    program = chromium()
    if program is None:
        raise InputError([Problem("", None, None, "", missing())])
    with tempfile.TemporaryDirectory(prefix="shopsim-pdf-") as folder:
        source, made = Path(folder) / "report.html", Path(folder) / "report.pdf"
        source.write_text(page, encoding="utf-8")
        command = [
            program, "--headless", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run", "--disable-extensions",
            "--disable-background-networking", "--disable-component-update", "--disable-sync", *_as_root(),
            f"--user-data-dir={folder}/profile", f"--window-size={WIDTH_PX},{_PAGE_HEIGHT_PX}",
            f"--virtual-time-budget={_DRAWING_MS}", "--no-pdf-header-footer", f"--print-to-pdf={made}", source.as_uri(),
        ]  # fmt: skip
        try:
            ended = subprocess.run(command, capture_output=True, timeout=_WAIT_S, check=False)
        except (OSError, subprocess.TimeoutExpired) as fault:
            raise InputError([Problem("", None, None, "", f"{program} did not print the page: {fault}")]) from None
        if ended.returncode or not made.is_file():
            told = ended.stderr.decode("utf-8", "replace").strip().splitlines()[-1:] or ["it said nothing"]
            raise InputError([Problem("", None, None, "", f"{program} did not print the page: {told[0]}")])
        return made.read_bytes()


def _as_root() -> list[str]:
    # Chromium keeps its sandbox wherever it can; for root it refuses to start with it. The page is our own, with a
    # policy that lets nothing in.
    return ["--no-sandbox"] if sys.platform != "win32" and os.geteuid() == 0 else []
