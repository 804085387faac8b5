"""Differences between options: signs, missing values, nothing that varies; what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.stats import pearsonr

from shopsim.studies.compare import (
    PairedDifference,
    WelchDifference,
    against_base,
    bonferroni_pct,
    independent_difference,
    paired_difference,
)
from shopsim.studies.constants import dunnett_constant, rinott_constant
from shopsim.studies.precision import Interval
from shopsim.studies.with_best import AgainstBest, compare_with_best, may_be_best


def test_option_minus_base() -> None:
    found = paired_difference([2.0, 4.0, 9.0], [1.0, 2.0, 3.0])
    # Differences 1, 2, 6; t(2, 0.975) = 4.3026527, standard error sqrt(7 / 3).
    assert found.interval.mean == 3.0
    assert found.interval.half_width == pytest.approx(4.3026527 * math.sqrt(7 / 3))
    # Variances 13 and 1 against 7; covariance 3.5.
    assert found.variance_reduction == pytest.approx(2.0)
    assert found.correlation == pytest.approx(3.5 / math.sqrt(13))


def test_a_pair_with_a_gap_is_left_out_whole() -> None:
    found = paired_difference([2.0, 4.0, 9.0, math.nan, 5.0], [1.0, 2.0, 3.0, 7.0, math.nan])
    assert (found.interval.n, found.interval.left_out) == (3, 2)
    assert found.variance_reduction == pytest.approx(2.0)


def test_one_pair_and_none_have_no_interval() -> None:
    assert paired_difference([3.0], [1.0]) == PairedDifference(Interval(2.0, None, None, None, 1), None, None, None)
    assert math.isnan(paired_difference([], []).interval.mean)


def test_where_nothing_varies_there_is_no_factor() -> None:
    assert paired_difference([1.0, 2.0], [1.0, 2.0]).variance_reduction is None
    assert paired_difference([1.0, 2.0], [5.0, 5.0]).correlation is None
    assert paired_difference([1.0, 2.0], [5.0, 5.0]).variance_reduction == pytest.approx(1.0)


def test_the_factor_has_the_interval_of_pitmans_test() -> None:
    luck = np.random.default_rng(11)
    base = luck.normal(100.0, 5.0, 40)
    option = 0.9 * base + luck.normal(0.0, 2.0, 40)
    found = paired_difference(option.tolist(), base.tolist(), 90)
    assert found.reduction_between is not None
    # At either end the hypothesis "sum and difference vary as that says" is just not ruled out: what Pitman correlates
    # has a probability of 10 %, which scipy's test of a correlation tells.
    for end in found.reduction_between:
        scaled, steps = (option + base) / math.sqrt(2 * end - 1), option - base
        assert pearsonr(scaled + steps, scaled - steps).pvalue == pytest.approx(0.10, abs=1e-9)


def test_the_factor_has_no_interval_from_two_pairs_or_without_spread() -> None:
    assert paired_difference([1.0, 2.0], [3.0, 5.0]).reduction_between is None
    assert paired_difference([1.0, 2.0, 4.0], [1.0, 2.0, 4.0]).reduction_between is None
    # Values that only change sides: their sum never varies, so pairs cost twice the runs, for sure.
    assert paired_difference([1.0, 2.0, 4.0], [-1.0, -2.0, -4.0]).reduction_between == (0.5, 0.5)


def test_welch_without_spread_or_values() -> None:
    assert independent_difference([2.0, 2.0], [1.0, 1.0, math.nan]) == WelchDifference(
        Interval(1.0, 1.0, 1.0, 0.0, 4, 1), None
    )
    assert independent_difference([2.0], [1.0, 5.0]) == WelchDifference(Interval(-1.0, None, None, None, 3), None)
    assert math.isnan(independent_difference([], [1.0]).interval.mean)


def test_no_option_against_the_base() -> None:
    assert against_base([1.0, 2.0], {}) == {}


def test_a_clear_best() -> None:
    found = compare_with_best({"slow": [1.0, 2.0, 3.0], "fast": [11.0, 12.0, 13.5]})
    assert found.options["slow"].high == 0.0
    assert found.options["fast"].low == 0.0
    assert found.options["fast"].mean == pytest.approx(61 / 6 - 0.0)
    # What the replications share is taken out: residuals -1/12, -1/12, 1/6 and their mirror image, two degrees.
    assert found.deviation == pytest.approx(math.sqrt(2 * (1 / 144 + 1 / 144 + 1 / 36) / 2))
    assert found.degrees == 2


def test_options_exactly_alike_with_the_best() -> None:
    found = compare_with_best({"one": [1.0, 2.0], "two": [1.0, 2.0]})
    assert found.options["one"] == AgainstBest(0.0, 0.0, 0.0)


def test_low_confidence_has_a_constant_too() -> None:
    # Symmetric about the middle for a single option.
    assert dunnett_constant(1, 7, 1) == pytest.approx(-dunnett_constant(1, 7, 99), abs=1e-9)


def test_refusals() -> None:
    for call, text in [
        (lambda: paired_difference([1.0], []), "pairs need as many values of each, found 1 and 0"),
        (lambda: paired_difference([1.0], [1.0], 0), "confidence_pct must be between 0 and 100, found 0"),
        (lambda: independent_difference([1.0], [1.0], 100), "confidence_pct must be between 0 and 100, found 100"),
        (lambda: bonferroni_pct(95, 0), "intervals must be at least 1, found 0"),
        (lambda: compare_with_best({"one": [1.0, 2.0]}), "there must be at least 2 options, found 1"),
        (
            lambda: compare_with_best({"one": [1.0, 2.0], "two": [1.0]}),
            "all options need as many replications, found 1, 2",
        ),
        (lambda: compare_with_best({"one": [1.0], "two": [1.0]}), "one must hold at least 2 numbers, found 1"),
        (
            lambda: compare_with_best({"one": [1.0, 2.0], "two": [1.0, math.inf]}),
            "two must all be finite, found inf",
        ),
        (lambda: dunnett_constant(0, 5), "options must be at least 1, found 0"),
        (lambda: dunnett_constant(1, 0), "degrees must be above 0, found 0"),
        (lambda: rinott_constant(1, 20), "options must be at least 2, found 1"),
        (lambda: rinott_constant(4, 1), "first must be at least 2, found 1"),
        (lambda: rinott_constant(4, 20, 25), "confidence_pct must be above 25, a blind choice, found 25"),
    ]:
        with pytest.raises(ValueError) as error:
            call()
        assert str(error.value) == text


def unlike() -> dict[str, list[float]]:
    """A leader; five options alike but for a step below it; one a step below it that differs much between runs."""
    common = [80.0, 90.0, 70.0, 85.0, 75.0, 88.0, 72.0, 83.0]
    wild = [9.0, -9.0, 8.0, -8.0, 9.0, -9.0, 8.0, -8.0]
    calm = {f"calm {i}": [each - 5 for each in common] for i in range(5)}
    return {"leader": common, **calm, "wild": [each - 5 + own for each, own in zip(common, wild, strict=True)]}


def test_an_option_that_varies_more_than_others_is_not_ruled_out_by_their_calm() -> None:
    options = unlike()
    shown = compare_with_best(options).options
    assert not shown["wild"].may_be_best()
    assert may_be_best(options) == ("leader", "wild")
    assert may_be_best({name: [-each for each in values] for name, values in options.items()},
                       largest_is_best=False) == ("leader", "wild")  # fmt: skip


def test_nothing_is_ruled_out_by_one_run_or_by_values_that_are_missing() -> None:
    assert may_be_best({"a": [1.0], "b": [9.0]}) == ("b", "a")
    assert may_be_best({"a": [1.0, 1.0, 1.1], "b": [9.0, math.nan, 9.1], "c": [math.nan] * 3}) == ("b", "a", "c")
    assert may_be_best({"alone": [1.0, 2.0]}) == ("alone",)
