"""Warm-up rules against published definitions and a reference library's answer."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from shopsim.published.case import Case, Finding
from shopsim.published.statistics_means import ARITHMETIC
from shopsim.studies.warm_up import mser, welch_curve

SETTLING = tuple(
    round(10 + 8 * math.exp(-t / 12) + 1.5 * math.sin(0.9 * t) + 0.7 * math.cos(2.3 * t), 4) for t in range(200)
)

# Five replications of twenty values.
RISING = tuple(
    tuple(float(number) for number in row.split())
    for row in """
1.29 7.01 14.82 16.75 19.87 24.20 25.01 24.49 26.87 30.17 26.49 29.88 27.30 26.30 28.20 26.60 33.07 29.95 30.61 28.14
7.90 9.36 11.82 17.87 19.70 20.15 24.52 21.34 22.10 23.90 27.23 26.79 29.78 29.94 27.20 25.99 25.90 31.36 28.84 30.43
3.36 10.58 12.92 14.38 19.12 17.17 25.29 22.03 24.58 25.54 26.87 25.51 26.12 28.72 26.39 27.36 29.88 28.29 26.40 27.80
6.05 10.50 15.95 17.64 20.21 19.71 24.09 24.66 24.37 22.45 26.17 23.49 25.39 28.04 31.22 30.17 30.40 28.29 27.16 28.46
4.63 11.58 11.22 15.25 18.40 22.16 21.43 23.72 27.71 27.10 26.91 29.22 25.74 24.36 29.14 25.31 28.02 26.58 28.16 29.77
""".strip().splitlines()
)


def _mser5(_full: bool) -> Iterator[Finding]:
    found = mser(SETTLING)
    yield Finding("batches that may be left out", 20, len(found.curve) - 1)
    yield Finding("batches left out", 8, found.leave_out // 5)
    yield Finding("values left out, here and by kim-convergence", 40, found.leave_out)
    yield Finding("least of the rule's curve", 0.00448698532274, found.curve[8], 1e-10)
    yield Finding("the curve with nothing left out", 0.052266992515, found.curve[0], 1e-10)
    yield Finding("mean of all", 10.51778, float(np.mean(SETTLING)), 1e-9)
    yield Finding("mean of the rest", 10.025796875, float(np.mean(SETTLING[found.leave_out :])), 1e-9)


def _welch(_full: bool) -> Iterator[Finding]:
    curve = welch_curve(RISING, 3)
    yield Finding("points, 20 values and window 3", 17, len(curve))
    printed = {1: 4.646, 2: 9.266, 3: 12.7272, 4: 15.4831428571, 10: 25.5502857143, 17: 28.3557142857}
    for number, value in printed.items():
        yield Finding(f"point {number}", value, curve[number - 1], 1e-9)


CASES = (
    Case(
        "E-05", "MSER-5: how much of a run's start to leave out",
        "K. P. White, Simulation 69 (1997) 323-334; White, Cobb & Spratt, Winter Simulation Conference 2000 "
        "(definition confirmed in public sources); derived series; answers by definition and by kim-convergence 0.1.0",
        ARITHMETIC, _mser5,
    ),
    Case(
        "E-06", "Welch's moving average",
        "P. D. Welch (1981, 1983), as in Law, Simulation Modeling and Analysis, section 9.5.1 (formula from memory, "
        "standard); derived data, recomputed in two ways",
        ARITHMETIC, _welch,
    ),
)  # fmt: skip
