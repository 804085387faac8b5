"""`shopsim demos`: the shops that come with the program, listed or copied to start from."""

from __future__ import annotations

import argparse
import shutil
from contextlib import suppress
from pathlib import Path

from shopsim.doors.writing import cannot_write, console, say
from shopsim.errors import InputError, Problem
from shopsim.shop.demos import DEMOS, beside, files_of
from shopsim.terminal.tables import print_table


def run(arguments: argparse.Namespace) -> None:
    """List the demo shops, or copy them with their what-ifs into a folder. Raises InputError where that cannot be."""
    if arguments.copy_to is None:
        rows = [(demo.name, f"{demo.title}. {demo.line}") for demo in DEMOS]
        note = "shopsim demos FOLDER copies them there, with their order books and what-ifs, to run and to change."
        print_table(console(), "Demo shops", ("", "the shop"), rows, note, texts=(0,), wraps=(1,))
        return
    folder = Path(arguments.copy_to)
    for name in _copied(folder):
        say(str(folder / name))


def _copied(folder: Path) -> list[str]:
    """The shops' files, all of them written; none is written over another."""
    files = {name: content for demo in DEMOS for name, content in {**files_of(demo), **beside(demo)}.items()}
    there = next((name for name in files if (folder / name).exists()), None)
    if there is not None:
        raise InputError([Problem(str(folder / there), None, None, "", "is there already; name another folder")])
    before = folder.exists()
    try:
        for name, content in files.items():
            path = folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
    except (OSError, ValueError) as fault:
        # All or none: half a demo would only be in the way of another try.
        for name in files:
            with suppress(OSError, ValueError):
                (folder / name).unlink(missing_ok=True)
        if not before:
            shutil.rmtree(folder, ignore_errors=True)
        raise cannot_write(str(folder), fault) from None
    return [demo.name for demo in DEMOS]
