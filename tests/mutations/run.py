"""`python -m tests.mutations [WORDS ...] [--workers N]`: break one thing at a time and show that some test fails.

Each mutant is put into a copy of the tree, in a temporary folder, and the tests that should notice it are run there
until the first fails. A module that cannot be imported or a name that does not exist notices nothing. In the end all
tests that have noticed something are run on an unbroken copy, where they must pass. Words choose mutants by part of
their name. Exit code 0 if every mutant was noticed, else 1.
"""

from __future__ import annotations

import argparse
import os
import shutil
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ET
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor, as_completed
from pathlib import Path
from time import monotonic
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from tests.mutations.mutant import Mutant  # noqa: E402  # found only now
from tests.mutations.mutants import MUTANTS  # noqa: E402

_COPIED = ("shopsim", "tests", "app", "demo_scenarios", "pyproject.toml", ".gitignore")
_TIME_LIMIT_S = 900
# Faults of the mutant's own writing, which any test would trip over.
_NOT_WRITTEN_WELL = ("ImportError", "ModuleNotFoundError", "SyntaxError", "IndentationError", "NameError")


class Outcome(NamedTuple):
    """What the tests said: the first that failed, "" if none did, why that counts for nothing, and the seconds."""

    failed: str
    objection: str
    seconds: float

    @property
    def noticed(self) -> bool:
        return bool(self.failed) and not self.objection


def copied_tree(folder: Path) -> Path:
    """A copy of what the tests need, in a folder."""
    ignore = shutil.ignore_patterns("__pycache__", ".*_cache")
    for name in _COPIED:
        source = ROOT / name
        if source.is_dir():
            shutil.copytree(source, folder / name, ignore=ignore)
        elif source.exists():
            shutil.copy(source, folder / name)
    return folder


def run_tests(tree: Path, tests: Sequence[str]) -> Outcome:
    """Run tests in a tree until the first fails."""
    report = tree / "report.xml"
    command = [
        sys.executable, "-m", "pytest", "-x", "-q", "-n", "0", "-p", "no:cacheprovider", "-o", "junit_family=xunit1",
        f"--junit-xml={report}", *tests,
    ]  # fmt: skip
    environment = {name: value for name, value in os.environ.items() if not name.startswith(("PYTEST", "COV"))}
    environment |= {"PYTHONPATH": str(tree), "PYTHONDONTWRITEBYTECODE": "1"}
    started = monotonic()
    try:
        subprocess.run(command, cwd=tree, env=environment, capture_output=True, timeout=_TIME_LIMIT_S, check=False)
    except subprocess.TimeoutExpired:
        return Outcome("", f"no answer in {_TIME_LIMIT_S} s", monotonic() - started)
    return _first_failure(report, monotonic() - started)


def _first_failure(report: Path, seconds: float) -> Outcome:
    if not report.exists():
        return Outcome("", "the tests did not run", seconds)
    for case in ET.parse(report).getroot().iter("testcase"):
        for fault in (*case.findall("failure"), *case.findall("error")):
            test, message = f"{case.get('file')}::{case.get('name')}", fault.get("message") or ""
            # Of a file that cannot be collected there is no test, only an error.
            if case.get("file") is None or message == "collection failure":
                return Outcome(str(case.get("name")), "the tests could not be imported", seconds)
            kind = message.removeprefix("failed on setup with ").strip('"').split(":")[0]
            return Outcome(test, kind if kind in _NOT_WRITTEN_WELL else "", seconds)
    return Outcome("", "", seconds)


def try_out(mutant: Mutant) -> Outcome:
    """Break a copy of the tree and see who notices."""
    with tempfile.TemporaryDirectory(prefix="mutant-") as folder:
        tree = copied_tree(Path(folder))
        (tree / mutant.path).write_text(mutant.text(tree), encoding="utf-8")
        return run_tests(tree, mutant.test_paths)


def tried_out(mutants: Sequence[Mutant], workers: int) -> Iterator[tuple[Mutant, Outcome]]:
    """Each mutant with its outcome, as they finish. Stopped, it begins no further one."""
    with ThreadPoolExecutor(workers) as pool:
        waiting = {pool.submit(try_out, mutant): mutant for mutant in mutants}
        try:
            for done in as_completed(waiting):
                yield waiting[done], done.result()
        finally:
            pool.shutdown(cancel_futures=True)


def unbroken(tests: Sequence[str]) -> Outcome:
    """Run on an unbroken copy the tests that have noticed something: they must not fail by themselves."""
    with tempfile.TemporaryDirectory(prefix="mutant-") as folder:
        return run_tests(copied_tree(Path(folder)), sorted(set(tests)))


def chosen(words: Sequence[str]) -> list[Mutant]:
    """The mutants with any of the words in their names; all without words."""
    return [mutant for mutant in MUTANTS if not words or any(word in mutant.name for word in words)]


def main(argv: Sequence[str] | None = None) -> int:
    """Print one line a mutant as it is tried, then how many were noticed."""
    given = argparse.ArgumentParser(prog="python -m tests.mutations", description=(__doc__ or "").split("\n")[0])
    given.add_argument("words", nargs="*", metavar="WORDS", help="only mutants with these words in their names")
    given.add_argument("--workers", type=int, default=1, metavar="N", help="mutants tried at a time (default: 1)")
    arguments = given.parse_args(argv)
    mutants = chosen(arguments.words)
    width = max((len(mutant.name) for mutant in mutants), default=0)
    unnoticed, tests = 0, []
    print(f"{'mutant':{width}}  {'s':>5}  noticed by")
    for mutant, found in tried_out(mutants, arguments.workers):
        unnoticed += not found.noticed
        tests += [found.failed] if found.noticed else []
        told = found.failed if found.noticed else f"NOT NOTICED {found.failed} {found.objection}".rstrip()
        print(f"{mutant.name:{width}}  {found.seconds:5.0f}  {told}", flush=True)
    print(f"{len(mutants) - unnoticed} of {len(mutants)} noticed")
    if tests:
        false_alarm = unbroken(tests)
        if false_alarm.failed or false_alarm.objection:
            print(f"fails without any mutant: {false_alarm.failed} {false_alarm.objection}".rstrip())
            return 1
    return 0 if mutants and not unnoticed else 1


if __name__ == "__main__":
    raise SystemExit(main())
