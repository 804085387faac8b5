"""Two programs at one study and one store: both get the whole answer, and every replication is kept once."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from contextlib import closing
from pathlib import Path

from shopsim.studies.store import Store
from tests.doors.tiny import write_shop
from tests.evidence.slices import ROOT
from tests.hardening.commands import LONGEST_S
from tests.hardening.ordeal import Ordeal

COUNT = 60


def two_at_once(times: int) -> Ordeal:
    """The same study asked twice at the same moment, so often."""
    bad = []
    for number in range(times):
        with tempfile.TemporaryDirectory() as name:
            folder = Path(name)
            write_shop(folder)
            both = [_begun(folder) for _ in range(2)]
            told = [each.communicate(timeout=LONGEST_S) for each in both]
            documents = [json.loads(out or "null") for out, _ in told]
            with closing(Store(folder / "kept.sqlite")) as store:
                kept = [one.replications for one in store.listed()]
            if [each.returncode for each in both] != [0, 0] or documents[0] != documents[1] or kept != [COUNT]:
                bad.append(f"{number}: kept {kept}, {[err[-300:] for _, err in told]}")
    return Ordeal("two programs", "one study, one store", times, tuple(bad))


def _begun(folder: Path) -> subprocess.Popen[str]:
    asked = [
        "run",
        "tiny.yaml",
        "--replications",
        str(COUNT),
        "--workers",
        "1",
        "--store",
        "kept.sqlite",
        "--json",
        "-",
    ]
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    return subprocess.Popen([sys.executable, "-m", "shopsim", *asked], cwd=folder, env=environment, text=True,
                            stdout=subprocess.PIPE, stderr=subprocess.PIPE)  # fmt: skip
