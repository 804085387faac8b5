"""What may stand behind the commands about a shop's own records, and report: promise, report, read, fit, match."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from shopsim.doors.argument_values import chance, count, date, moment, positive, request, run_in, whole
from shopsim.doors.options import add_common, add_confidence, add_engine, add_output, add_records, add_study_values

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]


def add_promise(commands: Commands) -> None:
    """`promise`."""
    promise = commands.add_parser(
        "promise", help="what date can be promised this morning, with what chance",
        description="Simulates the shop many times from this morning on, told in a file or by the status column of an "
        "order book: the chance of each open order to leave by its date, which are at risk and why; for a request the "
        "date at the wanted chance, what would make it earlier at what cost, and which orders it makes late.",
    )  # fmt: skip
    add_common(promise)
    promise.add_argument("--today", metavar="FILE", help="the morning (YAML): open orders and where they are, rolls, "
                         "machines down, who is away")  # fmt: skip
    promise.add_argument("--orders", metavar="BOOK", help="the open orders: an order book with a `status` column; "
                         "with --today a file that tells all else")  # fmt: skip
    promise.add_argument("--map", metavar="MAP", help="mapping file, where the book comes from other software")
    promise.add_argument("--now", type=moment, metavar="TIME", help="when the book is as it is, '2026-09-16 07:00'; "
                         "with --today the file tells it")  # fmt: skip
    promise.add_argument("--request", action="append", default=[], type=request, metavar="PRODUCT=PIECES@WxH",
                         help="a new request, sizes in metres; repeated for further lines")  # fmt: skip
    promise.add_argument("--by", type=date, metavar="DATE", help="the day by which the request is wanted")
    promise.add_argument("--rush", action="store_true", help="the request is a rush order")
    promise.add_argument("--new-file", action="store_true", help="its artwork is still to be checked and approved")
    promise.add_argument("--chance", type=chance, default=80.0, metavar="PCT",
                         help="the chance with which a date is wanted (default: 80)")  # fmt: skip
    promise.add_argument("--way", action="append", default=[], metavar="WHAT_IF", dest="ways",
                         help="what-if file that is a further way to make the request; + joins several")  # fmt: skip
    promise.add_argument("--what-if", action="append", default=[], metavar="WHAT_IF", dest="what_ifs",
                         help="made in the shop before anything is asked")  # fmt: skip
    promise.add_argument("--replications", type=count, default=100, metavar="N",
                         help="futures of each option (default: 100)")  # fmt: skip
    promise.add_argument("--schema", metavar="FILE", help="write the JSON Schema of files of a morning")
    add_confidence(promise)
    promise.add_argument("--seed", type=whole, metavar="N", help="another seed than the file's")
    add_engine(promise)


def add_report(commands: Commands) -> None:
    """`report`."""
    report = commands.add_parser(
        "report", help="a page to hand on, as PDF too, with a workbook and all records",
        description="Answers questions and writes what a client, a bank and another modeller can check: a page "
        "(HTML, and PDF where Chromium is there), a workbook, all records of one run, and the files it was made "
        "from. Without questions it tells how the shop does and what the what-ifs beside it would change.",
    )  # fmt: skip
    add_common(report)
    report.add_argument("what_ifs", metavar="WHAT_IF", nargs="*", help="what-if file (YAML) to compare; + joins "
                        "several into one (default: those in the folder what_ifs beside the scenario)")  # fmt: skip
    report.add_argument("--ask", action="append", default=[], metavar="COMMAND", dest="asks",
                        help="a question, as its command has it but without the scenario, e.g. --ask 'crew --crew "
                        "sewers=2..6'; may be repeated; instead of the usual questions")  # fmt: skip
    report.add_argument("--out", metavar="DIR", help="a new or empty folder (default: the scenario's name and _report)")
    report.add_argument("--compare", metavar="ANSWERS.JSON", help="ask the questions of an earlier report again, "
                        "compare every number with those it has, and write nothing")  # fmt: skip
    report.add_argument("--replications", type=count, metavar="N", help="of the usual questions (default: the file's)")
    report.add_argument("--title", metavar="TEXT", default="", help="instead of the shop's name")
    report.add_argument("--author", metavar="TEXT", default="", help="who made it")
    report.add_argument("--no-pdf", action="store_true", help="only the page")
    report.add_argument("--no-records", action="store_true", help="leave the records of one run out")
    add_confidence(report)
    add_study_values(report)
    add_engine(report)


def add_read(commands: Commands) -> None:
    """`read`."""
    read = commands.add_parser(
        "read", help="order books and logs of other software into our own columns",
        description="Reads a CSV or XLSX export by a mapping file that says which column is which. Every row is "
        "accepted, repaired with a note or rejected with a reason; nothing is dropped in silence.",
    )  # fmt: skip
    read.add_argument("file", metavar="FILE", help="the export (.csv, .txt, .tsv or .xlsx)")
    read.add_argument("--map", metavar="MAP", help="mapping file (YAML)")
    read.add_argument("--suggest", action="store_true",
                      help="propose a mapping from headings and values, into the file of --map or shown")  # fmt: skip
    read.add_argument("--table", choices=("orders", "printer_log", "work_log", "time_stamps"),
                      help="what the export holds, for --suggest (default: found out)")  # fmt: skip
    read.add_argument("--scenario", metavar="SCENARIO", help="names of products for --suggest come from this file")
    read.add_argument("--out", metavar="CSV", help="write the usable rows in our own columns")
    read.add_argument("--schema", metavar="FILE", help="write the JSON Schema of mapping files, for your editor")
    add_output(read)


def add_fit(commands: Commands) -> None:
    """`fit`."""
    fit = commands.add_parser(
        "fit", help="inputs from the shop's own order history and logs",
        description="Fits demand, speeds, set-ups, checks, breakdowns, efficiency and faults from records, and writes "
        "a scenario that says of each value what it rests on. Files without --map are those of `read --out`.",
    )  # fmt: skip
    add_common(fit)
    add_records(fit)
    fit.add_argument("--out", metavar="SCENARIO", help="write the fitted scenario, comments kept")
    fit.add_argument("--pictures", metavar="FILE", help="write a page (HTML) of measured against fitted values")
    fit.add_argument("--hold-out", type=count, default=0, metavar="N",
                     help="leave the last N weeks out, to compare them with `match`")  # fmt: skip
    fit.add_argument("--ranges", metavar="FILE", help="write what is in doubt as ranges for `sensitivity`")
    add_confidence(fit)


def add_match(commands: Commands) -> None:
    """`match`."""
    matching = commands.add_parser(
        "match", help="does the model agree with what really happened",
        description="Runs the shop over the weeks on record with the recorded orders, many times, and sets what "
        "happened against the runs: dates kept, lead times, orders and m² out by week, orders in the shop, hours of "
        "printers and people. Each figure agrees, differs, or cannot be told; where the model misses, it tells which "
        "input most likely explains it. The order history needs the column `shipped`.",
    )  # fmt: skip
    add_common(matching)
    add_records(matching)
    matching.add_argument("--start", choices=("empty", "warm"), default="empty",
                          help="how the shop is filled: by the first weeks on record, which then do not count, or by "
                          "the same orders once more before them (default: empty)")  # fmt: skip
    matching.add_argument("--run-in", type=run_in, default=3, metavar="N",
                          help="weeks that fill the shop (default: 3); longer than most orders are inside")  # fmt: skip
    matching.add_argument("--hold-out", type=count, default=0, metavar="N",
                          help="fit the shop to the weeks before the last N, and compare these only")  # fmt: skip
    matching.add_argument("--tolerance", type=positive, default=10.0, metavar="PCT",
                          help="good enough: within so many %% of what happened (default: 10)")  # fmt: skip
    matching.add_argument("--tolerance-points", type=positive, default=5.0, metavar="POINTS",
                          help="the same for orders on time (default: 5 points)")  # fmt: skip
    matching.add_argument("--replications", type=count, default=59, metavar="N",
                          help="how often to run the weeks on record (default: 59, at least 19 at 95 %%)")  # fmt: skip
    matching.add_argument("--no-causes", action="store_true", help="do not look for the input that explains a gap")
    matching.add_argument("--seed", type=whole, metavar="N", help="another seed than the file's")
    add_confidence(matching)
    add_engine(matching)
