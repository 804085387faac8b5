"""The command line itself: quick help, misuse, mistakes of our own, stopping, and being read only in part."""

import os
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

import shopsim
from shopsim.cli import main
from shopsim.studies.code_version import code_version
from tests.doors.tiny import write_shop

ROOT = Path(__file__).resolve().parents[2]
DEMO = ROOT / "demo_scenarios" / "exhibition_supplier.yaml"


def shell(*arguments: str, **options: object) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, *arguments], capture_output=True, text=True, cwd=ROOT, **options)  # type: ignore[call-overload, no-any-return]


# The promise, by what a name is for.
PUBLIC = """
    shops: Shop Scenario load_shop load_scenario rough_cut
    what_ifs: Change Spends WhatIf apply differences load_what_if
    runs: simulate RunLog one_log measures_of replicate Replications Interval interval
    studies: Option option_of Runner Ask LocalEngine ClusterEngine TlsFiles Store
    compare: Plan compare_options judge_patterns
    crew: CrewPlan Sizes smallest_crew
    growth: GrowthPlan
    payback: PaybackPlan Spending
    sensitivity: SensitivityPlan InputRange check_ranges load_ranges
    promises: promise PromisePlan promised Today OpenOrder OpenLine load_today
    records: read_export load_mapping suggest_mapping fit_shop fitted_sentence rows_read
    sentences: as_we_are compared crew_found grown paid hangs_on patterns_weighed
    errors: ShopsimError InputError ScenarioError OrderBookError WhatIfError RangesError MappingError
            ExportError AuditError EngineError StoreError StoppedError
            TodayError
    __version__
"""
HELP = """
import sys
from shopsim.cli import main
try:
    main(["--help"])
except SystemExit as left:
    assert left.code == 0
heavy = {"numpy", "pandas", "simpy", "scipy", "pydantic", "rich", "joblib", "ruamel"}
heavy &= {name.split(".")[0] for name in sys.modules}
print(sorted(heavy))
"""


def test_help_imports_nothing_heavy() -> None:
    assert shell("-c", HELP).stdout.splitlines()[-1] == "[]"


def test_public_names_are_importable_and_lazy() -> None:
    code = "import sys, shopsim; assert 'numpy' not in sys.modules; print(shopsim.simulate.__module__)"
    assert shell("-c", code).stdout == "shopsim.floor.run\n"
    for name in shopsim.__all__:
        assert getattr(shopsim, name) is not None
    assert sorted(dir(shopsim)) == sorted(shopsim.__all__) == shopsim.__all__
    # The first word of a line tells what for; growth, payback and sensitivity are names as well.
    promised = {name for line in PUBLIC.splitlines() for name in re.findall(r"\w+", line.partition(":")[2] or line)}
    assert set(shopsim.__all__) == promised | {"growth", "payback", "sensitivity"}
    with pytest.raises(AttributeError) as error:
        shopsim.nothing  # noqa: B018
    assert str(error.value) == "module 'shopsim' has no attribute 'nothing'"


@pytest.mark.parametrize(("arguments", "message"), [
    ([], "the following arguments are required: COMMAND"),
    (["run"], "the following arguments are required: SCENARIO"),
    (["walk", "x"], "invalid choice: 'walk'"),
    (["run", "x", "--replications", "0"], "must be a whole number from 1 to 100000, found '0'"),
    (["run", "x", "--workers", "two"], "must be a whole number from 1 to 100000, found 'two'"),
    (["run", "x", "--seed", "-1"], "must be a whole number from 0 to 4294967295, found '-1'"),
    (["run", "x", "--weeks", "nan"], "must be a number above 0 and at most 1100, found 'nan'"),
])  # fmt: skip
def test_misuse_is_told_and_leaves_with_2(
    capsys: pytest.CaptureFixture[str], arguments: list[str], message: str
) -> None:
    with pytest.raises(SystemExit) as left:
        main(arguments)
    assert left.value.code == 2
    assert message in capsys.readouterr().err


