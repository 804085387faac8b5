"""Which program wrote an answer: documents of other code are not shown as if this one had written them."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path


@cache
def program_version() -> str:
    """A hash of every source file of the package, its words included."""
    root = Path(__file__).resolve().parents[1]
    digest = hashlib.sha256()
    for path in sorted(root.rglob("*.py")):
        digest.update(path.relative_to(root).as_posix().encode())
        digest.update(path.read_bytes())
    return digest.hexdigest()[:16]
