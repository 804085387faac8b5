"""Warm-up rules: checks E-05 (MSER-5) and E-06 (Welch's moving average), and MSER-5 on series with a known start."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.signal import lfilter

from shopsim.streams import stream
from shopsim.studies.warm_up import mser, welch_curve

# E-05, derived series; definition confirmed in public sources, answers by definition and by kim-convergence 0.1.0
# (`mser_m(series, batch_size=5)`), which also leaves out 40.
SERIES = [round(10 + 8 * math.exp(-t / 12) + 1.5 * math.sin(0.9 * t) + 0.7 * math.cos(2.3 * t), 4) for t in range(200)]

# E-06, derived data: five replications of twenty values. Formula from memory (standard); recomputed in two ways.
REPLICATIONS = [
    [float(number) for number in row.split()]
    for row in """
1.29 7.01 14.82 16.75 19.87 24.20 25.01 24.49 26.87 30.17 26.49 29.88 27.30 26.30 28.20 26.60 33.07 29.95 30.61 28.14
7.90 9.36 11.82 17.87 19.70 20.15 24.52 21.34 22.10 23.90 27.23 26.79 29.78 29.94 27.20 25.99 25.90 31.36 28.84 30.43
3.36 10.58 12.92 14.38 19.12 17.17 25.29 22.03 24.58 25.54 26.87 25.51 26.12 28.72 26.39 27.36 29.88 28.29 26.40 27.80
6.05 10.50 15.95 17.64 20.21 19.71 24.09 24.66 24.37 22.45 26.17 23.49 25.39 28.04 31.22 30.17 30.40 28.29 27.16 28.46
4.63 11.58 11.22 15.25 18.40 22.16 21.43 23.72 27.71 27.10 26.91 29.22 25.74 24.36 29.14 25.31 28.02 26.58 28.16 29.77
""".strip().splitlines()
]


def test_e05_mser5() -> None:
    # K. P. White, Simulation 69 (1997) 323-334; White, Cobb & Spratt, Winter Simulation Conference 2000.
    found = mser(SERIES)
    assert found.leave_out == 40
    assert found.leave_out // 5 == 8
    assert len(found.curve) == 40 // 2 + 1
    assert found.curve[8] == pytest.approx(0.00448698532274, abs=1e-10)
    assert found.curve[0] == pytest.approx(0.052266992515, abs=1e-10)
    assert found.long_enough
    assert np.mean(SERIES) == pytest.approx(10.51778, abs=1e-9)
    assert np.mean(SERIES[found.leave_out :]) == pytest.approx(10.025796875, abs=1e-9)


def test_e06_welch_moving_average() -> None:
    # P. D. Welch (1981, 1983), as in Law, Simulation Modeling and Analysis, section 9.5.1.
    curve = welch_curve(REPLICATIONS, 3)
    assert len(curve) == 17
    by_number = [curve[i - 1] for i in (1, 2, 3, 4, 10, 17)]
    expected = [4.646, 9.266, 12.7272, 15.4831428571, 25.5502857143, 28.3557142857]
    assert by_number == pytest.approx(expected, abs=1e-9)


# -- further cases ----------------------------------------------------------------------------------------------------

PHI, START, LENGTH = 0.9, 20.0, 400


def settling(study: int) -> list[float]:
    """An autoregressive series of mean 0 and variance 1 that starts at 20."""
    noise = math.sqrt(1 - PHI * PHI) * stream(4, study, "settling").standard_normal(LENGTH)
    noise[0] = START
    series: list[float] = lfilter([1.0], [1.0, -PHI], noise).tolist()
    return series


def test_mser5_takes_the_known_bias_of_a_start_out_of_the_mean() -> None:
    # The kind of series of White, Cobb & Spratt (2000). Value t has mean 20 * 0.9^t, so that a mean of 400 is off by
    # 20 (1 - 0.9^400) / (1 - 0.9) / 400 = 0.5; one standard error of a mean of 400 studies is 0.011.
    raw, cut = [], []
    for study in range(400):
        series = settling(study)
        raw.append(float(np.mean(series)))
        cut.append(float(np.mean(series[mser(series).leave_out :])))
    assert np.mean(raw) == pytest.approx(0.5, abs=0.033)
    # A tenth of the bias at most stays. The mean square error was 0.5^2 + 19 / 400 (variance of a mean of dependent
    # values, (1 + phi) / (1 - phi) / n) = 0.30; without bias and with 50 values fewer the least possible is 19 / 350 =
    # 0.054.
    assert abs(np.mean(cut)) < 0.05
    assert 0.045 < np.mean(np.square(cut)) < 0.10


def test_a_run_that_never_settles_is_told() -> None:
    assert not mser([float(t) for t in range(200)]).long_enough
