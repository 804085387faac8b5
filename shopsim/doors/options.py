"""Options that several commands take."""

from __future__ import annotations

import argparse

from shopsim.doors.argument_values import confidence, count, weeks, whole


def add_limits(command: argparse.ArgumentParser) -> None:
    """How many replications an option gets at most, and how sure the answer has to be."""
    command.add_argument("--at-most", type=count, default=400, metavar="N",
                         help="replications of one option at most (default: 400)")  # fmt: skip
    add_confidence(command)


def add_confidence(command: argparse.ArgumentParser) -> None:
    """How sure the answer has to be."""
    command.add_argument("--confidence", type=confidence, metavar="PCT", help="another confidence than the file's")


def add_study_values(command: argparse.ArgumentParser) -> None:
    """Other values of the file's study."""
    command.add_argument("--seed", type=whole, metavar="N", help="another seed than the file's")
    command.add_argument("--weeks", type=weeks, metavar="N", help="another number of weeks than the file's")


def add_engine(command: argparse.ArgumentParser) -> None:
    """Where replications are run, and where finished ones are kept."""
    command.add_argument(
        "--workers", type=count, metavar="N", help="processes that share the work (default: one a core)"
    )
    command.add_argument("--cluster", metavar="ADDRESS", help="run on a Dask cluster, e.g. tls://10.0.0.5:8786")
    command.add_argument("--tls", nargs=3, metavar=("CA", "CERT", "KEY"), help="PEM files for a tls:// cluster")
    command.add_argument("--store", metavar="FILE", help="keep finished replications here (default: in your home)")
    command.add_argument("--no-store", action="store_true", help="keep nothing, use nothing kept")


def add_records(command: argparse.ArgumentParser) -> None:
    """What happened in the shop, as files of other software or of `read --out`."""
    command.add_argument("--orders", action="append", default=[], metavar="FILE", help="order history; may be repeated")
    command.add_argument("--printer-log", action="append", default=[], metavar="FILE", help="printer log")
    command.add_argument(
        "--work-log", action="append", default=[], metavar="FILE", help="log of work after the printer"
    )
    command.add_argument("--time-stamps", action="append", default=[], metavar="FILE",
                         help="when each order was at each place: become rows of work")  # fmt: skip
    command.add_argument("--map", action="append", default=[], metavar="MAP", dest="maps",
                         help="mapping file, for the table it names")  # fmt: skip


def add_workers(command: argparse.ArgumentParser) -> None:
    """Processes, where no store and no cluster is used."""
    command.add_argument("--workers", type=count, metavar="N", help="processes sharing the work (default: as cores)")


def add_common(command: argparse.ArgumentParser) -> None:
    """The scenario, and what every command takes."""
    command.add_argument("scenario", metavar="SCENARIO", help="scenario file (YAML)")
    add_output(command)


def add_output(command: argparse.ArgumentParser) -> None:
    """What every command takes."""
    command.add_argument("--json", metavar="FILE", help="write the answer as JSON; - for standard output, alone")
    command.add_argument("--debug", action="store_true", help="show where in the program a mistake of ours happened")
