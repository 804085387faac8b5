"""Other time zones, languages and character sets, and a clock that is set back and forth: the same numbers."""

from __future__ import annotations

import json
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from tests.doors.tiny import write_shop
from tests.hardening.commands import shopsim
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
    with _asked_here() as (folder, expected):
        for where, environment in SURROUNDINGS.items():
            for _ in ("run", "taken from what is kept"):
                done = shopsim(folder, *ASKED, "--store", f"{where}.sqlite", environment=environment)
                if done.returncode or json.loads(done.stdout) != expected:
                    bad.append(f"{where}: code {done.returncode}, {done.stderr[-300:]}")
    return Ordeal("surroundings", "time zones, languages, character sets", 2 * len(SURROUNDINGS), tuple(bad))


def clock_set_back() -> Ordeal:
    """A clock that jumps a year with every look, in a study that is kept, gone on with and looked at."""
    bad = []
    with _asked_here() as (folder, expected):
        for arguments in (ASKED, ASKED, ("kept", "--prune-days", "1000", "--json", "-"), ASKED):
            done = shopsim(folder, *arguments, program=("-c", _JUMPING))
            if done.returncode or (arguments is ASKED and json.loads(done.stdout) != expected):
                bad.append(f"{arguments[0]}: code {done.returncode}, {done.stderr[-300:]}")
    return Ordeal("surroundings", "a clock set a year back and forth", 4, tuple(bad))


@contextmanager
def _asked_here() -> Iterator[tuple[Path, Any]]:
    """A folder with the shop, and the answer here and now."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_shop(folder)
        yield folder, json.loads(shopsim(folder, *ASKED, "--no-store").stdout)
