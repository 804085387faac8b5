"""A Dask cluster on the loopback address: the same numbers, a killed worker, and what is refused."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from shopsim.errors import EngineError
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import load_shop
from shopsim.studies.cluster import ClusterEngine, TlsFiles, _checked_workers, _connect, _work, _WorkList, is_open
from shopsim.studies.code_version import code_version
from shopsim.studies.engine import Job, LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.runner import Ask, Progress, Runner
from shopsim.studies.store import Store

pytest.importorskip("distributed")
ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_scenarios" / "flag_banner_shop.yaml"
Processes = list[subprocess.Popen[bytes]]
LOOPBACK = ["--no-dashboard", "--dashboard-address", "127.0.0.1:0"]


@pytest.fixture(scope="module")
def short() -> Option:
    values = scenario_values(load_shop(DEMO).scenario)
    values["study"] = {**values["study"], "weeks": 1, "warm_up_weeks": 0}
    return Option("short", check_values(values, "short"))


@contextmanager
def started(folder: Path, workers: int = 2, tls: TlsFiles | None = None) -> Iterator[tuple[str, Processes]]:
    """A scheduler and workers as a user starts them: its address, the workers, then the scheduler."""
    told = folder / "scheduler.json"
    secured = ["--tls-ca-file", tls.ca, "--tls-cert", tls.certificate, "--tls-key", tls.key] if tls else []
    command = [sys.executable, "-m", "distributed.cli.dask_scheduler"]
    scheduler = subprocess.Popen(
        [*command, "--host", "127.0.0.1", "--port", "0", "--scheduler-file", told, *LOOPBACK, *secured,
         *(["--protocol", "tls"] if tls else [])],
        cwd=ROOT, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    processes = [scheduler]
    try:
        address = _address(told)
        processes[:0] = [
            subprocess.Popen(
                [sys.executable, "-m", "distributed.cli.dask_worker", "--scheduler-file", told, "--host", "127.0.0.1",
                 "--nthreads", "1", "--no-nanny", "--local-directory", folder / f"worker_{i}", *LOOPBACK,
                 *secured],
                cwd=ROOT, stderr=subprocess.DEVNULL,
            )
            for i in range(workers)
        ]  # fmt: skip
        with _connect(address, tls) as client:
            client.wait_for_workers(workers, timeout=60)
        yield address, processes
    finally:
        for process in processes:
            process.kill()
            process.wait()


def _address(told: Path) -> str:
    """What the scheduler's file says, once it is written to its end."""
    end = time.monotonic() + 60
    while True:
        assert time.monotonic() < end
        try:
            return str(json.loads(told.read_text())["address"])
        except (FileNotFoundError, json.JSONDecodeError):
            time.sleep(0.1)


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, Processes]]:
    """Two workers, handed out to be killed."""
    with started(tmp_path_factory.mktemp("cluster")) as made:
        yield made


@pytest.mark.parametrize(("dead", "message"), [
    ("scheduler", r"tcp://\S+: the cluster was lost \(.+\)"),
    ("worker", r"tcp://\S+: the cluster has no workers any more"),
])  # fmt: skip
def test_a_cluster_that_dies_in_mid_study_is_told(
    short: Option, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, dead: str, message: str
) -> None:
    for name, value in (("_CONNECT_S", 5), ("_LOOK_EVERY_S", 0.5), ("_WITHOUT_WORKERS_S", 1.0)):
        monkeypatch.setattr(f"shopsim.studies.cluster.{name}", value)
    with started(tmp_path, workers=1) as (address, processes), Store(tmp_path / "kept.sqlite") as store:
        victim = processes[0 if dead == "worker" else -1]
        with ClusterEngine(address) as engine, pytest.raises(EngineError) as error:
            Runner(engine, store, on_progress=lambda progress: victim.kill()).run([Ask(short, 200)])
        assert re.fullmatch(message, str(error.value))
        assert sum(kept.replications for kept in store.listed()) >= 1


class CountingClient:
    """Remembers what is handed over."""

    def __init__(self) -> None:
        self.given: list[tuple[str, object]] = []

    def submit(self, task: Callable[..., object], first: object, *rest: object, **options: object) -> object:
        self.given.append((task.__name__, first))
        return object()


