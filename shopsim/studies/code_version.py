"""Which program made a number: replications kept by other code are never mixed with new ones."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

from shopsim import __version__

_MAKES_NUMBERS = ("*.py", "distributions/*.py", "craft/*.py", "shop/*.py", "floor/*.py", "measures/*.py",
                  "studies/replication.py")  # fmt: skip


@cache
def code_version() -> str:
    """The version and a hash of every source file that a replication's numbers can depend on."""
    root = Path(__file__).resolve().parents[1]
    digest = hashlib.sha256()
    for path in sorted(path for pattern in _MAKES_NUMBERS for path in root.glob(pattern)):
        digest.update(path.relative_to(root).as_posix().encode())
        digest.update(path.read_bytes())
    return f"{__version__}+{digest.hexdigest()[:16]}"
