"""Time study, work sampling, sewing and learning: checks G-01 to G-04, and a doubling identity.

G-01: International Labour Office, Introduction to Work Study, 4th rev. ed. 1992 (constancy example), and J. Heizer, B.
Render, Operations Management, work measurement (from memory, reproduced; the convention normal / (1 - share) confirmed
on a public page). G-02: the same text (from memory). G-03: thread ratios and the 1.7 m example from a thread maker's
guide (confirmed); seam times derived. G-04: T. P. Wright, Journal of the Aeronautical Sciences 3 (1936) 122-128, and
the unit-model table of the same text (from memory; all agree to the printed digits).

Tolerance 1e-9 (1e-12 where nothing is divided but a percentage), for rounding in floating point alone.
"""

from __future__ import annotations

import math

import pytest

from shopsim.craft.sewers import average_learning_factor, learning_factor
from shopsim.craft.sewing import needle_speed_m_per_min, standard_minutes, thread_m
from shopsim.craft.time_study import (
    basic_time_min,
    cycles_needed,
    observations_needed,
    sampling_half_width,
    standard_min_of_total,
)


@pytest.mark.parametrize(("observed_min", "rating_pct"), [(0.20, 100), (0.16, 125), (0.25, 80)])
def test_basic_time_is_the_same_at_every_pace(observed_min: float, rating_pct: float) -> None:
    assert basic_time_min(observed_min, rating_pct) == pytest.approx(0.2, abs=1e-12)


def test_two_conventions_for_the_allowance() -> None:
    normal = basic_time_min(4.0, 85)
    assert normal == pytest.approx(3.4, abs=1e-9)
    assert standard_min_of_total(normal, 0.13) == pytest.approx(3.90804597701, abs=1e-9)
    assert standard_minutes(normal, 0.13) == pytest.approx(3.842, abs=1e-9)


def test_typing_letters() -> None:
    # Minutes seen and rating; 21 and 5 min did not recur and are left out.
    elements = [([8, 10, 9, 11], 120), ([2, 3, 2, 1, 3], 105), ([2, 1, 2, 1], 110)]
    normal = sum(basic_time_min(sum(seen) / len(seen), rating) for seen, rating in elements)
    assert normal == pytest.approx(15.36, abs=1e-9)
    assert standard_min_of_total(normal, 0.15) == pytest.approx(18.0705882353, abs=1e-9)


def test_how_much_to_observe() -> None:
    assert math.ceil(cycles_needed(3.0, 1.0, 0.05)) == 171
    spots = observations_needed(0.25, 0.03, normal=2.0)
    assert (round(spots), math.ceil(spots)) == (833, 834)
    assert sampling_half_width(0.25, 500) == pytest.approx(0.0379552367928, abs=1e-9)


def test_a_hem_of_3_2_m() -> None:
    speed = needle_speed_m_per_min(4000, 4, 0.55)
    assert speed == pytest.approx(5.5, abs=1e-9)
    assert 3.2 * 100 * 4 == 1280
    assert 3.2 / speed == pytest.approx(0.581818181818, abs=1e-9)
    assert 3.2 / speed + 0.35 == pytest.approx(0.931818181818, abs=1e-9)


def test_a_silicone_edge_of_12_4_m_with_four_corners() -> None:
    assert round(12.4 * 100 * 3.5, 9) == 4340
    minutes = 12.4 / needle_speed_m_per_min(3000, 3.5, 0.70) + 0.9 + 4 * 0.12
    assert minutes == pytest.approx(3.44666666667, abs=1e-9)


def test_thread() -> None:
    assert thread_m(1.7, "406") == pytest.approx(30.6, abs=1e-9)
    assert thread_m(12.4, "301", waste_share=0.15) == pytest.approx(35.65, abs=1e-9)
    ratios = {"301": 2.5, "101": 4.0, "401": 5.5, "504": 14, "516": 20, "406": 18, "602": 25, "605": 28}
    assert {stitch: thread_m(1.0, stitch) for stitch in ratios} == ratios


UNIT_80 = {2: 0.8, 3: 0.702103702779, 4: 0.64, 5: 0.595637343613, 10: 0.47650987489, 20: 0.381207899912}
TOTALS = {(0.8, 5): 3.73774104639, (0.8, 10): 6.31537301762, (0.8, 20): 10.484942826, (0.7, 10): 4.93177107448,
          (0.85, 10): 7.11606272668, (0.9, 10): 7.99447855044}  # fmt: skip


def test_the_unit_model() -> None:
    for n, factor in UNIT_80.items():
        assert learning_factor(n, 0.8) == pytest.approx(factor, abs=1e-9)
    for (rate, n), total in TOTALS.items():
        assert n * average_learning_factor(n, rate) == pytest.approx(total, abs=1e-9)
    # The book's table, three digits: units 10 and 20 at 80 %, unit 10 at 70, 85 and 90 %.
    assert [round(learning_factor(n, r), 3) for n, r in [(10, 0.8), (20, 0.8), (10, 0.7), (10, 0.85), (10, 0.9)]] == [
        0.477, 0.381, 0.306, 0.583, 0.705,
    ]  # fmt: skip


def test_the_cumulative_average_model_is_another() -> None:
    assert 10 * average_learning_factor(10, 0.8, "cumulative") == pytest.approx(4.7650987489, abs=1e-9)
    assert learning_factor(10, 0.8, "cumulative") == pytest.approx(0.328552263804, abs=1e-9)


@pytest.mark.parametrize("rate", [0.7, 0.8, 0.88, 0.95])
def test_each_doubling_takes_the_same_share(rate: float) -> None:
    """The definition of the curve (Wright 1936): the factor at 2n over that at n is the rate, for every n."""
    for n in (1, 3, 8, 50, 400):
        assert learning_factor(2 * n, rate) / learning_factor(n, rate) == pytest.approx(rate, abs=1e-9)
        averages = [average_learning_factor(k, rate, "cumulative") for k in (n, 2 * n)]
        assert averages[1] / averages[0] == pytest.approx(rate, abs=1e-9)
