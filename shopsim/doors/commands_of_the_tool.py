"""What may stand behind the commands about the tool itself: verify, kept, demos, app, compile."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from shopsim.doors.argument_values import days, port
from shopsim.doors.options import add_output, add_workers

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]


def add_verify(commands: Commands) -> None:
    """`verify`."""
    verify = commands.add_parser(
        "verify", help="published values against this installation",
        description="Works out published and derived cases (queues, lines, schedules, packing, statistics, key "
        "figures, work study, money, working time) on this installation: the value of each case that is furthest off, "
        "and with --values or --only every value.",
    )  # fmt: skip
    verify.add_argument("--full", action="store_true", help="long runs, until the intervals are narrow")
    verify.add_argument(
        "--only", metavar="ID,ID", action="append", help="only these cases, value by value, e.g. A-01,E-03"
    )
    verify.add_argument("--values", action="store_true", help="every value of every case")
    add_workers(verify)
    add_output(verify)


def add_kept(commands: Commands) -> None:
    """`kept`."""
    kept = commands.add_parser(
        "kept", help="finished replications kept on this machine",
        description="Every finished replication is kept, so that a study that was stopped goes on where it was. This "
        "lists what is kept, or throws it away.",
    )  # fmt: skip
    kept.add_argument("--prune-days", type=days, metavar="N", help="throw away what was kept more than N days ago")
    kept.add_argument("--prune-other-versions", action="store_true", help="throw away what other versions have made")
    kept.add_argument("--store", metavar="FILE", help="where replications are kept")
    add_output(kept)


def add_demos(commands: Commands) -> None:
    """`demos`."""
    demos = commands.add_parser(
        "demos", help="the shops that come with the program, to start from",
        description="Lists the three demo shops, or copies them with their order books and what-ifs into a folder.",
    )  # fmt: skip
    demos.add_argument("copy_to", metavar="FOLDER", nargs="?", help="copy them there")
    demos.add_argument("--debug", action="store_true", help=argparse.SUPPRESS)


def add_app(commands: Commands) -> None:
    """`app`."""
    app = commands.add_parser(
        "app", help="the same questions in a browser, on this machine",
        description="Opens the front end: start from a demo or a file, ask, save all of it as files for the other "
        "commands. It listens on 127.0.0.1 alone.",
    )  # fmt: skip
    app.add_argument("--port", type=port, metavar="N", help="another port than the first free one from 8501")
    app.add_argument("--no-browser", action="store_true", help="only serve, open nothing")
    app.add_argument("--debug", action="store_true", help="show where in the program a mistake of ours happened")


def add_compile(commands: Commands) -> None:
    """`compile`."""
    built = commands.add_parser(
        "compile", help="make simulations faster on this machine",
        description="Builds the engine's own source into compiled modules in your folder for state, checks that they "
        "give the same records to the last bit, and uses them from then on until the source changes. Needs a C "
        "compiler and the extra `compile`. SHOPSIM_COMPILED=0 switches them off for one command.",
    )  # fmt: skip
    built.add_argument("scenarios", nargs="*", metavar="SCENARIO", help="scenario files of yours to check them on too")
    built.add_argument("--remove", action="store_true", help="go back to the source")
    add_output(built)
