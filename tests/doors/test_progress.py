"""What a terminal shows while a study runs, and what is left when it ends."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from shopsim.cli import main
from shopsim.doors.progress import CaseProgress, StudyProgress
from shopsim.errors import EngineError, StoreError
from shopsim.studies import engine
from shopsim.studies.engine import Done, Job
from shopsim.studies.runner import Progress
from shopsim.studies.store import Store
from tests.doors.tiny import write_shop

Output = pytest.CaptureFixture[str]


def shown(capsys: Output) -> str:
    """Without what steers a terminal."""
    return re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", capsys.readouterr().err)


@pytest.fixture
def terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FORCE_COLOR", "1")


@pytest.mark.usefixtures("terminal")
def test_a_study_counts_on_a_terminal(capsys: Output) -> None:
    with StudyProgress() as progress:
        progress.show(Progress(3, 10, 5.2, 3))
    text = shown(capsys)
    assert "3/10" in text
    assert "5 s left of this round" in text
    assert re.search(r"3 replications in 0\.\d s\n", text)


def test_elsewhere_it_says_only_what_it_did(capsys: Output) -> None:
    with StudyProgress() as progress:
        progress.show(Progress(1, 10, None, 0))
    assert re.fullmatch(r"1 replication in 0\.\d s\n", shown(capsys))


@pytest.mark.parametrize("fault", [KeyboardInterrupt, EngineError])
@pytest.mark.parametrize(("finished", "kept", "told"), [
    (3, 3, "3 replications are finished and kept; the same command goes on\n"),
    (1, 1, "1 replication is finished and kept; the same command goes on\n"),
    (3, 2, "3 replications are finished, 2 of them kept; the same command goes on from these\n"),
    (3, 0, "3 replications are finished, none is kept; the same command begins anew\n"),
    (0, 0, "no replication is finished yet\n"),
])  # fmt: skip
def test_whoever_stops_a_study_is_told_what_is_kept(
    capsys: Output, fault: type[BaseException], finished: int, kept: int, told: str
) -> None:
    def stopped() -> None:
        with StudyProgress() as progress:
            progress.show(Progress(finished, 10, None, kept))
            raise fault

    with pytest.raises(fault):
        stopped()
    assert shown(capsys) == told


@pytest.mark.parametrize(("store", "lasts", "told"), [
    (["--store", "kept.sqlite"], 99, "3 replications are finished and kept; the same command goes on"),
    (["--store", "kept.sqlite"], 2, ("3 replications are finished, 2 of them kept; the same command goes on from "
                                     "these")),
    (["--no-store"], 99, "3 replications are finished, none is kept; the same command begins anew"),
    # The usual place cannot be used.
    ([], 99, "3 replications are finished, none is kept; the same command begins anew"),
])  # fmt: skip
def test_a_study_stopped_from_the_keyboard_says_what_its_store_has(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: Output, store: list[str], lasts: int, told: str
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "a_file").touch()
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path / "a_file"))
    real, done = engine.work, list[Job]()
    keep = Store.keep

    def work(job: Job) -> Done:
        if len(done) == 3:
            raise KeyboardInterrupt
        done.append(job)
        # So slow that each is a job of its own.
        return replace(real(job), seconds=9.0)

    def until_full(self: Store, *row: Any) -> None:
        if len(done) > lasts:
            raise StoreError("kept.sqlite: the disk is full")
        keep(self, *row)

    monkeypatch.setattr(engine, "work", work)
    monkeypatch.setattr(Store, "keep", until_full)
    given = ["run", str(write_shop(tmp_path)), "--replications", "9", "--workers", "1", *store]
    assert main(given) == 130
    assert capsys.readouterr().err.splitlines()[-2:] == [told, "stopped"]


@pytest.mark.usefixtures("terminal")
def test_cases_count_on_a_terminal(capsys: Output) -> None:
    with CaseProgress(7) as progress:
        progress.done(4, 7)
    assert "4/7" in shown(capsys)
