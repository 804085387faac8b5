"""What may stand behind the commands that change a shop: compare, shifts, crew, growth, payback, sensitivity."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from shopsim.doors.argument_values import (
    count,
    crew_sizes,
    growth,
    named_range,
    orders_won,
    percent,
    percents,
    positive,
    power_of_2,
    weeks_until,
)
from shopsim.doors.options import add_common, add_confidence, add_engine, add_limits, add_study_values

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]


def add_compare(commands: Commands) -> None:
    """`compare`."""
    compare = commands.add_parser(
        "compare", help="does a change help, by how much, how sure",
        description="Runs the shop as it stands and each what-if against the same orders, and tells how much higher or "
        "lower each lies. Without --replications it runs until the wanted precision is reached.",
    )  # fmt: skip
    _add_comparison(compare)


def add_shifts(commands: Commands) -> None:
    """`shifts`."""
    shifts = commands.add_parser(
        "shifts", help="shift patterns side by side",
        description="Compares shift patterns, given as what-ifs, with the shop as it stands: dates, money, overtime, "
        "handovers, unattended hot hours, electricity, rest times. Recommends one only if nothing is left to weigh.",
    )  # fmt: skip
    _add_comparison(shifts)


def _add_comparison(command: argparse.ArgumentParser) -> None:
    add_common(command)
    command.add_argument("what_ifs", metavar="WHAT_IF", nargs="+", help="what-if file (YAML); + joins several into one")
    command.add_argument("--measure", default="on_time_share", metavar="NAME",
                         help="what decides (default: on_time_share); any name of `run --json`")  # fmt: skip
    how_long = command.add_mutually_exclusive_group()
    how_long.add_argument("--replications", type=count, metavar="N", help="run each option so often")
    how_long.add_argument("--precision", type=positive, metavar="X",
                          help="run until every difference is known to ±X (points for shares; default: 2 points, "
                          "or 5 %% of the base); where luck is skewed by few bad weeks such an interval holds less "
                          "often than told, in trials 85 to 93 instead of 95 times in 100")  # fmt: skip
    how_long.add_argument("--until-clear", action="store_true",
                          help="run until it is clear for every option whether it beats the base")  # fmt: skip
    add_limits(command)
    add_study_values(command)
    add_engine(command)


def add_crew(commands: Commands) -> None:
    """`crew`."""
    crew = commands.add_parser(
        "crew", help="the smallest crew that sends the orders out on time",
        description="Tries crews of different size, spends runs where it is not clear yet whether the on-time target "
        "is met, and names the cheapest crew that meets it.",
    )  # fmt: skip
    add_common(crew)
    crew.add_argument("--crew", action="append", required=True, type=crew_sizes, metavar="ID=LOW..HIGH", dest="crews",
                      help="a crew of the file and the head counts to try; twice for a grid of two")  # fmt: skip
    crew.add_argument("--what-if", action="append", default=[], metavar="WHAT_IF", dest="what_ifs",
                      help="made before the crews are tried")  # fmt: skip
    crew.add_argument("--target", type=percent, metavar="PCT", help="orders on time (default: the file's target)")
    crew.add_argument("--tolerance", type=positive, default=3.0, metavar="POINTS",
                      help="crews closer to the target than this may go either way (default: 3 points)")  # fmt: skip
    crew.add_argument("--by-weeks", type=count, metavar="N",
                      help="also tell the crew for each block of N weeks, by the orders due in it")  # fmt: skip
    add_limits(crew)
    add_study_values(crew)
    add_engine(crew)


def add_growth(commands: Commands) -> None:
    """`growth`."""
    growing = commands.add_parser(
        "growth", help="how much more the shop can take on before it breaks",
        description="Runs the shop, and each what-if, with more and less demand: on-time and lead time against demand, "
        "and the demand at which fewer orders than the target go out on time.",
    )  # fmt: skip
    add_common(growing)
    growing.add_argument("what_ifs", metavar="WHAT_IF", nargs="*", help="what-if file (YAML); + joins several into one")
    growing.add_argument("--demand", type=percents, metavar="PCT,PCT", help="demands to begin with, in %% of today's "
                         "(default: 85,100,115); more are tried until each break is found")  # fmt: skip
    growing.add_argument("--replications", type=count, metavar="N", help="at each demand (default: the file's)")
    growing.add_argument("--precision", type=positive, metavar="X",
                         help="run until each break is known to ±X %% of today's demand")  # fmt: skip
    add_limits(growing)
    add_study_values(growing)
    add_engine(growing)


def add_payback(commands: Commands) -> None:
    """`payback`."""
    pays = commands.add_parser(
        "payback", help="does a change pay, when, and from what demand on",
        description="Cash flow of a change over its life, replication by replication against the same orders: net "
        "present value, internal rate, payback, break-even demand, and what drives them. Price, life, resale and "
        "orders won are those under `spends` of the what-if; the first three else those of the machines it adds.",
    )  # fmt: skip
    add_common(pays)
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
    add_confidence(pays)
    add_study_values(pays)
    add_engine(pays)


def add_sensitivity(commands: Commands) -> None:
    """`sensitivity`."""
    doubts = commands.add_parser(
        "sensitivity", help="what the answer hangs on among inputs nobody is sure of",
        description="Runs the shop with inputs anywhere in their ranges: which of them matter, and how sure the answer "
        "is with doubt about them. Says beforehand how many replications that takes.",
    )  # fmt: skip
    add_common(doubts)
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
    add_confidence(doubts)
    add_study_values(doubts)
    add_engine(doubts)
