"""A Dask cluster on the loopback address: the same numbers, a killed worker, and what is refused."""

from __future__ import annotations

import json
import re
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from shopsim.errors import EngineError
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import load_shop
from shopsim.studies.cluster import ClusterEngine, TlsFiles, _checked_workers
from shopsim.studies.code_version import code_version
from shopsim.studies.engine import LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.runner import Ask, Progress, Runner

pytest.importorskip("distributed")
ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_scenarios" / "flag_banner_shop.yaml"
LOOPBACK = ["--no-dashboard", "--dashboard-address", "127.0.0.1:0"]


@pytest.fixture(scope="module")
def short() -> Option:
    values = scenario_values(load_shop(DEMO).scenario)
    values["study"] = {**values["study"], "weeks": 1, "warm_up_weeks": 0}
    return Option("short", check_values(values, "short"))


@pytest.fixture(scope="module")
def cluster(tmp_path_factory: pytest.TempPathFactory) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and two workers as a user starts them; the workers are handed out to be killed."""
    folder = tmp_path_factory.mktemp("cluster")
    told = folder / "scheduler.json"
    command = [sys.executable, "-m", "distributed.cli.dask_scheduler"]
    scheduler = subprocess.Popen(
        [*command, "--host", "127.0.0.1", "--port", "0", "--scheduler-file", told, *LOOPBACK],
        cwd=ROOT, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    workers = [
        subprocess.Popen(
            [sys.executable, "-m", "distributed.cli.dask_worker", "--scheduler-file", told, "--host", "127.0.0.1",
             "--nthreads", "1", "--no-nanny", "--local-directory", folder / f"worker_{i}", *LOOPBACK],
            cwd=ROOT, stderr=subprocess.DEVNULL,
        )
        for i in range(2)
    ]  # fmt: skip
    try:
        end = time.monotonic() + 60
        while not told.exists():
            assert time.monotonic() < end
            time.sleep(0.1)
        yield json.loads(told.read_text())["address"], workers
    finally:
        for process in (*workers, scheduler):
            process.kill()
            process.wait()


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
        rf"tcp://\S+: this is shopsim 0\.0\.1\+older, but workers have {re.escape(code_version())}", str(error.value)
    )
