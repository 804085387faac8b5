"""Which source files stand behind the version under which replications are kept."""

import importlib.metadata
from pathlib import Path

import pytest

from shopsim.studies.code_version import code_version
from tests.architecture.test_floors import ROOT, imported, modules


def files_behind(name: str) -> set[Path]:
    """The file of a module and of all it imports, directly or not; the package itself only opens doors."""
    files, found, to_do = modules(ROOT), set(), [name]
    while to_do:
        module = to_do.pop()
        if module in found:
            continue
        found.add(module)
        for _, target in imported(module, files[module]):
            # Of `from shopsim.clock import stamp` the module is what stands before the last dot.
            to_do += [each for each in (target, target.rpartition(".")[0]) if each in files and each != "shopsim"]
    return {files[module] for module in found}


def test_all_that_a_replication_imports_counts(monkeypatch: pytest.MonkeyPatch) -> None:
    behind = files_behind("shopsim.studies.replication") | files_behind("shopsim.studies.futures")
    assert {path.parent.name for path in behind} == {
        "shopsim", "distributions", "craft", "shop", "floor", "measures", "studies",
    }  # fmt: skip
    read: list[Path] = []
    real = Path.read_bytes
    monkeypatch.setattr(Path, "read_bytes", lambda path: read.append(path) or real(path))
    code_version.__wrapped__()
    assert sorted(behind ^ set(read)) == []


@pytest.mark.parametrize("other", ["numpy", "pandas", "scipy", "simpy"])
def test_another_library_makes_another_version(monkeypatch: pytest.MonkeyPatch, other: str) -> None:
    now, real = code_version.__wrapped__(), importlib.metadata.version
    monkeypatch.setattr(
        "shopsim.studies.code_version.version", lambda name: real(name) + ".1" if name == other else real(name)
    )
    assert code_version.__wrapped__() != now


def test_another_python_makes_another_version(monkeypatch: pytest.MonkeyPatch) -> None:
    now = code_version.__wrapped__()
    monkeypatch.setattr("platform.python_version", lambda: "3.99.0")
    assert code_version.__wrapped__() != now


def test_words_make_no_other_version(monkeypatch: pytest.MonkeyPatch) -> None:
    now, real = code_version.__wrapped__(), Path.read_bytes
    words = ("figures.py", "cautions.py", "what_if_words.py", "crew.py", "command_line.py")
    monkeypatch.setattr(Path, "read_bytes", lambda path: real(path) + b"#" * (path.name in words))
    assert code_version.__wrapped__() == now


def test_one_byte_makes_another_version(monkeypatch: pytest.MonkeyPatch) -> None:
    now, real = code_version.__wrapped__(), Path.read_bytes
    monkeypatch.setattr(Path, "read_bytes", lambda path: real(path) + b"#" * (path.name == "why_late.py"))
    other = code_version.__wrapped__()
    number, _, digest = other.partition("+")
    assert number == now.partition("+")[0]
    assert len(digest) == 16
    assert other != now
