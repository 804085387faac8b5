"""What goes beyond the published warm-up rules and batch means: when they must warn."""

from __future__ import annotations

from scipy.stats import binom

from shopsim.published.statistics_promises import autoregressive
from shopsim.published.statistics_warm_up import SETTLING
from shopsim.studies.batch_means import batch_interval
from shopsim.studies.warm_up import mser


def test_a_run_that_never_settles_is_told() -> None:
    assert mser(SETTLING).long_enough
    assert not mser([float(t) for t in range(200)]).long_enough


def test_batches_that_are_too_short_are_seen() -> None:
    # Batches of 10 of a series in which neighbours have a correlation of 0.9; at least 90 % are seen by chance's leave.
    seen = [batch_interval(autoregressive(study, 400, 0.9), 40).chance for study in range(100)]
    assert sum(chance is not None and chance < 0.05 for chance in seen) >= binom.ppf(0.01, 100, 0.9)
