"""How often `match` accepts the true model, and wrong ones: `python -m tests.evidence.matches --weeks 8 --studies 25`.

Each study simulates the true shop of `matching_shop` under its own seed, takes its order list (and, in columns `... +
log`, the work log of its sewing room) for what happened, and sets the true model and three wrong ones against it, each
with 39 runs of its own luck. A row says which models were accepted (1) or rejected (0) at 95 %.

The first two weeks fill the shop and do not count; `weeks` counts those compared.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from scipy import stats

from shopsim.floor.run import simulate
from shopsim.measures.facts import Facts
from shopsim.measures.outcomes import hours_by_week_from, order_outcomes_from
from shopsim.studies.match_figures import Figures, figures_of_record, figures_of_run
from shopsim.studies.match_luck import Tolerance, judge
from shopsim.studies.match_record import PeriodPlan, Record, read_record
from shopsim.studies.replication import Replication
from tests.evidence.matching_shop import MODELS, happened, model_of
from tests.evidence.slices import HERE, append, read

RESULTS = HERE / "matches.csv"
PERIODS = (4, 8, 16)
CONFIDENCE_PCT, RUNS, RUN_IN = 95.0, 39, 2
WRONG = tuple(name for name in MODELS if name != "true")
HEADING = ("study", "weeks", *MODELS, *(f"{name} + log" for name in MODELS))


def accepted(seed: int, weeks: int, model: str) -> tuple[bool, bool]:
    """Whether a model passes for the true shop of a seed: by its orders alone, and with the work log."""
    orders, work_log = happened(seed, weeks + RUN_IN)
    record = read_record(model_of(seed, model), orders, [], work_log, PeriodPlan(RUN_IN))
    own, runs = figures_of_record(record), [_run(record, number) for number in range(RUNS)]
    with_log = judge(own, runs, Tolerance(), CONFIDENCE_PCT)
    alone = judge(_without_hours(own), [_without_hours(run) for run in runs], Tolerance(), CONFIDENCE_PCT)
    return alone.accepted, with_log.accepted


def _run(record: Record, number: int) -> Figures:
    """As `figures_of_run` of a whole replication; what it does not look at is left out, which halves the time."""
    facts = Facts(simulate(record.scenario, record.lines, number), record.scenario)
    out_min, gone_min = order_outcomes_from(facts)
    row = Replication(number, {}, {}, {}, {}, {}, {}, {}, out_min=out_min, gone_min=gone_min,
                      hours_by_week=hours_by_week_from(facts))  # fmt: skip
    return figures_of_run(record, row)


def _without_hours(figures: Figures) -> Figures:
    levels = {name: level for name, level in figures.levels.items() if not name.startswith("work.")}
    return Figures(levels, figures.shapes, figures.steps)


def studies(first: int, count: int, weeks: int) -> Iterator[tuple[object, ...]]:
    """A row a study."""
    for seed in range(first, first + count):
        found = [accepted(seed, weeks, model) for model in MODELS]
        yield seed, weeks, *(int(alone) for alone, _ in found), *(int(both) for _, both in found)


def kept(weeks: int, model: str, path: Path = RESULTS) -> tuple[int, int]:
    """How often a model was accepted over so many weeks, and of how many studies."""
    told = [int(row[model]) for row in read(path) if int(row["weeks"]) == weeks]
    return sum(told), len(told)


def luck_of_share(share: float, studies: int) -> tuple[int, int]:
    """The middle 99 % of how many of so many studies come out so, if each does with that chance."""
    low, high = stats.binom.ppf([0.005, 0.995], studies, share)
    return int(low), int(high)


def summary(path: Path = RESULTS) -> str:
    """What the results say: a line a period and kind of record."""
    lines = []
    for weeks in PERIODS:
        for more in ("", " + log"):
            hits, n = kept(weeks, f"true{more}", path)
            low, high = luck_of_share(CONFIDENCE_PCT / 100, n)
            powers = ", ".join(f"{name} {1 - kept(weeks, name + more, path)[0] / n:.0%}" for name in WRONG)
            what = "orders and work log" if more else "orders"
            lines.append(f"{weeks} weeks, {what}: true {hits} of {n} accepted ({low} to {high}); rejected: {powers}")
    return "\n".join(lines)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--weeks", type=int, default=8)
    parser.add_argument("--studies", type=int, default=25)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--out", type=Path)
    asked = parser.parse_args()
    append(asked.out, HEADING, studies(asked.first, asked.studies, asked.weeks))
