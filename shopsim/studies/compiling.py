"""Build the engine's compiled twin, and prove that it gives what the source gives before anybody uses it."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from hashlib import sha256
from importlib.util import find_spec
from pathlib import Path
from time import process_time

from shopsim import compiled
from shopsim.errors import CompileError

_BUILD = """
import sys
from mypyc.build import mypycify
from setuptools import setup
files = sys.argv[1:]
sys.argv[1:] = ["build_ext", "--inplace"]
made = mypycify(["--ignore-missing-imports", "--follow-imports=silent", *files], opt_level="1", debug_level="0")
for each in made:
    # Warnings differ by compiler; fused multiply-add would round otherwise than Python does.
    kept = [flag for flag in each.extra_compile_args if flag != "-Werror"]
    each.extra_compile_args = kept if sys.platform == "win32" else [*kept, "-ffp-contract=off"]
setup(name="twin", packages=[], ext_modules=made)
"""
_CHECK = "import sys; from shopsim.studies.compiling import print_runs; print_runs(sys.argv[1:])"


@dataclass(frozen=True, slots=True)
class Run:
    """One replication of a scenario file: a hash of all records, and the processor seconds it took."""

    scenario: str
    records: str
    seconds: float


def build(into: Path) -> None:
    """Compile the source into extension modules in a new folder. Raises CompileError."""
    missing = [name for name in ("mypyc", "setuptools") if find_spec(name) is None]
    if missing:
        raise CompileError(f"{' and '.join(missing)} not found: pip install 'shopsim[compile]'")
    with tempfile.TemporaryDirectory() as name:
        copy = Path(name)
        shutil.copytree(
            compiled.ROOT, copy / "shopsim", ignore=shutil.ignore_patterns("__pycache__", f"*{compiled.SUFFIX}")
        )
        files = [path.relative_to(copy).as_posix() for path in compiled.sources(copy / "shopsim")]
        _told([sys.executable, "-c", _BUILD, *files], copy, {compiled.SWITCH: "0"})
        into.mkdir(parents=True)
        for path in copy.rglob(f"*{compiled.SUFFIX}"):
            if "build" not in path.relative_to(copy).parts:
                module = ".".join((*path.relative_to(copy).parent.parts, path.name))
                shutil.copy(path, into / module)


def runs(scenarios: Sequence[Path], switch: str) -> list[Run]:
    """One replication of each scenario in a fresh process, with the source ("0") or the twin of a folder.

    Raises CompileError if the process fails.
    """
    with tempfile.TemporaryDirectory() as elsewhere:
        package = os.pathsep.join((str(compiled.ROOT.parent), os.environ.get("PYTHONPATH", "")))
        paths = [str(path.resolve()) for path in scenarios]
        text = _told(
            [sys.executable, "-c", _CHECK, *paths], Path(elsewhere), {compiled.SWITCH: switch, "PYTHONPATH": package}
        )
    return [Run(*row) for row in json.loads(text)]


def print_runs(paths: Sequence[str]) -> None:
    """Write what `runs` reads: scenario, hash of the records and seconds of each."""
    from shopsim.floor.run import simulate
    from shopsim.shop.shop_file import load_shop

    found = []
    for path in paths:
        shop = load_shop(Path(path))
        began = process_time()
        log = simulate(shop.scenario, shop.order_lines)
        found.append((path, sha256(log.fingerprint()).hexdigest(), process_time() - began))
    sys.stdout.write(json.dumps(found))


def install(scenarios: Sequence[Path]) -> list[tuple[Run, Run]]:
    """Build the twin of this source, check it on the scenarios, and put it where it is found.

    Returns the runs of source and twin. Raises CompileError if it cannot be built or some record differs; then nothing
    has changed.
    """
    target = compiled.folder()
    new = target.with_name(f"{target.name}.{os.getpid()}")
    try:
        build(new)
        pairs = list(zip(runs(scenarios, "0"), runs(scenarios, str(new)), strict=True))
        for source, twin in pairs:
            if source.records != twin.records:
                raise CompileError(f"{source.scenario}: the compiled engine gives other records; it is not used")
        remove()
        new.rename(target)
    finally:
        shutil.rmtree(new, ignore_errors=True)
    return pairs


def remove() -> bool:
    """Throw away the twins of all versions; whether there were any."""
    there = [path for path in compiled.folder_of_all().glob("*") if len(path.name) == len(compiled.folder().name)]
    for path in there:
        shutil.rmtree(path)
    return bool(there)


def _told(command: Sequence[str], where: Path, settings: dict[str, str]) -> str:
    done = subprocess.run(
        command, cwd=where, env={**os.environ, **settings}, capture_output=True, text=True, check=False
    )
    if done.returncode:
        said = (done.stderr or done.stdout).strip().splitlines()
        raise CompileError("\n".join(["it could not be compiled; the source goes on running:", *said[-12:]]))
    return done.stdout
