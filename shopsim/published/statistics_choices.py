"""Promises of choosing the best option and of telling whether a target is met, tried in many studies.

The hardest case for which a promise is made: the best ahead of equal rivals by exactly the indifference zone
("slippage"), S.-H. Kim & B. L. Nelson, ACM TOMACS 11 (2001) 251-273, section 5.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from shopsim.published.case import Case, Finding
from shopsim.published.promises import BY_CHANCE, kept_at_least
from shopsim.streams import stream
from shopsim.studies.feasibility import meets_target
from shopsim.studies.selection import Observe, select_best, select_best_in_two_stages


def slippage(study: int, options: int, ahead: float, shared: float = 0.0) -> Observe:
    """Normal values of different spread, the last option ahead of the others; `shared` of the variance in common."""
    draws = stream(9, study, f"slippage {options} {shared}").standard_normal((options + 1, 6000))

    def observe(option: int, replication: int) -> float:
        noise = math.sqrt(shared) * draws[-1, replication] + math.sqrt(1 - shared) * draws[option, replication]
        return float((1 + 0.2 * option) * noise) + (ahead if option == options - 1 else 0.0)

    return observe


def _kim_nelson(full: bool) -> Iterator[Finding]:
    studies = 1000 if full else 400
    for what, shared in (("alone", 0.0), ("common random numbers, 0.7 shared", 0.7)):
        right = sum(select_best(slippage(study, 5, 0.5, shared), 5, 0.5, 90).best == 4 for study in range(studies))
        yield kept_at_least(f"best of five, {what}", 0.90, right, studies)


def _rinott(full: bool) -> Iterator[Finding]:
    studies = 2000 if full else 400
    right = sum(select_best_in_two_stages(slippage(study, 5, 0.5), 5, 0.5, 90).best == 4 for study in range(studies))
    yield kept_at_least("best of five", 0.90, right, studies)


def _target(full: bool) -> Iterator[Finding]:
    studies = 2000 if full else 500
    for off, what in ((0.2, "met"), (-0.2, "missed")):
        right = 0
        for study in range(studies):
            draws = (10 + off + stream(12, study, "target").standard_normal(3000)).tolist()
            right += meets_target(draws.__getitem__, 10.0, 0.2, 90).meets is (off > 0)
        yield kept_at_least(f"target {what} by the tolerance", 0.90, right, studies)


CASES = (
    Case(
        "X-72", "Sequential selection chooses the best as often as promised",
        "S.-H. Kim & B. L. Nelson, ACM TOMACS 11 (2001) 251-273 (from memory); also "
        "under common random numbers",
        BY_CHANCE, _kim_nelson, seconds=1.4, path="library",
    ),
    Case(
        "X-73", "Selection in two stages chooses the best as often as promised",
        "Y. Rinott, Communications in Statistics A7 (1978) 799-811 (from memory)",
        BY_CHANCE, _rinott, seconds=0.3, path="library",
    ),
    Case(
        "X-74", "A target missed or met by the tolerance is told as often as promised",
        "S. Andradóttir & S.-H. Kim, Naval Research Logistics 57 (2010) 403-421 (from memory), at the edges of "
        "the tolerance zone",
        BY_CHANCE, _target, seconds=0.1, path="library",
    ),
)  # fmt: skip
