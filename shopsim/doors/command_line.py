"""What may stand on the command line; nothing here is slow to import."""

from __future__ import annotations

import argparse
import sys
import textwrap
from typing import TYPE_CHECKING

from shopsim.doors.argument_values import (
    chance,
    clock_time,
    confidence,
    count,
    crew_sizes,
    date,
    days,
    growth,
    moment,
    named_range,
    orders_won,
    percent,
    percents,
    port,
    positive,
    power_of_2,
    request,
    run_in,
    weeks,
    weeks_until,
    whole,
)
from shopsim.shop.review.kinds import GRADES, KINDS

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]


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
    _add_check(commands)
    _add_run(commands)
    _add_warm_up(commands)
    _add_compare(commands)
    _add_crew(commands)
    _add_shifts(commands)
    _add_growth(commands)
    _add_payback(commands)
    _add_sensitivity(commands)
    _add_promise(commands)
    _add_report(commands)
    _add_read(commands)
    _add_fit(commands)
    _add_match(commands)
    _add_verify(commands)
    _add_kept(commands)
    _add_demos(commands)
    _add_app(commands)
    _add_compile(commands)
    return made


def _add_check(commands: Commands) -> None:
    check = commands.add_parser(
        "check", help="is the scenario file sound, what follows from it, and what to look at",
        description=textwrap.fill(
            "Reads a scenario and its order book, then reviews the shop on paper: what to look at, worst first, with "
            "what to do; load against capacity by place and week, real printing speeds, weight of rolls, rest times, "
            "cautions. Nothing is simulated.", 79,
        ),
        epilog=_kinds_of_findings(), formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    _add_common(check)
    check.add_argument("--schema", metavar="FILE", help="write the JSON Schema of scenario files, for your editor")
    check.add_argument("--what-if-schema", metavar="FILE", help="write the JSON Schema of what-if files")


def _kinds_of_findings() -> str:
    lines = ["what the review may find, by id:"]
    for grade, name in enumerate(GRADES):
        lines += ["", f"{name}:", *(f"  {each.id:<25} {each.meaning}" for each in KINDS if each.grade == grade)]
    return "\n".join(lines)


def _add_run(commands: Commands) -> None:
    run = commands.add_parser(
        "run", help="how the shop does as it stands",
        description="Simulates the shop several times: on-time orders, lead times, how printers, places and people "
        "spend their time, what holds the shop back, waste and money.",
    )  # fmt: skip
    _add_common(run)
    run.add_argument(
        "--replications",
        type=count,
        metavar="N",
        help="how often to run the shop (default: the file's)",
    )
    _add_study_values(run)
    _add_engine(run)
    run.add_argument("--out", metavar="DIR", help="write all records of one replication into a new or empty folder")
    run.add_argument("--week", type=count, metavar="N", help="show week N (from 1, after any warm-up) on the floor")
    run.add_argument(
        "--replication",
        type=whole,
        metavar="K",
        help="the one for --out, --week and states (default: 0; with --from-state: the state's own)",
    )
    run.add_argument("--until", type=clock_time, metavar="'YYYY-MM-DD HH:MM'", help="with --save-state or "
                     "--save-morning: run one replication up to there")  # fmt: skip
    run.add_argument("--save-state", metavar="FILE", help="keep the exact state of the simulated shop there")
    run.add_argument("--save-morning", metavar="FILE", help="write what could be told of the simulated shop there, for "
                     "`promise --today`")  # fmt: skip
    run.add_argument("--from-state", metavar="FILE", help="go on from a state that was kept: what becomes of the "
                     "orders in the shop; with --out all records, those before it included")  # fmt: skip


def _add_warm_up(commands: Commands) -> None:
    warm_up = commands.add_parser(
        "warm-up", help="how long the shop takes to settle, to be left out of long-run studies",
        description="Runs the shop from empty, smooths the orders in it day by day (Welch) and tells after how many "
        "weeks it has settled (MSER).",
    )  # fmt: skip
    _add_common(warm_up)
    warm_up.add_argument("--replications", type=count, metavar="N", help="how often to run the shop (default: 10)")
    _add_study_values(warm_up)
    _add_engine(warm_up)


def _add_compare(commands: Commands) -> None:
    compare = commands.add_parser(
        "compare", help="does a change help, by how much, how sure",
        description="Runs the shop as it stands and each what-if against the same orders, and tells how much higher or "
        "lower each lies. Without --replications it runs until the wanted precision is reached.",
    )  # fmt: skip
    _add_comparison(compare)


def _add_shifts(commands: Commands) -> None:
    shifts = commands.add_parser(
        "shifts", help="shift patterns side by side",
        description="Compares shift patterns, given as what-ifs, with the shop as it stands: dates, money, overtime, "
        "handovers, unattended hot hours, electricity, rest times. Recommends one only if nothing is left to weigh.",
    )  # fmt: skip
    _add_comparison(shifts)


def _add_comparison(command: argparse.ArgumentParser) -> None:
    _add_common(command)
    command.add_argument("what_ifs", metavar="WHAT_IF", nargs="+", help="what-if file (YAML); + joins several into one")
    command.add_argument("--measure", default="on_time_share", metavar="NAME",
                         help="what decides (default: on_time_share); any name of `run --json`")  # fmt: skip
    how_long = command.add_mutually_exclusive_group()
    how_long.add_argument("--replications", type=count, metavar="N", help="run each option so often")
    how_long.add_argument("--precision", type=positive, metavar="X",
                          help="run until every difference is known to ±X (points for shares; default: 2 points, "
                          "or 5 %% of the base); where luck is skewed by few bad weeks such an interval holds less "
                          "often than told, perhaps 85 to 92 instead of 95 times in 100")  # fmt: skip
    how_long.add_argument("--until-clear", action="store_true",
                          help="run until it is clear for every option whether it beats the base")  # fmt: skip
    _add_limits(command)
    _add_study_values(command)
    _add_engine(command)


def _add_crew(commands: Commands) -> None:
    crew = commands.add_parser(
        "crew", help="the smallest crew that sends the orders out on time",
        description="Tries crews of different size, spends runs where it is not clear yet whether the on-time target "
        "is met, and names the cheapest crew that meets it.",
    )  # fmt: skip
    _add_common(crew)
    crew.add_argument("--crew", action="append", required=True, type=crew_sizes, metavar="ID=LOW..HIGH", dest="crews",
                      help="a crew of the file and the head counts to try; twice for a grid of two")  # fmt: skip
    crew.add_argument("--what-if", action="append", default=[], metavar="WHAT_IF", dest="what_ifs",
                      help="made before the crews are tried")  # fmt: skip
    crew.add_argument("--target", type=percent, metavar="PCT", help="orders on time (default: the file's target)")
    crew.add_argument("--tolerance", type=positive, default=3.0, metavar="POINTS",
                      help="crews closer to the target than this may go either way (default: 3 points)")  # fmt: skip
    crew.add_argument("--by-weeks", type=count, metavar="N",
                      help="also tell the crew for each block of N weeks, by the orders due in it")  # fmt: skip
    _add_limits(crew)
    _add_study_values(crew)
    _add_engine(crew)


def _add_growth(commands: Commands) -> None:
    growing = commands.add_parser(
        "growth", help="how much more the shop can take on before it breaks",
        description="Runs the shop, and each what-if, with more and less demand: on-time and lead time against demand, "
        "and the demand at which fewer orders than the target go out on time.",
    )  # fmt: skip
    _add_common(growing)
    growing.add_argument("what_ifs", metavar="WHAT_IF", nargs="*", help="what-if file (YAML); + joins several into one")
    growing.add_argument("--demand", type=percents, metavar="PCT,PCT", help="demands to begin with, in %% of today's "
                         "(default: 85,100,115); more are tried until each break is found")  # fmt: skip
    growing.add_argument("--replications", type=count, metavar="N", help="at each demand (default: the file's)")
    growing.add_argument("--precision", type=positive, metavar="X",
                         help="run until each break is known to ±X %% of today's demand")  # fmt: skip
    _add_limits(growing)
    _add_study_values(growing)
    _add_engine(growing)


def _add_payback(commands: Commands) -> None:
    pays = commands.add_parser(
        "payback", help="does a change pay, when, and from what demand on",
        description="Cash flow of a change over its life, replication by replication against the same orders: net "
        "present value, internal rate, payback, break-even demand, and what drives them. Price, life, resale and "
        "orders won are those under `spends` of the what-if; the first three else those of the machines it adds.",
    )  # fmt: skip
    _add_common(pays)
    pays.add_argument("what_if", metavar="WHAT_IF", help="what-if file (YAML); + joins several into one")
    pays.add_argument("--replications", type=count, metavar="N", help="at each demand (default: the file's)")
    pays.add_argument("--discount", type=percent, default=8.0, metavar="PCT", help="rate a year (default: 8)")
    pays.add_argument("--growth", type=growth, default=0.0, metavar="PCT", help="of demand a year (default: 0)")
    pays.add_argument("--orders-won", type=orders_won, metavar="PCT", help="orders that the change alone brings, in "
                      "%% of today's (default: the what-if's, else 0)")  # fmt: skip
    pays.add_argument("--orders-won-weeks", type=weeks_until, metavar="N", help="until all of them come, evenly from "
                      "the start (default: the what-if's, else 0)")  # fmt: skip
    pays.add_argument("--tax", type=percent, default=0.0, metavar="PCT", help="on what is earned (default: 0)")
    pays.add_argument("--range", action="append", default=[], type=named_range, metavar="INPUT=LOW..HIGH",
                      dest="ranges",
                      help="doubt about an input, e.g. once_cu=180000..260000 or gain_pct=70..110")  # fmt: skip
    pays.add_argument("--only-given", action="store_true", help="no doubt but what --range gives")
    _add_confidence(pays)
    _add_study_values(pays)
    _add_engine(pays)


def _add_sensitivity(commands: Commands) -> None:
    doubts = commands.add_parser(
        "sensitivity", help="what the answer hangs on among inputs nobody is sure of",
        description="Runs the shop with inputs anywhere in their ranges: which of them matter, and how sure the answer "
        "is with doubt about them. Says beforehand how many replications that takes.",
    )  # fmt: skip
    _add_common(doubts)
    doubts.add_argument("ranges", metavar="RANGES", nargs="?", help="file of ranges (YAML)")
    doubts.add_argument("--range", action="append", default=[], type=named_range, metavar="PATH=LOW..HIGH",
                        dest="given", help="a further range, e.g. crews.sewers.efficiency_pct=65..85")  # fmt: skip
    doubts.add_argument("--measure", default="on_time_share", metavar="NAME",
                        help="the answer (default: on_time_share); any name of `run --json`")  # fmt: skip
    doubts.add_argument("--method", choices=("bars", "morris", "sobol"), default="bars",
                        help="one input at a time, elementary effects, or shares of the variance")  # fmt: skip
    doubts.add_argument("--replications", type=count, metavar="N",
                        help="at each point (default: 6 for bars, 3 for morris, 2 for sobol)")  # fmt: skip
    doubts.add_argument("--trajectories", type=count, default=10, metavar="N", help="for morris (default: 10)")
    doubts.add_argument("--samples", type=power_of_2, default=64, metavar="N",
                        help="for sobol, a power of 2 (default: 64)")  # fmt: skip
    _add_confidence(doubts)
    _add_study_values(doubts)
    _add_engine(doubts)


def _add_promise(commands: Commands) -> None:
    promise = commands.add_parser(
        "promise", help="what date can be promised this morning, with what chance",
        description="Simulates the shop many times from this morning on, told in a file or by the status column of an "
        "order book: the chance of each open order to leave by its date, which are at risk and why; for a request the "
        "date at the wanted chance, what would make it earlier at what cost, and which orders it makes late.",
    )  # fmt: skip
    _add_common(promise)
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
    _add_confidence(promise)
    promise.add_argument("--seed", type=whole, metavar="N", help="another seed than the file's")
    _add_engine(promise)


def _add_report(commands: Commands) -> None:
    report = commands.add_parser(
        "report", help="a page to hand on, as PDF too, with a workbook and all records",
        description="Answers questions and writes what a client, a bank and another modeller can check: a page "
        "(HTML, and PDF where Chromium is there), a workbook, all records of one run, and the files it was made "
        "from. Without questions it tells how the shop does and what the what-ifs beside it would change.",
    )  # fmt: skip
    _add_common(report)
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
    _add_confidence(report)
    _add_study_values(report)
    _add_engine(report)


def _add_read(commands: Commands) -> None:
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
    _add_output(read)


def _add_fit(commands: Commands) -> None:
    fit = commands.add_parser(
        "fit", help="inputs from the shop's own order history and logs",
        description="Fits demand, speeds, set-ups, checks, breakdowns, efficiency and faults from records, and writes "
        "a scenario that says of each value what it rests on. Files without --map are those of `read --out`.",
    )  # fmt: skip
    _add_common(fit)
    _add_records(fit)
    fit.add_argument("--out", metavar="SCENARIO", help="write the fitted scenario, comments kept")
    fit.add_argument("--pictures", metavar="FILE", help="write a page (HTML) of measured against fitted values")
    fit.add_argument("--hold-out", type=count, default=0, metavar="N",
                     help="leave the last N weeks out, to compare them with `match`")  # fmt: skip
    fit.add_argument("--ranges", metavar="FILE", help="write what is in doubt as ranges for `sensitivity`")
    _add_confidence(fit)


def _add_match(commands: Commands) -> None:
    matching = commands.add_parser(
        "match", help="does the model agree with what really happened",
        description="Runs the shop over the weeks on record with the recorded orders, many times, and sets what "
        "happened against the runs: dates kept, lead times, orders and m² out by week, orders in the shop, hours of "
        "printers and people. Each figure agrees, differs, or cannot be told; where the model misses, it tells which "
        "input most likely explains it. The order history needs the column `shipped`.",
    )  # fmt: skip
    _add_common(matching)
    _add_records(matching)
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
    _add_confidence(matching)
    _add_engine(matching)


def _add_verify(commands: Commands) -> None:
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
    _add_workers(verify)
    _add_output(verify)


def _add_kept(commands: Commands) -> None:
    kept = commands.add_parser(
        "kept", help="finished replications kept on this machine",
        description="Every finished replication is kept, so that a study that was stopped goes on where it was. This "
        "lists what is kept, or throws it away.",
    )  # fmt: skip
    kept.add_argument("--prune-days", type=days, metavar="N", help="throw away what was kept more than N days ago")
    kept.add_argument("--prune-other-versions", action="store_true", help="throw away what other versions have made")
    kept.add_argument("--store", metavar="FILE", help="where replications are kept")
    _add_output(kept)


def _add_demos(commands: Commands) -> None:
    demos = commands.add_parser(
        "demos", help="the shops that come with the program, to start from",
        description="Lists the three demo shops, or copies them with their order books and what-ifs into a folder.",
    )  # fmt: skip
    demos.add_argument("copy_to", metavar="FOLDER", nargs="?", help="copy them there")
    demos.add_argument("--debug", action="store_true", help=argparse.SUPPRESS)


def _add_app(commands: Commands) -> None:
    app = commands.add_parser(
        "app", help="the same questions in a browser, on this machine",
        description="Opens the front end: start from a demo or a file, ask, save all of it as files for the other "
        "commands. It listens on 127.0.0.1 alone.",
    )  # fmt: skip
    app.add_argument("--port", type=port, metavar="N", help="another port than the first free one from 8501")
    app.add_argument("--no-browser", action="store_true", help="only serve, open nothing")
    app.add_argument("--debug", action="store_true", help="show where in the program a mistake of ours happened")


def _add_compile(commands: Commands) -> None:
    built = commands.add_parser(
        "compile", help="make simulations faster on this machine",
        description="Builds the engine's own source into compiled modules in your folder for state, checks that they "
        "give the same records to the last bit, and uses them from then on until the source changes. Needs a C "
        "compiler and the extra `compile`. SHOPSIM_COMPILED=0 switches them off for one command.",
    )  # fmt: skip
    built.add_argument("scenarios", nargs="*", metavar="SCENARIO", help="scenario files of yours to check them on too")
    built.add_argument("--remove", action="store_true", help="go back to the source")
    _add_output(built)


def _add_limits(command: argparse.ArgumentParser) -> None:
    command.add_argument("--at-most", type=count, default=400, metavar="N",
                         help="replications of one option at most (default: 400)")  # fmt: skip
    _add_confidence(command)


def _add_confidence(command: argparse.ArgumentParser) -> None:
    command.add_argument("--confidence", type=confidence, metavar="PCT", help="another confidence than the file's")


def _add_study_values(command: argparse.ArgumentParser) -> None:
    command.add_argument("--seed", type=whole, metavar="N", help="another seed than the file's")
    command.add_argument("--weeks", type=weeks, metavar="N", help="another number of weeks than the file's")


def _add_engine(command: argparse.ArgumentParser) -> None:
    """Where replications are run, and where finished ones are kept."""
    command.add_argument(
        "--workers", type=count, metavar="N", help="processes that share the work (default: one a core)"
    )
    command.add_argument("--cluster", metavar="ADDRESS", help="run on a Dask cluster, e.g. tls://10.0.0.5:8786")
    command.add_argument("--tls", nargs=3, metavar=("CA", "CERT", "KEY"), help="PEM files for a tls:// cluster")
    command.add_argument("--store", metavar="FILE", help="keep finished replications here (default: in your home)")
    command.add_argument("--no-store", action="store_true", help="keep nothing, use nothing kept")


def _add_records(command: argparse.ArgumentParser) -> None:
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


def _add_workers(command: argparse.ArgumentParser) -> None:
    command.add_argument("--workers", type=count, metavar="N", help="processes sharing the work (default: as cores)")


def _add_common(command: argparse.ArgumentParser) -> None:
    command.add_argument("scenario", metavar="SCENARIO", help="scenario file (YAML)")
    _add_output(command)


def _add_output(command: argparse.ArgumentParser) -> None:
    command.add_argument("--json", metavar="FILE", help="write the answer as JSON; - for standard output, alone")
    command.add_argument("--debug", action="store_true", help="show where in the program a mistake of ours happened")
