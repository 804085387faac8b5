"""The command line: `shopsim check` and `shopsim run`. Start reading here.

Each command lives in `shopsim.doors` and is imported when it is asked for, so that `--help` answers at once. Exit
codes: 0 done, 1 a fault of ours, 2 bad input, 130 stopped. Answers go to standard output, all else to standard error.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from importlib import import_module

from shopsim import __version__
from shopsim.errors import InputError

DONE, OUR_FAULT, BAD_INPUT, STOPPED = 0, 1, 2, 130
Command = Callable[[argparse.Namespace], None]


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code. Misuse of the command line leaves through SystemExit, code 2."""
    arguments = _parser().parse_args(argv)
    try:
        command: Command = import_module(f"shopsim.doors.{arguments.command}").run
        command(arguments)
        sys.stdout.flush()
    except InputError as fault:
        return _said(str(fault), BAD_INPUT)
    except BrokenPipeError:
        # Whoever read our output (`head`, a pager) has seen enough; what is still buffered must not complain at exit.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    except KeyboardInterrupt:
        return _said("stopped", STOPPED)
    except Exception as fault:
        if arguments.debug:
            raise
        return _said(_our_fault(fault, arguments), OUR_FAULT)
    return DONE


def _said(text: str, code: int) -> int:
    sys.stderr.write(f"{text}\n")
    return code


def _our_fault(fault: Exception, arguments: argparse.Namespace) -> str:
    seed = getattr(arguments, "seed", None)
    told = f"{type(fault).__name__}: {fault}".replace("\n", " ")
    return (
        f"shopsim {__version__} made a mistake of its own, please report it with the scenario and this line: {told} "
        f"({'seed of the scenario' if seed is None else f'seed {seed}'}; --debug shows where)"
    )


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="shopsim", description="Will this shop send its printed textiles out on time, and what holds it back?"
    )
    parser.add_argument("--version", action="version", version=f"shopsim {__version__}")
    commands = parser.add_subparsers(dest="command", required=True, metavar="COMMAND")
    _add_check(commands)
    _add_run(commands)
    return parser


def _add_check(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    check = commands.add_parser(
        "check", help="is the scenario file sound, and what follows from it",
        description="Reads a scenario and its order book, then shows what follows: real printing speeds, weight of "
        "rolls, load against capacity by place and week, cautions. Nothing is simulated.",
    )  # fmt: skip
    _add_common(check)
    check.add_argument("--schema", metavar="FILE", help="write the JSON Schema of scenario files, for your editor")


def _add_run(commands: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    run = commands.add_parser(
        "run", help="how the shop does as it stands",
        description="Simulates the shop several times: on-time orders, lead times, how printers, places and people "
        "spend their time, what holds the shop back, waste and money.",
    )  # fmt: skip
    _add_common(run)
    run.add_argument("--replications", type=_count, metavar="N", help="how often to run the shop (default: the file's)")
    run.add_argument("--workers", type=_count, metavar="N", help="processes to share the work (default: one a core)")
    run.add_argument("--seed", type=_whole, metavar="N", help="another seed than the file's")
    run.add_argument("--weeks", type=_weeks, metavar="N", help="another number of weeks than the file's")
    run.add_argument("--out", metavar="DIR", help="write all records of one replication into a new or empty folder")
    run.add_argument("--week", type=_count, metavar="N", help="show week N (from 1, after any warm-up) on the floor")
    run.add_argument(
        "--replication", type=_whole, default=0, metavar="K", help="the one for --out and --week (default: 0)"
    )


def _add_common(command: argparse.ArgumentParser) -> None:
    command.add_argument("scenario", metavar="SCENARIO", help="scenario file (YAML)")
    command.add_argument("--json", metavar="FILE", help="write the answer as JSON; - for standard output, alone")
    command.add_argument("--debug", action="store_true", help="show where in the program a mistake of ours happened")


def _whole(text: str) -> int:
    value = int(text) if text.isascii() and text.isdigit() and len(text) < 12 else -1
    if not 0 <= value < 2**32:
        raise argparse.ArgumentTypeError(f"must be a whole number from 0 to {2**32 - 1}, found {text!r}")
    return value


def _count(text: str) -> int:
    value = int(text) if text.isascii() and text.isdigit() and len(text) < 12 else 0
    if not 1 <= value <= 100_000:
        raise argparse.ArgumentTypeError(f"must be a whole number from 1 to 100000, found {text!r}")
    return value


def _weeks(text: str) -> float:
    try:
        value = float(text)
    except ValueError:
        value = 0.0
    if not 0 < value <= 1100:
        raise argparse.ArgumentTypeError(f"must be a number above 0 and at most 1100, found {text!r}")
    return value
