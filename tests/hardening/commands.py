"""`shopsim` as a program of its own, in a folder and surroundings that somebody chose."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

from tests.evidence.slices import ROOT

LONGEST_S = 120


def shopsim(
    folder: Path,
    *arguments: str,
    before: Sequence[str] = (),
    environment: Mapping[str, str] | None = None,
    program: Sequence[str] = ("-m", "shopsim"),
) -> subprocess.CompletedProcess[str]:
    """The finished command; `before` is a program that starts it. State is kept in the folder unless told otherwise."""
    own = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_STATE_HOME": str(folder / "state"), **(environment or {})}
    command = [*before, sys.executable, *program, *arguments]
    return subprocess.run(command, cwd=folder, env=own, capture_output=True, text=True, timeout=LONGEST_S, check=False)


def went_wrong(done: subprocess.CompletedProcess[str], code: int, ends_with: str) -> str:
    """What is wrong with how a command ended that had to be refused; empty if nothing is."""
    last = done.stderr.strip().splitlines()[-1:] or [""]
    if done.returncode == code and last[0].endswith(ends_with) and "Traceback" not in done.stderr:
        return ""
    return f"{' '.join(done.args[-4:])}: code {done.returncode}, {done.stderr[-300:]!r}"


def contents(folder: Path) -> dict[str, bytes]:
    """Every file in a folder but what studies keep of their own."""
    return {
        path.relative_to(folder).as_posix(): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and "state" not in path.relative_to(folder).parts
    }
