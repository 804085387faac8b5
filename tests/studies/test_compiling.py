"""The compiled engine gives the records of its source to the last bit, is used while it fits, and only then."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from shopsim import compiled
from shopsim.cli import main
from shopsim.errors import CompileError
from shopsim.studies import compiling
from shopsim.studies.compiling import Run
from tests.architecture.test_floors import ROOT

SYSTEMS = [
    path
    for path in sorted((ROOT / "shopsim" / "published" / "systems").glob("*.yaml"))
    if "order_book" not in path.read_text(encoding="utf-8")
]


def told(code: str, *arguments: str, switch: str) -> str:
    command = [sys.executable, "-c", code, *arguments]
    settings = {**os.environ, compiled.SWITCH: switch, "PYTHONPATH": str(ROOT)}
    return subprocess.run(command, cwd=ROOT, env=settings, capture_output=True, text=True, check=True).stdout


@pytest.fixture(autouse=True)
def looked_up_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv(compiled.SWITCH, raising=False)
    compiled.files.cache_clear()
    yield
    compiled.files.cache_clear()


def built(where: Path, *names: str) -> Path:
    where.mkdir(parents=True)
    for name in names:
        (where / f"{name}{compiled.SUFFIX}").write_bytes(b"")
    return where


# -- which one is used ------------------------------------------------------------------------------------------------


def test_where_nothing_is_built_the_source_runs() -> None:
    assert compiled.files() == {}
    assert compiled.find("shopsim.clock") is None


def test_a_twin_of_this_source_is_found() -> None:
    where = built(compiled.folder(), "shopsim.clock", "0123__mypyc")
    spec = compiled.find("shopsim.clock")
    assert spec is not None
    assert spec.origin == str(where / f"shopsim.clock{compiled.SUFFIX}")
    assert compiled.find("0123__mypyc") is not None
    assert compiled.find("shopsim.floor.run") is None


def test_a_twin_of_other_source_is_not_used(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    built(compiled.folder(), "shopsim.clock")
    real = Path.read_bytes
    monkeypatch.setattr(Path, "read_bytes", lambda path: real(path) + b"#" * (path.name == "policies.py"))
    assert compiled.find("shopsim.clock") is None


@pytest.mark.parametrize(("switch", "found"), [("0", False), ("", True)])
def test_it_can_be_switched_off(switch: str, found: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    built(compiled.folder(), "shopsim.clock")
    monkeypatch.setenv(compiled.SWITCH, switch)
    assert (compiled.find("shopsim.clock") is not None) == found


def test_a_folder_can_be_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    where = built(tmp_path / "mine", "shopsim.clock")
    monkeypatch.setenv(compiled.SWITCH, str(where))
    assert compiled.files() == {"shopsim.clock": where / f"shopsim.clock{compiled.SUFFIX}"}


def test_all_of_the_floor_is_compiled_and_no_package() -> None:
    names = {path.relative_to(compiled.ROOT).as_posix() for path in compiled.sources()}
    floor = {f"floor/{path.name}" for path in (compiled.ROOT / "floor").glob("*.py")} - {"floor/__init__.py"}
    assert {name for name in names if name.startswith("floor/")} == floor
    assert {"calendars.py", "clock.py", "streams.py", "craft/layout_shelves.py"} <= names
    assert not [name for name in names if name.endswith("__init__.py")]


# -- installing and removing ------------------------------------------------------------------------------------------


def answers(monkeypatch: pytest.MonkeyPatch, twin: str) -> None:
    """Building makes an empty module; source and twin give these records."""
    monkeypatch.setattr(compiling, "build", lambda into: built(into, "shopsim.clock"))
    monkeypatch.setattr(compiling, "runs", lambda scenarios, switch: [
        Run(str(each), "aa" if switch == "0" else twin, 3.0 if switch == "0" else 1.5) for each in scenarios
    ])  # fmt: skip


def test_equal_records_put_it_to_use(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    answers(monkeypatch, "aa")
    old = built(compiled.folder_of_all() / ("0" * 24), "shopsim.clock")
    assert main(["compile", "mine.yaml"]) == 0
    shops = len(SYSTEMS) + 1
    assert capsys.readouterr().out == (
        f"The compiled engine gives the same records as its source in all {shops} shops tried, 2.0 times as fast. "
        "It is used from now on.\n"
    )
    assert list(compiled.folder().parent.iterdir()) == [compiled.folder()]
    assert not old.exists()


def test_other_records_keep_it_out(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    answers(monkeypatch, "bb")
    assert main(["compile"]) == 2
    first = SYSTEMS[0]
    assert capsys.readouterr().err.endswith(f"{first}: the compiled engine gives other records; it is not used\n")
    assert list(compiled.folder_of_all().iterdir()) == []


def test_it_can_be_removed(capsys: pytest.CaptureFixture[str]) -> None:
    built(compiled.folder(), "shopsim.clock")
    assert main(["compile", "--remove"]) == main(["compile", "--remove"]) == 0
    assert capsys.readouterr().out == "The compiled engine was removed.\nThere is no compiled engine.\n"


def test_json_alone_on_standard_output(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    answers(monkeypatch, "aa")
    assert main(["compile", "--json", "-"]) == 0
    first = json.loads(capsys.readouterr().out)["checked"][0]
    assert first == {
        "scenario": str(SYSTEMS[0]), "records": "aa", "source_s": 3.0, "compiled_s": 1.5,
    }  # fmt: skip


def test_without_a_compiler_of_types_it_says_what_to_install(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(compiling, "find_spec", lambda name: None)
    with pytest.raises(CompileError) as error:
        compiling.build(tmp_path / "new")
    assert str(error.value) == "mypyc and setuptools not found: pip install 'shopsim[compile]'"


def test_source_that_does_not_compile_is_told_with_its_last_lines(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(compiling, "_BUILD", "raise SystemExit('no compiler here')")
    with pytest.raises(CompileError) as error:
        compiling.build(tmp_path / "new")
    assert str(error.value) == "it could not be compiled; the source goes on running:\nno compiler here"
    assert not (tmp_path / "new").exists()


def test_runs_are_those_of_the_source() -> None:
    scenario = SYSTEMS[0]
    (found,) = compiling.runs([scenario], "0")
    code = "import sys; from shopsim.studies.compiling import print_runs; print_runs(sys.argv[1:])"
    ((path, records, _),) = json.loads(told(code, str(scenario), switch="0"))
    assert (found.scenario, found.records) == (path, records)
    assert len(records) == 64


# -- the real thing, a few minutes ------------------------------------------------------------------------------------


@pytest.mark.compiled
def test_the_compiled_engine_gives_the_records_of_its_source(tmp_path: Path) -> None:
    twin = tmp_path / "twin"
    compiling.build(twin)
    where = "import shopsim.floor.run as run; print(run.__file__)"
    assert told(where, switch=str(twin)).startswith(str(twin))
    assert told(where, switch="0").startswith(str(ROOT))
    version = "from shopsim.studies.code_version import code_version; print(code_version())"
    assert told(version, switch=str(twin)) == told(version, switch="0")
    varied = "from tests.benchmarks.fingerprints import main; main()"
    assert told(varied, switch=str(twin)) == told(varied, switch="0")
    stopped = "from tests.benchmarks.stopped_runs import main; main()"
    assert told(stopped, switch=str(twin)) == told(stopped, switch="0")
    # The textbook shops are compared by `shopsim compile` itself, wherever it builds.
    demos = sorted((ROOT / "demo_scenarios").glob("*.yaml"))
    of_source, of_twin = compiling.runs(demos, "0"), compiling.runs(demos, str(twin))
    assert [run.records for run in of_twin] == [run.records for run in of_source]
