"""When forecast orders come in: hour by hour as the profile says, and as scattered from day to day as asked for."""

from __future__ import annotations

import numpy as np
import pytest

from tests.published.theory import estimate, load, run

# Lewis & Shedler, Naval Research Logistics Quarterly 26 (1979) 403-413, on thinning; profile: mean gaps of 15, 12, 7,
# 5, 8, 10, 15, 20, 20 minutes in nine hours, from an example data set. Expectations derived: 60 / gap.
HOURLY = [4, 5, 60 / 7, 12, 7.5, 6, 4, 3, 3]


def counts(name: str, minutes: int) -> np.ndarray:
    """Orders received in each slot of so many minutes: a row a day of any replication."""
    logs = run(load(name))
    slots = int(logs[0].horizon_min) // minutes
    edges = np.arange(slots + 1) * float(minutes)
    found = [np.histogram(log.column("orders", "received"), edges)[0] for log in logs]
    return np.concatenate(found).reshape(-1, 1440 // minutes)


def test_orders_come_at_the_rate_of_their_hour() -> None:
    """1050 days; a sampler that looks the rate up at the last arrival fails this where the rate changes."""
    found = counts("hourly", 60)
    assert len(found) == 1050
    for hour, expected in enumerate(HOURLY):
        count = found[:, hour]
        assert abs(count.mean() - expected) <= 3 * np.sqrt(expected / len(count))
        # Poisson: the variance is the mean. The standard error of the ratio is about sqrt(2 / 1050) = 0.044.
        assert count.var(ddof=1) / count.mean() == pytest.approx(1, abs=0.13)
    assert found[:, len(HOURLY) :].sum() == 0
    # All hours together: 53.07 a day; its interval is ±0.85 %.
    total = estimate(found.sum(axis=1))
    assert abs(total.mean - 53.0714285714) <= 3 * total.error
    assert total.half_width < 0.01 * total.mean
    # Neighbouring hours know nothing of each other.
    neighbours = np.corrcoef(found[:, 2], found[:, 3])[0, 1]
    assert abs(neighbours) < 3 / np.sqrt(len(found))


def test_daily_counts_scatter_as_asked() -> None:
    """Gamma-mixed Poisson counts, derived: variance / mean = `day_to_day_dispersion` on each weekday alike."""
    days = counts("scattered", 1440).ravel().reshape(-1, 7)
    assert len(days) == 520
    for weekday, expected in enumerate([60, 40, 40, 20, 20, 10, 10]):
        count = days[:, weekday]
        assert abs(count.mean() - expected) <= 3 * np.sqrt(3 * expected / len(count))
        # The counts are negative binomial, mean m and variance 3 m: kurtosis 3 + 6 (d - 1) / m + 1 / (d m), d = 3.
        excess = 6 * 2 / expected + 1 / (3 * expected)
        error = 3 * np.sqrt((2 + excess) / len(count))
        assert count.var(ddof=1) / expected == pytest.approx(3, abs=3 * error)
