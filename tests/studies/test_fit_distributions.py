"""Fits at their edges: values no family can fit, and scale that must not matter."""

from __future__ import annotations

import pytest

from shopsim.studies.fit_distributions import fit_all, fit_exponential, fit_gamma, fit_log_normal, fit_weibull

TIMES = [3.0, 5.0, 8.0, 9.0, 15.0]


@pytest.mark.parametrize("fit", [fit_exponential, fit_gamma, fit_log_normal, fit_weibull])
@pytest.mark.parametrize("factor", [1e-6, 60.0, 1e6])
def test_another_unit_scales_the_fit(fit, factor) -> None:  # type: ignore[no-untyped-def]
    plain, scaled = fit(TIMES).distribution, fit([factor * time for time in TIMES]).distribution
    assert scaled.mean == pytest.approx(factor * plain.mean, rel=1e-8)
    assert scaled.variance == pytest.approx(factor**2 * plain.variance, rel=1e-8)


def test_criterion_counts_parameters() -> None:
    one, two = fit_exponential(TIMES), fit_gamma(TIMES)
    assert one.akaike == pytest.approx(2 - 2 * one.log_likelihood)
    assert two.akaike == pytest.approx(4 - 2 * two.log_likelihood)
    assert [fit.akaike for fit in fit_all(TIMES)] == sorted(fit.akaike for fit in fit_all(TIMES))


def test_times_that_hardly_vary_still_have_a_fit() -> None:
    for fit in fit_all([100.0, 101.0, 99.0, 100.5])[:3]:
        assert fit.distribution.mean == pytest.approx(100.1, rel=0.001)


def test_refusals() -> None:
    for call, text in [
        (lambda: fit_exponential([]), "values must hold at least 1 numbers, found 0"),
        (lambda: fit_exponential([1.0, 0.0]), "values must all be above 0, found 0.0"),
        (
            lambda: fit_all([3.0, 3.0]),
            "values must vary by a factor of 1.002 to 20 (one standard deviation), found 1",
        ),
    ]:
        with pytest.raises(ValueError) as error:
            call()
        assert str(error.value) == text
