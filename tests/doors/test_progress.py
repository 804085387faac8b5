"""What a terminal shows while a study runs, and what is left when it ends."""

from __future__ import annotations

import re

import pytest

from shopsim.doors.progress import CaseProgress, StudyProgress
from shopsim.studies.runner import Progress

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
        progress.show(Progress(3, 10, 5.2))
    text = shown(capsys)
    assert "3/10" in text
    assert "5 s left of this round" in text
    assert re.search(r"3 replications in 0\.\d s\n", text)


def test_elsewhere_it_says_only_what_it_did(capsys: Output) -> None:
    with StudyProgress() as progress:
        progress.show(Progress(1, 10, None))
    assert re.fullmatch(r"1 replication in 0\.\d s\n", shown(capsys))


def test_whoever_stops_a_study_is_told_that_nothing_is_lost(capsys: Output) -> None:
    def stopped() -> None:
        with StudyProgress() as progress:
            progress.show(Progress(3, 10, None))
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        stopped()
    assert shown(capsys) == "3 replications are finished and kept; the same command goes on\n"


@pytest.mark.usefixtures("terminal")
def test_cases_count_on_a_terminal(capsys: Output) -> None:
    with CaseProgress(7) as progress:
        progress.done(4, 7)
    assert "4/7" in shown(capsys)