def test_a_mistake_of_ours_is_one_line_with_the_seed(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*_: object) -> None:
        raise RuntimeError("no such\nthing")

    monkeypatch.setattr("shopsim.floor.run.simulate", broken)
    arguments = ["run", str(write_shop(tmp_path)), "--workers", "1"]
    assert main([*arguments, "--seed", "7"]) == 1
    err = capsys.readouterr().err
    assert err.count("\n") == 1
    assert "please report it with the scenario and this line: RuntimeError: no such thing (seed 7;" in err
    assert main(arguments) == 1
    assert "(seed of the scenario;" in capsys.readouterr().err
    with pytest.raises(RuntimeError):
        main([*arguments, "--debug"])


def test_books_that_do_not_balance_are_a_mistake_of_ours(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    def lost(*_: object) -> None:
        raise shopsim.AuditError("2 pieces lost")

    monkeypatch.setattr("shopsim.measures.audit.require_balanced", lost)
    assert main(["run", str(write_shop(tmp_path)), "--workers", "1"]) == 1
    assert "AuditError: replication 0, seed 1: 2 pieces lost" in capsys.readouterr().err


@pytest.mark.parametrize("workers", ["1", "2"])
def test_ctrl_c_stops_at_once_with_130(workers: str) -> None:
    command = [sys.executable, "-m", "shopsim", "run", str(DEMO), "--replications", "5000", "--workers", workers]
    running = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
                               start_new_session=True)  # fmt: skip
    time.sleep(5)
    # A terminal sends it to the whole group, workers too.
    os.killpg(running.pid, signal.SIGINT)
    out, err = running.communicate(timeout=60)
    assert (running.returncode, out) == (130, "")
    assert err.splitlines()[-1] == "stopped"
    assert "Traceback" not in err


@pytest.mark.parametrize("workers", ["1", "2"])
def test_a_study_told_to_end_says_what_is_kept(tmp_path: Path, workers: str) -> None:
    store = str(tmp_path / "kept.sqlite")
    command = ["run", str(DEMO), "--replications", "5000", "--workers", workers, "--store", store]
    running = subprocess.Popen([sys.executable, "-m", "shopsim", *command], cwd=ROOT, stdout=subprocess.PIPE,
                               stderr=subprocess.PIPE, text=True)  # fmt: skip
    end = time.monotonic() + 60
    while not Path(store).exists() or not Path(f"{store}-wal").stat().st_size > 20_000:
        assert time.monotonic() < end
        time.sleep(0.2)
    # Sent to the program alone, not to its workers.
    running.send_signal(signal.SIGTERM)
    out, err = running.communicate(timeout=60)
    assert (running.returncode, out) == (130, "")
    assert re.fullmatch(r"\d+ replications? (is|are) finished and kept; the same command goes on\nstopped\n", err)


def test_a_reader_that_stops_early_is_no_error(tmp_path: Path) -> None:
    path = write_shop(tmp_path)
    command = f"{sys.executable} -m shopsim check {path} | head -1; echo ${{PIPESTATUS[0]}}"
    done = subprocess.run(["bash", "-c", command], capture_output=True, text=True, cwd=ROOT, check=True)
    assert done.stdout.splitlines()[-1] == "0"
    assert done.stderr == ""


def test_the_command_line_as_a_program(tmp_path: Path) -> None:
    done = shell("-m", "shopsim", "run", str(write_shop(tmp_path)), "--replications", "2", "--workers", "2")
    assert done.returncode == 0
    assert done.stdout.startswith("On time 67 % of orders in every run")
    assert "2 replications in" in done.stderr and "Traceback" not in done.stderr
    assert shell("-m", "shopsim", "--version").stdout == f"shopsim {code_version()}\n"
    assert shell("-m", "shopsim", "check", str(tmp_path / "no.yaml")).returncode == 2
