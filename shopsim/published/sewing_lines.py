"""Balancing a sewing line: fewest places for a cycle, from the data sets of the literature."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shopsim.craft.line_balance import balance_efficiency, balance_line, cycle_min, places_bound
from shopsim.published.case import Case, Finding

DIVIDED = "places exact, shares 1e-9"
Arcs = list[tuple[int, int]]


def _arcs(text: str, names: str) -> Arcs:
    order = names.split()
    return [(order.index(a), order.index(b)) for a, b in (arc.split("-") for arc in text.split())]


# Minutes of each step, and which step comes before which.
JACKSON = [6, 2, 5, 7, 1, 2, 3, 6, 5, 5, 4]
JACKSON_ARCS = _arcs("1-2 1-3 1-4 1-5 2-6 3-7 4-7 5-7 6-8 7-9 8-10 9-11 10-11", "1 2 3 4 5 6 7 8 9 10 11")
WING = [10, 11, 5, 4, 11, 3, 7, 11, 3]
WING_ARCS = _arcs("A-B A-E B-C B-D C-F D-F F-G E-H G-I H-I", "A B C D E F G H I")
BOWMAN = [11, 17, 9, 5, 8, 12, 10, 3]
BOWMAN_ARCS = _arcs("1-2 2-3 2-4 3-5 3-6 4-6 5-7 6-8", "1 2 3 4 5 6 7 8")


def _broken(places: Sequence[Sequence[int]], minutes: Sequence[float], before: Arcs, cycle: float) -> int:
    """Steps missing or twice, steps before what they wait for, places above the cycle."""
    at = {step: place for place, steps in enumerate(places) for step in steps}
    doubled = sum(len(steps) for steps in places) - len(at)
    early = sum(at[a] > at[b] for a, b in before)
    loads = [sum(minutes[step] for step in steps) for steps in places]
    return len(minutes) - len(at) + doubled + early + sum(load > cycle for load in loads)


def _balanced(name: str, minutes: Sequence[float], before: Arcs, cycle: float, places: int) -> Iterator[Finding]:
    line = balance_line(minutes, before, cycle)
    yield Finding(f"{name}, cycle {cycle:g}: places", places, len(line))
    yield Finding(f"{name}, cycle {cycle:g}: rules broken", 0, _broken(line, minutes, before, cycle))


def _published(_full: bool) -> Iterator[Finding]:
    for cycle, places in ((7, 8), (9, 6), (10, 5), (13, 4), (14, 4), (21, 3)):
        yield from _balanced("eleven steps", JACKSON, JACKSON_ARCS, cycle, places)
    yield Finding("eleven steps, cycle 10: balance efficiency", 0.92, balance_efficiency(JACKSON, 5, 10), 1e-9)
    takt = cycle_min(480, 40)
    yield Finding("wing: cycle, min", 12, takt)
    yield Finding("wing: places the work fills", 5.41666666667, places_bound(WING, takt), 1e-9)
    yield from _balanced("wing", WING, WING_ARCS, takt, 6)
    yield Finding("wing: balance efficiency", 0.902777777778, balance_efficiency(WING, 6, takt), 1e-9)


def _eight_steps(_full: bool) -> Iterator[Finding]:
    yield Finding("places the work fills, cycle 20", 3.75, places_bound(BOWMAN, 20), 1e-9)
    yield from _balanced("eight steps", BOWMAN, BOWMAN_ARCS, 20, 5)
    yield Finding("balance efficiency", 0.75, balance_efficiency(BOWMAN, 5, 20), 1e-9)


CASES = (
    Case(
        "F-04", "Balancing a line: eleven steps, and a wing component",
        "J. R. Jackson, Management Science 2 (1956) 261-271, with the optima of A. Scholl, 1993 (cycle 10 confirmed on "
        "a public page; times and arcs from memory, all six optima proved again); J. Heizer, B. Render, Operations "
        "Management, wing component (from memory)",
        DIVIDED, _published, path="library",
    ),
    Case(
        "X-43", "Balancing a line: eight steps, where the bound of four places cannot be met",
        "E. H. Bowman, Operations Research 8 (1960) 385-389, with the optimum of A. Scholl, 1993 (from memory)",
        DIVIDED, _eight_steps, path="library",
    ),
)  # fmt: skip
