"""What a question was, and the command that asks it again: every question comes back from its own command line."""

from __future__ import annotations

import re
import shlex
from pathlib import Path
from typing import Any

import pytest

from shopsim import load_shop
from shopsim.answers.about import about
from shopsim.answers.comparison import WhatIfHelps
from shopsim.answers.finished import finished, read_back
from shopsim.answers.question import all_changed
from shopsim.doors.asked import asked_of
from shopsim.shop.changes import Change
from shopsim.shop.what_if import WhatIf
from shopsim.studies.comparison import Plan
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
    assert option["differs"] == ["crew “Sewer”: efficiency 130 % instead of 100 %"]
    assert option["notes"] == ["Look twice."]
    assert option["files"] == {
        "fast.yaml": 'name: A faster sewer\nnote: Look twice.\nbase: "../tiny.yaml"\nchanges:\n'
        "  - {set: crews.sewer.efficiency_pct, to: 130}\n"
    }


def test_files_of_what_ifs_made_on_a_page_are_told_apart_by_what_they_change(shop: Path) -> None:
    name = "=cmd|' /C calc'!A0"
    one, other = (WhatIf(name, (Change("set", "crews.sewer.count", count),), "../tiny.yaml") for count in (2, 3))
    names = [next(iter(about(compare_all(shop, each))["options"][name]["files"])) for each in (one, other)]
    assert len(set(names)) == 2
    assert all(name.startswith("cmd_c_calc_a0_") and name.endswith(".yaml") for name in names)


def compare_all(shop: Path, *what_ifs: WhatIf) -> WhatIfHelps:
    base = load_shop(shop)
    made = all_changed(base, [[what_if] for what_if in what_ifs])
    return WhatIfHelps(scenario=str(shop), shop=base, changed=made, plan=Plan("count", 2))


def test_names_of_files_keep_the_letters_of_every_language(shop: Path, tmp_path: Path, monkeypatch: Any) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "what_ifs" / "Швея вторая.yaml").write_text(SECOND, encoding="utf-8")
    (tmp_path / "what_ifs" / "Быстрее.yaml").write_text(FAST, encoding="utf-8")
    told = about(asked_of("compare 'what_ifs/Швея вторая.yaml' what_ifs/Быстрее.yaml", str(shop)))
    assert told["command"][3:5] == ["what_ifs/швея_вторая.yaml", "what_ifs/быстрее.yaml"]
    assert list(told["options"]["A faster sewer"]["files"]) == ["быстрее.yaml"]


def test_texts_that_would_share_a_file_are_told_apart_by_a_hash(shop: Path, tmp_path: Path, monkeypatch: Any) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "what_ifs" / "!!.yaml").write_text(SECOND, encoding="utf-8")
    (tmp_path / "what_ifs" / "??.yaml").write_text(FAST, encoding="utf-8")
    question = asked_of("compare what_ifs/!!.yaml what_ifs/??.yaml --replications 2", str(shop))
    told = about(question)
    files = {name: text for option in told["options"].values() for name, text in option["files"].items()}
    assert len(files) == 2
    assert all(re.fullmatch(r"what_if_[0-9a-f]{8}\.yaml", name) for name in files)
    for name, text in files.items():
        (tmp_path / "what_ifs" / name).write_text(text, encoding="utf-8")
    assert asked_of(shlex.join([told["command"][1], *told["command"][3:]]), str(shop)).asked == question.asked


def test_an_answer_comes_back_as_it_was_kept(shop: Path) -> None:
    question = asked_of("run --replications 2", str(shop))
    made = finished(question, question.study(Runner(LocalEngine(1))))
    assert made.about["question"] == "How does the shop do as it stands?"
    assert made.document["replications"] == 2
    kept = {name: getattr(made, name) for name in ("asked", "document", "tables", "pictures", "about", "by_run")}
    assert read_back(made.key, kept) == made
    del kept["about"]
    assert read_back(made.key, kept).about == {}
