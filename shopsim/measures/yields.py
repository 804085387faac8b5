"""Yields: pieces right first time at each step, through the whole route, and how many to start for so many good ones.

Rolled throughput yield is the product of the steps' first-pass yields (ISO 13053-1).
"""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np

from shopsim.floor.record import KIND, REMAKE_CAUSES, RunLog
from shopsim.measures.facts import Facts
from shopsim.measures.iso_terms import ratio
from shopsim.shop.scenario import Scenario

_CAUSE = {name: code for code, name in enumerate(REMAKE_CAUSES)}
STEPS: dict[str, tuple[str, ...]] = {
    "print": ("print_fault", "print_fault_at_printer", "stop"),
    "calender": ("calender",),
    "cut": ("cut_loss",),
    "sew": ("sewing_fault",),
}
"""The step at which each cause of a remake arises; sewing also loses what is repaired."""


def first_pass_yields(log: RunLog, scenario: Scenario) -> dict[str, float]:
    """Share of first-made pieces without a fault of the step, by step, and `rolled`, their product.

    Faults are counted when found and pieces when they start on their first make, both inside the window; faults nobody
    found are not counted. NaN if nothing was started.
    """
    return first_pass_yields_of(Facts(log, scenario))


def first_pass_yields_of(facts: Facts) -> dict[str, float]:
    """As `first_pass_yields`, from facts at hand."""
    found = facts.window.holds(facts.column("remakes", "at")) & (facts.column("remakes", "attempt") == 0)
    causes = np.bincount(facts.code("remakes", "cause")[found], minlength=len(REMAKE_CAUSES))
    # Pieces lost at a stop never came off the printer, so they are in no bundle.
    started = _pieces_started(facts) + float(causes[_CAUSE["stop"]])
    yields = {}
    for step, names in STEPS.items():
        faults = float(sum(causes[_CAUSE[name]] for name in names))
        if step == "sew":
            faults += _repaired(facts)
        yields[step] = 1.0 - ratio(faults, started)
    return yields | {"rolled": rolled_yield(yields.values())}


def _pieces_started(facts: Facts) -> float:
    made = facts.window.holds(facts.column("bundles", "made"))
    first = (facts.column("bundles", "attempt") == 0) & (facts.column("bundles", "parent") < 0)
    return float(facts.column("bundles", "pieces")[made & first].sum())


def _repaired(facts: Facts) -> float:
    rows = facts.window.holds(facts.column("operations", "start")) & (facts.column("operations", "part") == 0)
    rows &= (facts.column("operations", "kind") == KIND["repair"]) & (facts.column("operations", "attempt") == 0)
    return float(facts.column("operations", "pieces")[rows].sum())


def rolled_yield(yields: Iterable[float]) -> float:
    """The chance that a piece passes all steps at the first go."""
    return math.prod(yields)


def yield_with_rework(first_pass: float, reworked: float) -> float:
    """Yield of a step when a share `reworked` of its faulty pieces can be put right once."""
    return first_pass + (1.0 - first_pass) * reworked


def starts_needed(good: int, rolled: float) -> int:
    """Pieces to start so that `good` come out on average. ValueError unless 0 < rolled <= 1."""
    if not 0 < rolled <= 1:
        raise ValueError(f"a rolled yield lies above 0 and at most at 1, got {rolled!r}")
    return math.ceil(good / rolled)


def chance_of_enough(good: int, started: int, rolled: float) -> float:
    """The chance that at least `good` of `started` pieces are good, each by itself with chance `rolled` (binomial)."""
    return math.fsum(
        math.comb(started, k) * rolled**k * (1.0 - rolled) ** (started - k) for k in range(good, started + 1)
    )
