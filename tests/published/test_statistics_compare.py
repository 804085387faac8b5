"""What goes beyond the published comparisons: their numbers are cases of `shopsim.published.statistics_compare`."""

from __future__ import annotations

import pytest

from shopsim.published.statistics_compare import PLANT_GROWTH, POLICY_1, POLICY_2
from shopsim.studies.compare import against_base, paired_difference
from shopsim.studies.constants import dunnett_constant
from shopsim.studies.precision import t_quantile
from shopsim.studies.with_best import compare_with_best


def test_pairing_that_did_harm_is_told() -> None:
    # The correlation of the two policies is -0.57.
    found = paired_difference(POLICY_1, POLICY_2, 90)
    assert found.variance_reduction is not None and found.variance_reduction < 1


def test_bonferroni_intervals_against_the_base() -> None:
    both = against_base(POLICY_2, {"one": POLICY_1, "same": POLICY_2}, 90)
    assert both["one"] == paired_difference(POLICY_1, POLICY_2, 95)
    assert (both["same"].interval.low, both["same"].interval.high) == (0.0, 0.0)


def test_dunnett_constant_of_one_option_is_students_t() -> None:
    assert dunnett_constant(1, 7, 90) == pytest.approx(t_quantile(7, 0.90), abs=1e-9)


def test_small_numbers_best_is_the_mirror_image() -> None:
    mirrored = {name: [-value for value in values] for name, values in PLANT_GROWTH.items()}
    up = compare_with_best(PLANT_GROWTH, 95, paired=False)
    down = compare_with_best(mirrored, 95, paired=False, largest_is_best=False)
    for name, row in up.options.items():
        assert (down.options[name].low, down.options[name].high) == pytest.approx((-row.high, -row.low))
