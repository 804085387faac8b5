"""What may stand behind the commands about a shop as it stands: check, run, warm-up."""

from __future__ import annotations

import argparse
import textwrap
from typing import TYPE_CHECKING

from shopsim.doors.argument_values import clock_time, count, whole
from shopsim.doors.options import add_common, add_engine, add_study_values
from shopsim.shop.review.kinds import GRADES, KINDS

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]


def add_check(commands: Commands) -> None:
    """`check`."""
    check = commands.add_parser(
        "check", help="is the scenario file sound, what follows from it, and what to look at",
        description=textwrap.fill(
            "Reads a scenario and its order book, then reviews the shop on paper: what to look at, worst first, with "
            "what to do; load against capacity by place and week, real printing speeds, weight of rolls, rest times, "
            "cautions. Nothing is simulated.", 79,
        ),
        epilog=_kinds_of_findings(), formatter_class=argparse.RawDescriptionHelpFormatter,
    )  # fmt: skip
    add_common(check)
    check.add_argument("--schema", metavar="FILE", help="write the JSON Schema of scenario files, for your editor")
    check.add_argument("--what-if-schema", metavar="FILE", help="write the JSON Schema of what-if files")


def _kinds_of_findings() -> str:
    lines = ["what the review may find, by id:"]
    for grade, name in enumerate(GRADES):
        lines += ["", f"{name}:", *(f"  {each.id:<25} {each.meaning}" for each in KINDS if each.grade == grade)]
    return "\n".join(lines)


def add_run(commands: Commands) -> None:
    """`run`."""
    run = commands.add_parser(
        "run", help="how the shop does as it stands",
        description="Simulates the shop several times: on-time orders, lead times, how printers, places and people "
        "spend their time, what holds the shop back, waste and money.",
    )  # fmt: skip
    add_common(run)
    run.add_argument(
        "--replications",
        type=count,
        metavar="N",
        help="how often to run the shop (default: the file's)",
    )
    add_study_values(run)
    add_engine(run)
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


def add_warm_up(commands: Commands) -> None:
    """`warm-up`."""
    warm_up = commands.add_parser(
        "warm-up", help="how long the shop takes to settle, to be left out of long-run studies",
        description="Runs the shop from empty, smooths the orders in it day by day (Welch) and tells after how many "
        "weeks it has settled (MSER).",
    )  # fmt: skip
    add_common(warm_up)
    warm_up.add_argument("--replications", type=count, metavar="N", help="how often to run the shop (default: 10)")
    add_study_values(warm_up)
    add_engine(warm_up)
