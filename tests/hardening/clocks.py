"""Other time zones, languages and character sets, and a clock that is set back and forth: the same numbers."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

from tests.doors.tiny import write_shop
from tests.evidence.slices import ROOT
from tests.hardening.commands import LONGEST_S, shopsim
from tests.hardening.ordeal import Ordeal

SURROUNDINGS: dict[str, dict[str, str]] = {
    "half a day ahead of Greenwich": {"TZ": "Pacific/Kiritimati"},
    "half a day behind": {"TZ": "Etc/GMT+12"},
    "with summer time": {"TZ": "Europe/Berlin"},
    "no time zone known": {"TZ": "Nowhere/At_All"},
    "Turkish": {"LC_ALL": "tr_TR.UTF-8", "LANG": "tr_TR.UTF-8"},
    "German": {"LC_ALL": "de_DE.UTF-8", "LANG": "de_DE.UTF-8"},
    "the plainest language, few signs": {"LC_ALL": "C", "PYTHONUTF8": "0", "PYTHONCOERCECLOCALE": "0"},
    "ASCII only": {"PYTHONIOENCODING": "ascii"},
}
ASKED = ("run", "tiny.yaml", "--replications", "4", "--workers", "2", "--json", "-")
# At every look at the clock it is a year earlier or later than at the last.
_JUMPING = """
import itertools, sys, time
real, looks = time.time, itertools.count()
time.time = lambda: real() + (31_536_000 if next(looks) % 2 else -31_536_000)
from shopsim.cli import main
sys.exit(main(sys.argv[1:]))
"""


def surroundings() -> Ordeal:
    """The same question everywhere; also asked twice at one place, where the second answer comes from what is kept."""
    bad = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_shop(folder)
        expected = json.loads(shopsim(folder, *ASKED, "--no-store").stdout)
        for where, environment in SURROUNDINGS.items():
            for kept in ("--store", "--store"):
                done = shopsim(folder, *ASKED, kept, f"{where}.sqlite", environment=environment)
                if done.returncode or json.loads(done.stdout) != expected:
                    bad.append(f"{where}: code {done.returncode}, {done.stderr[-300:]}")
    return Ordeal("surroundings", "time zones, languages, character sets", 2 * len(SURROUNDINGS), tuple(bad))


def clock_set_back() -> Ordeal:
    """A clock that jumps a year with every look, in a study that is kept, gone on with and looked at."""
    bad = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_shop(folder)
        expected = json.loads(shopsim(folder, *ASKED, "--no-store").stdout)
        environment = {**os.environ, "PYTHONPATH": str(ROOT), "XDG_STATE_HOME": str(folder / "state")}
        for arguments in (ASKED, ASKED, ("kept", "--prune-days", "1000", "--json", "-"), ASKED):
            done = subprocess.run([sys.executable, "-c", _JUMPING, *arguments], cwd=folder, env=environment,
                                  capture_output=True, text=True, timeout=LONGEST_S, check=False)  # fmt: skip
            if done.returncode or (arguments is ASKED and json.loads(done.stdout) != expected):
                bad.append(f"{arguments[0]}: code {done.returncode}, {done.stderr[-300:]}")
    return Ordeal("surroundings", "a clock set a year back and forth", 4, tuple(bad))
