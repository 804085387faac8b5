"""`shopsim compile`: an engine of extension modules, built of the installed source, which gives the same records."""

from __future__ import annotations

import argparse
import sys
from importlib.resources import as_file, files
from pathlib import Path

from shopsim.doors.writing import TO_STDOUT, write_json
from shopsim.studies.compiling import Run, install, remove


def run(arguments: argparse.Namespace) -> None:
    """Build, check and say what was gained; or remove. Raises CompileError if the twin cannot be used."""
    if arguments.remove:
        gone = remove()
        sys.stdout.write("The compiled engine was removed.\n" if gone else "There is no compiled engine.\n")
        return
    sys.stderr.write("compiling the engine; this takes a few minutes\n")
    with as_file(files("shopsim.published") / "systems") as systems:
        # Some of these systems get their orders from code, not from the book they name.
        own = sorted(path for path in systems.glob("*.yaml") if "order_book" not in path.read_text(encoding="utf-8"))
        pairs = install([*own, *map(Path, arguments.scenarios)])
    if arguments.json:
        write_json({"checked": [_as_json(*pair) for pair in pairs]}, arguments.json)
    if arguments.json == TO_STDOUT:
        return
    source_s, twin_s = (sum(pair[i].seconds for pair in pairs) for i in (0, 1))
    sys.stdout.write(
        f"The compiled engine gives the same records as its source in all {len(pairs)} shops tried, "
        f"{source_s / twin_s:.1f} times as fast. It is used from now on.\n"
    )


def _as_json(source: Run, twin: Run) -> dict[str, object]:
    return {
        "scenario": source.scenario,
        "records": twin.records,
        "source_s": source.seconds,
        "compiled_s": twin.seconds,
    }
