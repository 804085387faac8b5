"""What a question was, and the command that asks it again: every question comes back from its own command line."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from shopsim.answers.about import about, file_name
from shopsim.answers.finished import finished, read_back
from shopsim.doors.asked import asked_of
from shopsim.shop.changes import Change
from shopsim.shop.what_if import WhatIf
from shopsim.studies.engine import LocalEngine
from shopsim.studies.runner import Runner
from tests.doors.tiny import write_shop

FAST = "name: A faster sewer\nnote: Look twice.\nbase: ../tiny.yaml\nchanges:\n  - {set: crews.sewer.efficiency_pct, to: 130}\n"  # noqa: E501
SECOND = (
    "name: A second sewer\nbase: ../tiny.yaml\nchanges:\n  - {set: crews.sewer.count, to: 2}\n"
    "spends: {once: 1000, life_years: 4}\n"
)
RANGES = "ranges:\n  - {path: crews.sewer.efficiency_pct, low: 80, high: 120, shape: triangular, likely: 100}\n"

ASKED = (
    "run --replications 2",
    "compare what_ifs/fast.yaml what_ifs/fast.yaml+what_ifs/second.yaml --replications 2",
    "compare what_ifs/fast.yaml --measure lead_time_mean_h --precision 0.5 --at-most 20",
    "compare what_ifs/fast.yaml --until-clear --at-most 20",
    "compare what_ifs/fast.yaml",
    "shifts what_ifs/fast.yaml --replications 2",
    "crew --crew sewer=1..2 --what-if what_ifs/fast.yaml --target 60 --tolerance 2 --by-weeks 1",
    "growth what_ifs/second.yaml --demand 90,100 --replications 2 --precision 3",
    "payback what_ifs/second.yaml --replications 2 --discount 5 --growth 1 --tax 20 --range gain_pct=70..110",
    "sensitivity ranges.yaml --method morris --trajectories 4 --replications 2",
    "warm-up --replications 3",
)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    path = write_shop(tmp_path)
    (tmp_path / "what_ifs").mkdir()
    (tmp_path / "what_ifs" / "fast.yaml").write_text(FAST, encoding="utf-8")
    (tmp_path / "what_ifs" / "second.yaml").write_text(SECOND, encoding="utf-8")
    (tmp_path / "ranges.yaml").write_text(RANGES, encoding="utf-8")
    return path


@pytest.mark.parametrize("text", ASKED)
def test_the_command_told_asks_the_same(shop: Path, tmp_path: Path, text: str, monkeypatch: Any) -> None:
    monkeypatch.chdir(tmp_path)
    question = asked_of(text, str(shop))
    told = about(question)["command"]
    assert told[:3] == ["shopsim", text.split()[0], "tiny.yaml"]
    assert asked_of(" ".join([told[1], *told[3:]]), str(shop)) == question


def test_options_tell_changes_notes_and_files(shop: Path, tmp_path: Path, monkeypatch: Any) -> None:
    monkeypatch.chdir(tmp_path)
    told = about(asked_of("compare what_ifs/fast.yaml", str(shop)))
    assert told["question"] == "Does “A faster sewer” help, by how much, and how sure is that?"
    option = told["options"]["A faster sewer"]
    assert option["differs"] == ["crew sewer: efficiency 130 % instead of 100 %"]
    assert option["notes"] == ["Look twice."]
    assert option["files"] == {
        "fast.yaml": 'name: A faster sewer\nnote: Look twice.\nbase: "../tiny.yaml"\nchanges:\n'
        "  - {set: crews.sewer.efficiency_pct, to: 130}\n"
    }


def test_files_of_what_ifs_made_on_a_page_are_told_apart_by_what_they_change() -> None:
    one = WhatIf("=cmd|' /C calc'!A0", (Change("set", "crews.sewer.count", 2),), "../tiny.yaml")
    other = WhatIf("=cmd|' /C calc'!A0", (Change("set", "crews.sewer.count", 3),), "../tiny.yaml")
    names = {file_name(one), file_name(other)}
    assert len(names) == 2
    assert all(name.startswith("cmd_c_calc_a0_") and name.endswith(".yaml") for name in names)


def test_an_answer_comes_back_as_it_was_kept(shop: Path) -> None:
    question = asked_of("run --replications 2", str(shop))
    made = finished(question, question.study(Runner(LocalEngine(1))))
    assert made.about["question"] == "How does the shop do as it stands?"
    assert made.document["replications"] == 2
    kept = {name: getattr(made, name) for name in ("asked", "document", "tables", "pictures", "about")}
    assert read_back(made.key, kept) == made
    del kept["about"]
    assert read_back(made.key, kept).about == {}
