"""Moments against hand-computed numbers and against samples, prefix stability, texts, refusals."""

import math

import numpy as np
import pytest

from shopsim.distributions import (
    Discrete,
    Distribution,
    Empirical,
    Erlang,
    Exponential,
    Fixed,
    Gamma,
    LogNormal,
    Triangular,
    Uniform,
    Weibull,
    weibull_cv,
)
from shopsim.streams import stream

# Mean and variance by hand. Log-normal: sigma = ln(8 / 4) / 1.28155157 = 0.54086562, squared 0.29253562;
# mean = 4 e^0.14626781 = 4.630025; variance = mean^2 (e^0.29253562 - 1) = 7.284774.
# The Weibull with a variation of 0.5227232 has shape 2 (pi / 4 = 1 / (1 + cv^2)).
CASES: list[tuple[Distribution, float, float]] = [
    (Fixed(2.5), 2.5, 0.0),
    (Uniform(2, 5), 3.5, 0.75),
    (Triangular(2, 3, 5), 10 / 3, (4 + 9 + 25 - 6 - 10 - 15) / 18),
    (Triangular(2, 2, 5), 3.0, 0.5),
    (Triangular(2, 5, 5), 4.0, 0.5),
    (Exponential(4), 4.0, 16.0),
    (Gamma(4, 0.5), 4.0, 4.0),
    (Gamma(4, 2), 4.0, 64.0),
    (Erlang(6, 3), 6.0, 12.0),
    (LogNormal(4, 8), 4.630025, 7.284774),
    (Weibull(4, 0.5227232), 4.0, 4.371834),
    (Empirical((1, 2, 6)), 3.0, 14 / 3),
    (Discrete((1, 5), (3, 1)), 2.0, 3.0),
]


@pytest.mark.parametrize(("distribution", "mean", "variance"), CASES)
def test_mean_and_variance_by_hand(distribution: Distribution, mean: float, variance: float) -> None:
    assert distribution.mean == pytest.approx(mean, rel=1e-5)
    assert distribution.variance == pytest.approx(variance, rel=1e-5)


@pytest.mark.parametrize(("distribution", "mean", "variance"), CASES)
def test_samples_agree_with_theory(distribution: Distribution, mean: float, variance: float) -> None:
    n = 200_000
    sample = distribution.sample(stream(11, 0, "moments"), n)
    assert sample.dtype == np.float64
    assert sample.shape == (n,)
    # Four standard errors; that of the variance from the sample's own fourth moment.
    assert abs(sample.mean() - mean) <= 4 * math.sqrt(variance / n) + 1e-5
    squares = (sample - sample.mean()) ** 2
    assert abs(squares.mean() - variance) <= 4 * squares.std() / math.sqrt(n) + 1e-4


@pytest.mark.parametrize("distribution", [case[0] for case in CASES])
def test_a_longer_sample_keeps_the_earlier_draws(distribution: Distribution) -> None:
    long = distribution.sample(stream(5, 2, "prefix"), 1000).tolist()
    assert distribution.sample(stream(5, 2, "prefix"), 137).tolist() == long[:137]
    generator = stream(5, 2, "prefix")
    parts = [distribution.sample(generator, n).tolist() for n in (1, 10, 989)]
    assert parts[0] + parts[1] + parts[2] == long
    assert distribution.sample(generator, 0).tolist() == []


@pytest.mark.parametrize("distribution", [case[0] for case in CASES])
def test_scaling_scales_every_draw(distribution: Distribution) -> None:
    scaled = distribution.scaled(1.5)
    assert type(scaled) is type(distribution)
    assert scaled.mean == pytest.approx(1.5 * distribution.mean, rel=1e-12)
    assert scaled.variance == pytest.approx(2.25 * distribution.variance, rel=1e-12)
    before, after = (d.sample(stream(5, 2, "scale"), 100) for d in (distribution, scaled))
    np.testing.assert_allclose(after, 1.5 * before, rtol=1e-12)


@pytest.mark.parametrize("factor", [0, -1, math.inf, math.nan])
@pytest.mark.parametrize("distribution", [case[0] for case in CASES])
def test_other_factors_are_refused(distribution: Distribution, factor: float) -> None:
    with pytest.raises(ValueError) as caught:
        distribution.scaled(factor)
    assert str(caught.value) == f"factor must be positive and finite, got {factor!r}"


def test_log_normal_quantiles() -> None:
    sample = LogNormal(4, 8).sample(stream(3, 0, "quantiles"), 100_000)
    # Shares below the median and below p90; standard errors 0.0016 and 0.00095.
    assert (sample < 4).mean() == pytest.approx(0.5, abs=0.005)
    assert (sample < 8).mean() == pytest.approx(0.9, abs=0.003)


def test_weibull_shape_and_the_share_failed_by_its_scale() -> None:
    # Shape 1 is the exponential; shape 2 by Gamma(2) / Gamma(1.5)^2 = 4 / pi.
    assert Weibull(4, 1).shape == pytest.approx(1, abs=1e-12)
    assert Weibull(4, math.sqrt(4 / math.pi - 1)).shape == pytest.approx(2, abs=1e-12)
    assert Weibull(4, 1).scale == pytest.approx(4, abs=1e-12)
    wear = Weibull(4, 0.5)
    sample = wear.sample(stream(3, 0, "quantiles"), 100_000)
    assert (sample < wear.scale).mean() == pytest.approx(1 - math.exp(-1), abs=0.005)


