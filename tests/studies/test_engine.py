"""Engines: the same numbers wherever they were run; lost workers, a cluster, and a parent that is killed."""

from __future__ import annotations

import os
import pickle
import signal
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import pytest

from shopsim.errors import EngineError
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import load_shop
from shopsim.studies import engine as engines
from shopsim.studies.engine import Job, LocalEngine, work
from shopsim.studies.option import Option
from shopsim.studies.runner import Ask, Runner
from shopsim.studies.store import Store

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_scenarios" / "flag_banner_shop.yaml"


@pytest.fixture(scope="module")
def short() -> Option:
    values = scenario_values(load_shop(DEMO).scenario)
    values["study"] = {**values["study"], "weeks": 1, "warm_up_weeks": 0}
    return Option("short", check_values(values, "short"))


def test_one_process_and_two_give_equal_rows(short: Option) -> None:
    alone, shared = (Runner(LocalEngine(n)).run([Ask(short, 6)]) for n in (1, 2))
    assert repr(alone) == repr(shared)


def _work_but_die_once(number: int, packed: bytes, replications: tuple[int, ...]) -> tuple[int, object, float]:
    mark = Path(os.environ["SHOPSIM_TEST_MARK"])
    if 2 in replications and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return number, work(Job(pickle.loads(packed), replications)).rows, 0.1


def test_replications_of_a_lost_worker_are_run_again(
    short: Option, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("SHOPSIM_TEST_MARK", str(tmp_path / "died"))
    monkeypatch.setattr(engines, "_work_packed", _work_but_die_once)
    # An environment of its own for the workers of this test: processes started earlier do not know the mark.
    from joblib.externals.loky import get_reusable_executor

    get_reusable_executor().shutdown(wait=True)
    (rows,) = Runner(LocalEngine(2)).run([Ask(short, 6)])
    assert (tmp_path / "died").exists()
    monkeypatch.undo()
    (plain,) = Runner(LocalEngine(1)).run([Ask(short, 6)])
    assert repr(rows) == repr(plain)


def test_workers_lost_again_and_again_are_told(short: Option, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engines, "_work_packed", _die)
    monkeypatch.setattr(engines, "MOST_LOSSES", 2)
    with pytest.raises(EngineError) as error:
        Runner(LocalEngine(2)).run([Ask(short, 4)])
    assert str(error.value) == "worker processes were lost 2 times (out of memory?)"


def _die(*_: object) -> None:
    os.kill(os.getpid(), signal.SIGKILL)


STUDY = """
import sys
from shopsim.shop.shop_file import load_shop
from shopsim.studies.engine import LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.runner import Ask, Runner
from shopsim.studies.store import Store

if __name__ == "__main__":
    shop = load_shop(sys.argv[1])
    with Store(sys.argv[2]) as store:
        Runner(LocalEngine(2), store).run([Ask(Option("demo", shop.scenario, shop.order_lines), 200)])
"""


def test_a_killed_study_keeps_what_it_finished_and_leaves_no_workers(tmp_path: Path) -> None:
    script, path = tmp_path / "study.py", tmp_path / "kept.sqlite"
    script.write_text(STUDY, encoding="utf-8")
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    study = subprocess.Popen([sys.executable, script, DEMO, path], env=environment, start_new_session=True)
    try:
        _wait_until(lambda: path.exists() and _kept(path) >= 3)
    finally:
        study.kill()
        study.wait()
    kept = _kept(path)
    assert 3 <= kept < 200
    shop = load_shop(DEMO)
    demo = Option("demo", shop.scenario, shop.order_lines)
    with Store(path) as store:
        found = store.kept([(demo.key, number) for number in range(200)])
    (plain,) = Runner(LocalEngine(1)).run([Ask(demo, 1)])
    assert len(found) == kept
    assert repr(found[demo.key, 0]) == repr(plain[0])
    _wait_until(lambda: not _processes_of(study.pid))


def _kept(path: Path) -> int:
    with Store(path) as store:
        return sum(kept.replications for kept in store.listed())


def _processes_of(session: int) -> list[int]:
    """Living processes of a session (the study and its workers), read from /proc."""
    found = []
    for folder in Path("/proc").iterdir():
        if folder.name.isdigit():
            try:
                state, _, _, in_session = (folder / "stat").read_text().rpartition(")")[2].split()[:4]
            except (OSError, ValueError):
                continue
            if int(in_session) == session and state != "Z":
                found.append(int(folder.name))
    return found


def _wait_until(true: Callable[[], bool], at_most_s: float = 120) -> None:
    end = time.monotonic() + at_most_s
    while not true():
        assert time.monotonic() < end
        time.sleep(0.1)


class Asks:
    """An option whose row is the signals that are held back where it runs."""

    def replication(self, _: int) -> set[signal.Signals]:
        return signal.pthread_sigmask(signal.SIG_BLOCK, set())


ASKS_ITS_WORKER = """
from shopsim.studies.engine import Job, LocalEngine
from tests.studies.test_engine import Asks

(done,) = LocalEngine(2).run([Job(Asks(), (0,))])
print(done.rows)
"""


class CountedPacking:
    """An option that counts how often it is packed."""

    packed = 0

    def replication(self, number: int) -> int:
        return number

    def __getstate__(self) -> dict[str, int]:
        CountedPacking.packed += 1
        return {}


def test_an_option_is_packed_once_for_all_its_jobs() -> None:
    first, second = CountedPacking(), CountedPacking()
    jobs = [Job(option, (number,)) for option in (first, second) for number in range(5)]  # type: ignore[arg-type]
    done = list(LocalEngine(2).run(jobs))
    assert sorted(one.rows[0] for one in done) == sorted([*range(5), *range(5)])  # type: ignore[type-var]
    assert [one.job.option is first for one in done].count(True) == 5
    assert CountedPacking.packed == 2


def test_the_first_workers_of_a_program_never_hear_of_ctrl_c() -> None:
    """Not even while they begin, which would have each of them complain at length."""
    done = subprocess.run([sys.executable, "-c", ASKS_ITS_WORKER], cwd=ROOT, capture_output=True, text=True, check=True)
    assert "SIGINT" in done.stdout
