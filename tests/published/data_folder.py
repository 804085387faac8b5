"""Instances of a public repository, not part of the project: read from beside it, skipped where they are not there."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

FOLDER = Path(__file__).resolve().parents[3] / "shared" / "checks" / "data"


def rows(name: str) -> list[list[float]]:
    """The numbers of a file; a first row of column names is left out."""
    path = FOLDER / name
    if not path.exists():
        pytest.skip(
            f"{name} comes from a public repository and is not part of the project; ../shared/checks/data lacks it"
        )
    with path.open(encoding="utf-8", newline="") as file:
        lines = list(csv.reader(file))
    return [[float(cell) for cell in line] for line in lines if not line[0][:1].isalpha()]
