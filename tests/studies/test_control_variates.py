"""Means adjusted for known luck: by hand, against the theory of jointly normal values, and where they cannot help."""

import math

import numpy as np
import pytest

from shopsim.studies.control_variates import controlled_mean
from shopsim.studies.precision import interval, t_quantile


def test_by_hand_with_one_control() -> None:
    # Control true mean 2; deviations -1, 0, 1, 2. y = 1, 3, 2, 6: means 0.5 and 3, Sxx = 5, Sxy = 7, slope 1.4,
    # at deviation 0: 3 - 0.7 = 2.3. Residuals 0.1, 0.7, -1.7, 0.9 (sum of squares 4.2 over 2 = 2.1), and the variance
    # there is 2.1 (1/4 + 0.25/5) = 0.63. Plain variance 14/3; loss (4 - 2)/(4 - 1 - 2) = 2.
    found = controlled_mean([1, 3, 2, 6], [[1], [2], [3], [4]], [2])
    assert found.weights == pytest.approx((1.4,))
    assert found.interval.mean == pytest.approx(2.3)
    assert found.interval.half_width == pytest.approx(4.302653 * math.sqrt(0.63), rel=1e-6)
    assert found.interval.high - found.interval.low == pytest.approx(2 * found.interval.half_width)
    assert found.gain == pytest.approx(14 / 3 / 2.1 / 2)


def test_what_the_control_explains_entirely_is_known_exactly() -> None:
    found = controlled_mean([3.0, 5.0, 7.0, 11.0], [[0.0], [1.0], [2.0], [4.0]], [10.0])
    assert found.interval.mean == pytest.approx(23.0)
    assert found.interval.half_width == pytest.approx(0.0, abs=1e-9)


def test_intervals_cover_and_the_gain_is_that_of_theory() -> None:
    # Jointly normal with correlation 0.8 and one useless control: n = 20, q = 2. Variance ratio by Lavenberg and Welch
    # (1 - 0.64) (20 - 2) / (20 - 2 - 2) = 0.405. 2,000 experiments: standard error of the coverage 0.5 points.
    rng = np.random.default_rng(4)
    covered, means, plain = 0, [], []
    for _ in range(2000):
        luck = rng.standard_normal((20, 2))
        y = 5 + 0.8 * luck[:, 0] + 0.6 * rng.standard_normal(20)
        found = controlled_mean(y.tolist(), luck.tolist(), [0, 0])
        covered += found.interval.low <= 5 <= found.interval.high
        means.append(found.interval.mean)
        plain.append(interval(y.tolist()).mean)
    assert covered / 2000 == pytest.approx(0.95, abs=0.02)
    assert np.var(means) / np.var(plain) == pytest.approx(0.405, abs=4 * 0.405 * math.sqrt(4 / 2000))
    assert np.mean(means) == pytest.approx(5, abs=4 * math.sqrt(0.405 / 20 / 2000))


def test_a_useless_control_costs_a_degree_of_freedom_and_tells_so() -> None:
    rng = np.random.default_rng(1)
    y, luck = rng.standard_normal(30), rng.standard_normal((30, 1))
    plain = interval(y.tolist()).half_width
    found = controlled_mean(y.tolist(), luck.tolist(), [0])
    assert found.gain < 1
    assert found.interval.half_width / plain > 0.99 * t_quantile(28, 0.975) / t_quantile(29, 0.975)


@pytest.mark.parametrize(
    ("values", "controls", "means", "message"),
    [
        ([1, 2, 3, 4], [[1], [2]], [0], "4 values and 1 true means need 4 rows of 1 controls, got (2, 1)"),
        ([1, 2, 3], [[1], [2], [4]], [0], "1 controls need at least 4 values, got 3"),
        ([1, 2, 3, 4], [[7]] * 4, [0], "a control is constant, or a combination of others"),
        ([1, 2, 3, 4, 5], [[1, 2], [2, 4], [3, 6], [5, 10], [8, 16]], [0, 0],
         "a control is constant, or a combination of others"),
    ],
)  # fmt: skip
def test_what_cannot_be_adjusted(
    values: list[float], controls: list[list[float]], means: list[float], message: str
) -> None:
    with pytest.raises(ValueError) as error:
        controlled_mean(values, controls, means)
    assert str(error.value) == message
