"""Background jobs without a page: one answer a question, one study at a time, faults told, a store shared."""

from __future__ import annotations

import json
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any, ClassVar

import pytest

from app.jobs import Jobs, fault_lines
from shopsim.answers.as_we_are import AsWeAre
from shopsim.answers.question import Question
from shopsim.cli import main
from shopsim.errors import InputError, Problem
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.studies.pool import Pool
from shopsim.studies.store import Store
from tests.doors.tiny import write_shop


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    made = Pool(2)
    yield made
    made.end()


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return load_shop(write_shop(tmp_path))


@pytest.fixture
def jobs(tmp_path: Path, pool: Pool) -> Jobs:
    return Jobs(tmp_path / "answers", tmp_path / "store.sqlite", pool)


def asked(shop: Shop, count: int) -> AsWeAre:
    return AsWeAre(scenario="tiny.yaml", shop=shop, count=count)


def test_a_question_is_answered_once_and_kept(shop: Shop, jobs: Jobs, tmp_path: Path, pool: Pool) -> None:
    question = asked(shop, 2)
    job = jobs.start(question, "as_we_are")
    assert jobs.start(question, "as_we_are") is job or job.stage == "done"
    assert job.ended.wait(60)
    assert (job.stage, jobs.going_on()) == ("done", [])
    found = jobs.answer(question.key)
    assert found is not None
    assert found.document["replications"] == 2
    assert found.tables[0]["title"] == "Orders and dates"
    assert found.pictures[0]["name"] == "lead time"
    later = Jobs(tmp_path / "answers", tmp_path / "store.sqlite", pool)
    assert later.answer(question.key) == found
    assert later.answer("0" * 64) is None


def test_old_jobs_are_forgotten_and_their_answers_are_not(
    shop: Shop, jobs: Jobs, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("app.jobs._REMEMBERED", 1)
    asked_before = [jobs.start(asked(shop, count), "as_we_are") for count in (2, 3, 4)]
    assert all(job.ended.wait(60) for job in asked_before)
    last = jobs.start(asked(shop, 5), "as_we_are")
    assert last.ended.wait(60)
    assert [jobs.job(job.key) for job in asked_before] == [None, None, asked_before[2]]
    assert all(jobs.answer(job.key) is not None for job in asked_before)


def test_a_damaged_answer_is_none(shop: Shop, jobs: Jobs, tmp_path: Path) -> None:
    key = asked(shop, 2).key
    (tmp_path / "answers" / f"{key[:40]}.json").write_text('{"document": {}, "tab', encoding="utf-8")
    assert jobs.answer(key) is None


class _Held(AsWeAre):
    """A question whose study waits until it is let go."""

    began, go_on = threading.Event(), threading.Event()

    def study_showing(self, runner: Any, show: Any) -> Any:
        self.began.set()
        assert self.go_on.wait(30)
        return super().study_showing(runner, show)


def test_one_study_at_a_time_the_next_waits(shop: Shop, jobs: Jobs) -> None:
    first = jobs.start(_Held(scenario="tiny.yaml", shop=shop, count=2), "as_we_are")
    assert _Held.began.wait(30)
    second = jobs.start(asked(shop, 3), "as_we_are")
    assert not second.ended.wait(0.3)
    assert (first.stage, second.stage) == ("running", "waiting")
    third = jobs.start(asked(shop, 4), "as_we_are")
    jobs.stop(third.key)
    assert (third.stopped, third.going_on) == (True, False)
    assert third.ended.wait(5)
    assert third.stage == "stopped"
    assert third not in jobs.going_on()
    _Held.go_on.set()
    assert second.ended.wait(60)
    assert (first.stage, second.stage) == ("done", "done")
    assert jobs.job(second.key) is second


class _Wrong(AsWeAre):
    """A question that only the runs can find impossible."""

    def study_showing(self, runner: Any, show: Any) -> Any:
        raise InputError([Problem("tiny.yaml", 3, 4, "study", "no order is due")])


class _Broken(AsWeAre):
    """A question with a mistake of ours in it."""

    def study_showing(self, runner: Any, show: Any) -> Any:
        raise RuntimeError("a slip")


def failed(jobs: Jobs, question: Question[Any]) -> list[str]:
    job = jobs.start(question, "as_we_are")
    assert job.ended.wait(60)
    assert job.stage == "failed"
    assert job.fault is not None
    assert jobs.answer(question.key) is None
    return fault_lines(job.fault)


def test_what_is_wrong_is_told(shop: Shop, jobs: Jobs) -> None:
    assert failed(jobs, _Wrong(scenario="tiny.yaml", shop=shop)) == ["tiny.yaml:3:4: study: no order is due"]


class _Watched(AsWeAre):
    """A question that notes what is shown on the way."""

    shown: ClassVar[list[tuple[int, float]]] = []

    def study_showing(self, runner: Any, show: Any) -> Any:
        def note(found: Any) -> None:
            show(found)
            self.shown.append((len(found.rows), found.interval("measures", "on_time_share").mean))

        return super().study_showing(runner, note)


def test_what_the_first_runs_tell_is_there_before_the_answer(shop: Shop, jobs: Jobs) -> None:
    job = jobs.start(_Watched(scenario="tiny.yaml", shop=shop, count=13), "as_we_are")
    assert job.ended.wait(60)
    assert _Watched.shown == [(4, pytest.approx(2 / 3)), (12, pytest.approx(2 / 3))]
    assert job.so_far is not None
    assert job.so_far.document["replications"] == 12
    found = jobs.answer(job.key)
    assert found is not None
    assert found.document["replications"] == 13


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_a_mistake_of_ours_is_told_and_the_pool_is_free_again(shop: Shop, jobs: Jobs) -> None:
    assert failed(jobs, _Broken(scenario="tiny.yaml", shop=shop)) == [
        "shopsim made a mistake of its own: RuntimeError: a slip"
    ]
    job = jobs.start(asked(shop, 2), "as_we_are")
    assert job.ended.wait(60)
    assert job.stage == "done"


def test_jobs_and_a_command_share_one_store(
    shop: Shop, jobs: Jobs, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    question = AsWeAre(scenario=str(tmp_path / "tiny.yaml"), shop=shop, count=30)
    job = jobs.start(question, "as_we_are")
    command = ["run", question.scenario, "--replications", "30", "--workers", "1", "--json", "-"]
    assert main([*command, "--store", str(tmp_path / "store.sqlite")]) == 0
    assert job.ended.wait(60)
    found = jobs.answer(question.key)
    assert found is not None
    assert found.document == json.loads(capsys.readouterr().out)
    with Store(tmp_path / "store.sqlite") as store:
        assert [kept.replications for kept in store.listed()] == [30]
