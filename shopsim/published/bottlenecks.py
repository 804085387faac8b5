"""What holds a line back, from its records."""

from __future__ import annotations

import statistics
from collections.abc import Iterator

from shopsim.measures.active_periods import active_periods
from shopsim.measures.bottleneck import momentary_constraints
from shopsim.measures.busy_time import printer_times
from shopsim.published.case import Case, Finding
from shopsim.published.recorded import Span, facts_of_printers

# Minutes at which the state changes, and the state from then on: Work, sEt-up, Clean, Repair, Starved, Blocked.
LOG = (
    ("M1", "0W 20B 25W 50B 55W 73B 78W 102B 106W 132B 138W 160B 164W 190B 200"),
    ("M2", "0S 20W 50E 60W 95S 100W 112C 120W 160S 162W 200"),
    ("M3", "0S 30W 46S 55W 70S 82W 102R 142W 152S 163W 177S 185W 200"),
    ("M4", "0S 46W 55S 66W 76S 91W 100S 155W 167S 177W 188S 200"),
)
LETTERS = {"W": "printing", "E": "roll_change", "C": "cleaning", "R": "breakdown", "S": "waiting_job",
           "B": "waiting_operator"}  # fmt: skip
END = 200
# Machine: mean active period, number of them, their standard deviation, share worked, alone and shifting constraint.
ACTIVE = {
    "M1": (23.0, 7, 3.10912635103, 0.805, 0.1, 0.0),
    "M2": (57.6666666666667, 3, 18.6100331362771, 0.775, 0.49, 0.375),
    "M3": (26.0, 5, 24.6069095987286, 0.45, 0.025, 0.325),
    "M4": (10.2, 5, 1.30384048104, 0.255, 0.01, 0.05),
}
PERIODS = "M1 0-20, M2 20-95, M3 82-152, M2 100-160, M4 155-167, M2 162-200"


def _spans(text: str) -> list[Span]:
    words = text.split()
    moments = [float(word.rstrip("".join(LETTERS))) for word in words]
    return [(LETTERS[word[-1]], moments[i], moments[i + 1]) for i, word in enumerate(words[:-1])]


def _bottleneck(_full: bool) -> Iterator[Finding]:
    facts = facts_of_printers([_spans(text) for _, text in LOG])
    periods = active_periods(facts)
    active = {name: periods[printer][1] for (name, _), printer in zip(LOG, facts.log.printers, strict=True)}
    worked = {name: times.production_min / END for (name, _), times in zip(LOG, printer_times(facts), strict=True)}
    means = {name: each.total_min / len(each.starts) for name, each in active.items()}
    shares = momentary_constraints(active, END)
    for name, (mean, number, deviation, work, sole, shifting) in ACTIVE.items():
        lengths = (active[name].ends - active[name].starts).tolist()
        yield Finding(f"{name}: mean active period, min", mean, means[name], 1e-9)
        yield Finding(f"{name}: active periods", number, len(lengths))
        yield Finding(f"{name}: standard deviation of them, min", deviation, statistics.stdev(lengths), 1e-9)
        yield Finding(f"{name}: share of work", work, worked[name], 1e-12)
        yield Finding(f"{name}: sole constraint, share", sole, shares.sole[name], 1e-12)
        yield Finding(f"{name}: shifting constraint, share", shifting, shares.shifting[name], 1e-12)
    yield Finding("longest active on average", "M2", max(means, key=lambda name: means[name]))
    yield Finding("most utilised", "M1", max(worked, key=lambda name: worked[name]))
    yield Finding("most often the constraint", "M2", max(shares.total, key=lambda name: shares.total[name]))
    found = ", ".join(f"{name} {start:g}-{end:g}" for name, start, end in shares.periods)
    yield Finding("constraint periods, min", PERIODS, found)


CASES = (
    Case(
        "K-01", "What holds a line of four machines back",
        "C. Roser, M. Nakano, M. Tanaka, Winter Simulation Conference 2001, 949-953, and 2002, 1079-1086 (method "
        "confirmed on public pages; the log is derived, results computed on a grid of minutes)",
        "whole minutes exact; 1e-9 for division", _bottleneck,
    ),
)  # fmt: skip