@pytest.mark.parametrize("cv", [0.001, 0.01, 0.3, 1.0, 5.0, 100.0])
def test_weibull_shape_gives_its_variation_back(cv: float) -> None:
    assert weibull_cv(Weibull(1, cv).shape) == pytest.approx(cv, rel=1e-9)


def test_triangular_quantile_at_the_mode() -> None:
    sample = Triangular(2, 3, 5).sample(stream(3, 0, "quantiles"), 100_000)
    # (mode - low) / (high - low) = 1/3 lies below the mode; standard error 0.0015.
    assert (sample < 3).mean() == pytest.approx(1 / 3, abs=0.005)
    assert sample.min() >= 2
    assert sample.max() <= 5


def test_degenerate_shapes_are_constant() -> None:
    for distribution in (Fixed(3), Uniform(3, 3), Triangular(3, 3, 3), LogNormal(3, 3), Empirical((3,))):
        assert distribution.sample(stream(1, 0, "same"), 5).tolist() == [3.0] * 5
        assert distribution.variance == 0.0


def test_a_value_without_weight_is_never_drawn() -> None:
    sample = Discrete((1, 2, 3, 4), (0, 1, 1, 0)).sample(stream(1, 0, "weights"), 10_000)
    assert set(sample.tolist()) == {2.0, 3.0}


def test_not_even_a_draw_on_the_bound_gives_a_value_without_weight() -> None:
    class Bounds:
        def random(self, n: int) -> np.ndarray:
            return np.array([0.0, 0.5, 1 - 2**-53])[:n]

    assert Discrete((1, 2, 3, 4), (0, 1, 1, 0)).sample(Bounds(), 3).tolist() == [2.0, 3.0, 3.0]


def test_discrete_shares() -> None:
    assert Discrete((2, 5), (3, 7)).shares == (0.3, 0.7)


def test_lists_become_tuples_so_that_distributions_stay_hashable() -> None:
    assert Empirical([1.0, 2.0]) == Empirical((1.0, 2.0))  # type: ignore[arg-type]
    assert len({Discrete([1.0], [2.0]), Discrete((1.0,), (2.0,))}) == 1  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("distribution", "text"),
    [
        (Fixed(2.5), "always 2.5"),
        (Uniform(2, 5), "uniform 2–5"),
        (Triangular(2, 3, 5), "triangular 2–3–5"),
        (Exponential(4), "exponential, mean 4"),
        (Gamma(4, 0.5), "gamma, mean 4, variation 50 %"),
        (Erlang(6, 3), "Erlang, mean 6, 3 phases"),
        (Erlang(6, 1), "Erlang, mean 6, 1 phase"),
        (LogNormal(4, 8), "log-normal, median 4, 90 % below 8"),
        (Weibull(4, 0.5), "Weibull, mean 4, variation 50 %"),
        (Empirical((1, 2, 6)), "one of 3 measured values, 1–6, mean 3"),
        (Discrete((2, 5), (3, 7)), "2 (30 %), 5 (70 %)"),
    ],
)
def test_descriptions(distribution: Distribution, text: str) -> None:
    assert distribution.describe() == text


@pytest.mark.parametrize(
    ("kind", "arguments", "text"),
    [
        (Fixed, (math.nan,), "value must be finite, got nan"),
        (Uniform, (1, math.inf), "high must be finite, got inf"),
        (Uniform, (5, 2), "low must not be above high, got low 5 and high 2"),
        (Triangular, (2, 6, 5), "low, mode and high must be in rising order, got 2, 6 and 5"),
        (Triangular, (2, 1, 5), "low, mode and high must be in rising order, got 2, 1 and 5"),
        (Exponential, (0,), "mean must be positive and finite, got 0"),
        (Gamma, (1, 0), "cv must be positive and finite, got 0"),
        (Gamma, (-1, 1), "mean must be positive and finite, got -1"),
        (Erlang, (1, 0), "k must be a whole number of at least 1, got 0"),
        (Erlang, (1, 2.5), "k must be a whole number of at least 1, got 2.5"),
        (LogNormal, (4, 3), "p90 must not be below median 4, got 3"),
        (LogNormal, (0, 3), "median must be positive and finite, got 0"),
        (Weibull, (1, 0), "cv must be positive and finite, got 0"),
        (Weibull, (1, 200), "cv must be from 0.001 to 100, got 200"),
        (Empirical, ((),), "values must hold at least one number, got none"),
        (Empirical, ((1, math.inf),), "values must all be finite, got inf"),
        (Discrete, ((1, 2), (1,)), "2 values need as many weights, got 1"),
        (Discrete, ((1, 2), (1, -1)), "weights must not be negative and must have a positive sum, got (1, -1)"),
        (Discrete, ((1, 2), (0, 0)), "weights must not be negative and must have a positive sum, got (0, 0)"),
    ],
)
def test_impossible_numbers_are_refused(kind: type[Distribution], arguments: tuple[object, ...], text: str) -> None:
    with pytest.raises(ValueError) as caught:
        kind(*arguments)
    assert str(caught.value) == text
