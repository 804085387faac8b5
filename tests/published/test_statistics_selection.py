"""What goes beyond the published selection procedures: how soon they stop, and what a budget's shares gain."""

from __future__ import annotations

import math

import numpy as np

from shopsim.published.statistics_choices import slippage
from shopsim.streams import stream
from shopsim.studies.allocation import budget_shares
from shopsim.studies.feasibility import meets_target
from shopsim.studies.selection import select_best


def test_kn_needs_fewer_replications_under_common_random_numbers() -> None:
    alone, paired = (
        sum(sum(select_best(slippage(study, 5, 0.5, shared), 5, 0.5, 90).replications) for study in range(100))
        for shared in (0.0, 0.7)
    )
    assert paired < 0.6 * alone


def test_kn_drops_hopeless_options_early() -> None:
    # A mean ten zones behind leaves at the first look; the two close ones go on.
    def observe(option: int, replication: int) -> float:
        noise = float(stream(10, 10 * replication + option, "hopeless").standard_normal())
        return noise + (0.0, 0.05, -4.0)[option]

    found = select_best(observe, 3, 0.4)
    assert found.replications[2] == 10 < min(found.replications[:2])


def test_a_clear_case_stops_early() -> None:
    # S. Andradóttir & S.-H. Kim, Naval Research Logistics 57 (2010) 403-421.
    def used(study: int, off: float) -> int:
        draws = (10 + off + stream(12, study, "target").standard_normal(3000)).tolist()
        return meets_target(draws.__getitem__, 10.0, 0.2, 90).replications

    close, clear = (sum(used(study, off) for study in range(200)) for off in (0.2, 2.0))
    assert clear < close / 2


def test_ocba_finds_the_best_more_often_than_equal_shares() -> None:
    # Chen et al. (2000), experiment 1: ten designs, normal with means 0 ... 9 and standard deviation 6, the smallest
    # best. With 1000 replications in all the error against the closest rival falls from 12 % to 1 %.
    means, deviations, budget = [float(i) for i in range(10)], [6.0] * 10, 1000
    shares = budget_shares(means, deviations, largest_is_best=False)

    def right(sizes: list[int], study: int) -> bool:
        noise = stream(13, study, "allocation")
        found = [mean + 6 * float(noise.standard_normal(size).mean()) for mean, size in zip(means, sizes, strict=True)]
        return int(np.argmin(found)) == 0

    equal = sum(right([budget // 10] * 10, study) for study in range(2000))
    better = sum(right([max(1, round(budget * share)) for share in shares], study) for study in range(2000))
    # Three standard errors of the difference of two counts in 2000, at their greatest.
    assert better - equal > 3 * math.sqrt(2000 * 0.5)