def test_an_option_is_handed_over_once_for_all_its_jobs(short: Option) -> None:
    client = CountingClient()
    work_list = _WorkList(client, "tcp://here", [Job(short, (number,)) for number in range(5)])
    work_list.give_out(2)
    work_list.give_out(3)
    assert [task for task, _ in client.given] == ["_itself", *["_work"] * 5]
    assert client.given[0][1] is short
    # Jobs get what stands for it on the cluster.
    assert all(first is not short for _, first in client.given[1:])
    assert len(work_list.open) == 5


def test_a_cluster_gives_the_same_rows_even_if_a_worker_is_killed(short: Option, cluster) -> None:
    address, workers = cluster
    (plain,) = Runner(LocalEngine(1)).run([Ask(short, 8)])
    with ClusterEngine(address) as engine:
        assert engine.workers == 2
        (rows,) = Runner(engine).run([Ask(short, 8)])
        assert repr(rows) == repr(plain)

        def kill_one(progress: Progress) -> None:
            workers[0].kill()

        (again,) = Runner(engine, on_progress=kill_one).run([Ask(short, 8)])
        assert repr(again) == repr(plain)


def test_no_cluster_there(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shopsim.studies.cluster._CONNECT_S", 0.5)
    with pytest.raises(EngineError) as error:
        ClusterEngine("tcp://127.0.0.1:9")
    assert str(error.value).startswith("tcp://127.0.0.1:9: no cluster answers here: ")
    with pytest.raises(EngineError) as error:
        ClusterEngine("tls://127.0.0.1:9", TlsFiles(*(str(tmp_path / name) for name in ("ca", "cert", "key"))))
    assert str(error.value).startswith("tls://127.0.0.1:9: no cluster answers here: ")


def test_workers_with_another_program_are_refused(cluster) -> None:
    with ClusterEngine(cluster[0]) as engine, pytest.raises(EngineError) as error:
        _checked_workers(engine._client, cluster[0], "0.0.1+older")
    assert re.fullmatch(
        rf"tcp://\S+: this is shopsim 0\.0\.1\+older, but workers have {re.escape(code_version())}; install the same "
        "version, Python, numpy, pandas, scipy and simpy everywhere",
        str(error.value),
    )


class Finished:
    """A job that a worker of some program has done."""

    def __init__(self, *told: object) -> None:
        self._told = told

    def result(self) -> tuple[object, ...]:
        return self._told


@pytest.mark.parametrize(("version", "told"), [(["0.0.1+older"], "0.0.1+older"), ([], "an unknown version")])
def test_work_of_a_worker_that_joined_later_with_another_program_is_refused(
    short: Option, version: list[str], told: str
) -> None:
    work_list = _WorkList(CountingClient(), "tcp://here", [])
    mine, other = Finished((), 1.0, code_version()), Finished((), 1.0, *version)
    work_list.open = {mine: Job(short, (0,)), other: Job(short, (1,))}
    assert work_list.take(mine).job.numbers == (0,)
    with pytest.raises(EngineError) as error:
        work_list.take(other)
    assert str(error.value) == (
        f"tcp://here: this is shopsim {code_version()}, but workers have {told}; what they made is not kept; install "
        "the same version, Python, numpy, pandas, scipy and simpy everywhere"
    )


def test_every_job_comes_back_with_the_program_that_did_it(short: Option) -> None:
    rows, _, version = _work(short, (0,))
    assert (repr(rows[0]), version) == (repr(short.replication(0)), code_version())


@pytest.mark.parametrize(("address", "open_to_others"), [
    ("tcp://127.0.0.1:8786", False), ("tcp://localhost:8786", False), ("tcp://[::1]:8786", False),
    ("tls://10.0.0.5:8786", False), ("tcp://10.0.0.5:8786", True), ("10.0.0.5:8786", True), ("tcp://press:1", True),
    ("127.0.0.1:8786", False), ("ws://10.0.0.5:8786", True),
])  # fmt: skip
def test_which_clusters_others_can_reach(address: str, open_to_others: bool) -> None:
    assert is_open(address) == open_to_others
