"""What the script of two workers writes, from measurements made by hand: its rows are made where nothing else runs."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.evidence import two_workers
from tests.evidence.slices import append


def test_a_row_holds_both_shares(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    took = {1: {"local": (0.99, 20.0), "cluster": (0.97, 21.0)}, 2: {"local": (0.98, 10.4), "cluster": (0.94, 11.2)}}
    monkeypatch.setattr(two_workers, "measured_in_both", lambda count, workers: took[workers])
    rows = list(two_workers.studies(4, 2))
    # 20 / 20.8 and 21 / 22.4.
    assert rows[:2] == [
        (4, "local", 60, "20.00", "10.40", "0.962", "0.980"),
        (4, "cluster", 60, "21.00", "11.20", "0.938", "0.940"),
    ]
    assert [row[0] for row in rows] == [4, 4, 5, 5]
    monkeypatch.setattr(two_workers, "RESULTS", tmp_path / "two_workers.csv")
    append(two_workers.RESULTS, two_workers.HEADING, rows)
    assert two_workers.summary().splitlines() == [
        "local: T1 / (2 T2) 0.96, time in replications 0.98, median of 2",
        "cluster: T1 / (2 T2) 0.94, time in replications 0.94, median of 2",
    ]
