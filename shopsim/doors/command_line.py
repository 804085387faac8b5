"""What may stand on the command line; nothing here is slow to import."""

from __future__ import annotations

import argparse
import sys

from shopsim.doors.commands_of_a_shop import add_check, add_run, add_warm_up
from shopsim.doors.commands_of_records import add_fit, add_match, add_promise, add_read, add_report
from shopsim.doors.commands_of_studies import (
    add_compare,
    add_crew,
    add_growth,
    add_payback,
    add_sensitivity,
    add_shifts,
)
from shopsim.doors.commands_of_the_tool import add_app, add_compile, add_demos, add_kept, add_verify


class _Version(argparse.Action):
    def __call__(self, parser: argparse.ArgumentParser, *_: object, **__: object) -> None:
        from shopsim.studies.code_version import code_version

        sys.stdout.write(f"shopsim {code_version()}\n")
        parser.exit()


def parser() -> argparse.ArgumentParser:
    """All commands and their options."""
    made = argparse.ArgumentParser(
        prog="shopsim", description="Will this shop send its printed textiles out on time, and what holds it back?"
    )
    made.add_argument("--version", action=_Version, nargs=0, help="show which program makes the numbers, and exit")
    commands = made.add_subparsers(dest="command", required=True, metavar="COMMAND")
    add_check(commands)
    add_run(commands)
    add_warm_up(commands)
    add_compare(commands)
    add_crew(commands)
    add_shifts(commands)
    add_growth(commands)
    add_payback(commands)
    add_sensitivity(commands)
    add_promise(commands)
    add_report(commands)
    add_read(commands)
    add_fit(commands)
    add_match(commands)
    add_verify(commands)
    add_kept(commands)
    add_demos(commands)
    add_app(commands)
    add_compile(commands)
    return made
