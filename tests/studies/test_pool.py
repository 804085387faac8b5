"""A pool of processes that stays: equal rows, at once stopped, lost workers, one study at a time."""

from __future__ import annotations

import os
import signal
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from shopsim.errors import StoppedError
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import load_shop
from shopsim.studies.engine import Job, LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.pool import Pool
from shopsim.studies.runner import Ask, Runner

DEMO = Path(__file__).resolve().parents[2] / "demo_scenarios" / "flag_banner_shop.yaml"


def of_weeks(weeks: int) -> Option:
    values = scenario_values(load_shop(DEMO).scenario)
    values["study"] = {**values["study"], "weeks": weeks, "warm_up_weeks": 0}
    return Option("short", check_values(values, "short"))


@pytest.fixture(scope="module")
def pool() -> Iterator[Pool]:
    made = Pool(2)
    yield made
    made.end()


def never() -> bool:
    return False


def test_the_pool_and_one_process_give_equal_rows(pool: Pool) -> None:
    ask = Ask(of_weeks(1), 5)
    assert repr(Runner(pool.engine(never)).run([ask])) == repr(Runner(LocalEngine(1)).run([ask]))


def test_its_processes_give_way_to_whoever_watches(pool: Pool) -> None:
    next(pool.engine(never).run([Job(of_weeks(1), (0,))]))
    urgency = {os.getpriority(os.PRIO_PROCESS, each) for each in pool._started()._processes}
    assert urgency == {min(19, os.getpriority(os.PRIO_PROCESS, 0) + 10)}


def test_a_stop_ends_what_is_at_work_and_the_pool_goes_on_afterwards(pool: Pool) -> None:
    stop = threading.Event()
    engine = pool.engine(stop.is_set)
    # Fifty years: no replication ends by itself before the stop.
    jobs = iter([Job(of_weeks(1), (0,)), *(Job(of_weeks(1100), (number,)) for number in range(4))])
    found = engine.run(jobs)
    assert len(next(found).rows) == 1
    threading.Timer(0.3, stop.set).start()
    with pytest.raises(StoppedError, match="stopped"):
        next(found)
    assert len(next(pool.engine(never).run([Job(of_weeks(1), (0,))])).rows) == 1


def test_the_jobs_of_a_lost_worker_are_run_again(pool: Pool) -> None:
    numbers = range(12)
    found = pool.engine(never).run(Job(of_weeks(2), (number,)) for number in numbers)
    first = next(found)
    os.kill(next(iter(pool._processes._processes)), signal.SIGKILL)
    got = [first, *found]
    assert sorted(done.rows[0].number for done in got) == list(numbers)


def test_one_study_at_a_time_and_waiting_can_be_stopped(pool: Pool) -> None:
    began = threading.Event()

    def second() -> None:
        with pool.turn(never):
            began.set()

    waiting = threading.Thread(target=second)
    with pool.turn(never):
        waiting.start()
        with pytest.raises(StoppedError), pool.turn(lambda: True):
            pass
        time.sleep(0.3)
        assert not began.is_set()
    waiting.join(5)
    assert began.is_set()


def test_a_closed_pool_takes_nothing_more_and_ends_what_is_at_work() -> None:
    made = Pool(2)
    found = made.engine(never).run(Job(of_weeks(weeks), (0,)) for weeks in (1, 1100, 1100))
    next(found)
    made.close()
    with pytest.raises(StoppedError):
        list(found)
