"""Work study: time study, work sampling and learning."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from shopsim.craft.sewers import average_learning_factor, learning_factor
from shopsim.craft.sewing import standard_minutes
from shopsim.craft.time_study import (
    basic_time_min,
    cycles_needed,
    observations_needed,
    sampling_half_width,
    standard_min_of_total,
)
from shopsim.published.case import Case, Finding

DIVIDED = "1e-9 for division"
PRINTED = "what is printed: three decimals"


def _time_study(_full: bool) -> Iterator[Finding]:
    for observed_min, rating_pct in ((0.20, 100), (0.16, 125), (0.25, 80)):
        found = basic_time_min(observed_min, rating_pct)
        yield Finding(f"basic time of {observed_min:.2f} at {rating_pct}, min", 0.2, found, 1e-12)
    normal = basic_time_min(4.0, 85)
    yield Finding("normal time of 4.0 at 85, min", 3.4, normal, 1e-9)
    yield Finding("standard time, allowance 13 % of the total, min", 3.90804597701, standard_min_of_total(normal, 0.13),
                  1e-9)  # fmt: skip
    yield Finding("standard time, allowance 13 % on basic time, min", 3.842, standard_minutes(normal, 0.13), 1e-9)
    # Minutes seen and rating; 21 and 5 min did not recur and are left out.
    elements = [([8, 10, 9, 11], 120), ([2, 3, 2, 1, 3], 105), ([2, 1, 2, 1], 110)]
    letters = sum(basic_time_min(sum(seen) / len(seen), rating) for seen, rating in elements)
    yield Finding("letters: normal time, min", 15.36, letters, 1e-9)
    yield Finding("letters: standard time, min", 18.0705882353, standard_min_of_total(letters, 0.15), 1e-9)
    yield Finding("cycles to time for 5 % at 95 %", 171, math.ceil(cycles_needed(3.0, 1.0, 0.05)))


def _sampling(_full: bool) -> Iterator[Finding]:
    spots = observations_needed(0.25, 0.03, normal=2.0)
    yield Finding("observations", 833.333333333, spots, 1e-9)
    yield Finding("observations, rounded", 833, round(spots))
    yield Finding("observations, rounded up", 834, math.ceil(spots))
    yield Finding("half-width after 500 observations", 0.0379552367928, sampling_half_width(0.25, 500), 1e-9)


UNIT_80 = ((2, 0.8), (3, 0.702103702779), (5, 0.595637343613), (10, 0.47650987489), (20, 0.381207899912))
TOTALS = ((80, 5, 3.73774104639), (80, 10, 6.31537301762), (80, 20, 10.484942826), (70, 10, 4.93177107448),
          (85, 10, 7.11606272668), (90, 10, 7.99447855044))  # fmt: skip


def _learning(_full: bool) -> Iterator[Finding]:
    for n, factor in UNIT_80:
        yield Finding(f"80 %: unit {n}", factor, learning_factor(n, 0.8), 1e-9)
    for rate_pct, n, total in TOTALS:
        found = n * average_learning_factor(n, rate_pct / 100)
        yield Finding(f"{rate_pct} %: first {n} together", total, found, 1e-9)
    yield Finding("80 %, cumulative average: first 10 together", 4.7650987489,
                  10 * average_learning_factor(10, 0.8, "cumulative"), 1e-9)  # fmt: skip
    yield Finding("80 %, cumulative average: unit 10", 0.328552263804, learning_factor(10, 0.8, "cumulative"), 1e-9)


def _preliminary(_full: bool) -> Iterator[Finding]:
    seen = [7, 6, 7, 7, 6]
    mean, squares = sum(seen) / 5, sum(value * value for value in seen)
    cycles = cycles_needed(mean, math.sqrt(squares / 5 - mean**2), 0.05, normal=2.0)
    yield Finding("readings 7, 6, 7, 7, 6: cycles for 5 % at 95.45 %", 8.815426997, cycles, 1e-9)
    yield Finding("the same, whole cycles", 9, math.ceil(cycles))
    yield Finding("idle 25 %: observations for 10 % at two standard errors", 75, observations_needed(0.25, 0.10, 2.0),
                  1e-9)  # fmt: skip


# Learning rate in percent; units 2, 3, 4, 5, 10 and 20; together the first 5, 10 and 20.
TABLE: tuple[tuple[int, Sequence[float], Sequence[float]], ...] = (
    (70, (0.700, 0.568, 0.490, 0.437, 0.306, 0.214), (3.195, 4.932, 7.407)),
    (80, (0.800, 0.702, 0.640, 0.596, 0.477, 0.381), (3.738, 6.315, 10.485)),
    (85, (0.850, 0.773, 0.723, 0.686, 0.583, 0.495), (4.031, 7.116, 12.402)),
    (90, (0.900, 0.846, 0.810, 0.783, 0.705, 0.634), (4.339, 7.994, 14.608)),
)


def _table(_full: bool) -> Iterator[Finding]:
    for rate_pct, units, totals in TABLE:
        for n, factor in zip((2, 3, 4, 5, 10, 20), units, strict=True):
            yield Finding(f"{rate_pct} %: unit {n}", factor, learning_factor(n, rate_pct / 100), 5.0001e-4)
        for n, total in zip((5, 10, 20), totals, strict=True):
            found = n * average_learning_factor(n, rate_pct / 100)
            yield Finding(f"{rate_pct} %: first {n} together", total, found, 5.0001e-4)


CASES = (
    Case(
        "G-01", "Time study: basic time, allowances two ways, cycles to time",
        "International Labour Office, Introduction to Work Study, 4th rev. ed. 1992 (constancy example), and J. "
        "Heizer, B. Render, Operations Management, work measurement (from memory, reproduced; normal / (1 - share) "
        "confirmed on a public page)",
        DIVIDED, _time_study, path="library",
    ),
    Case(
        "G-02", "Work sampling: observations and band",
        "J. Heizer, B. Render, Operations Management, work sampling (from memory)",
        DIVIDED, _sampling, path="library",
    ),
    Case(
        "G-04", "Learning: unit and cumulative-average model",
        "T. P. Wright, Journal of the Aeronautical Sciences 3 (1936) 122-128; unit-model table as in J. Heizer, B. "
        "Render, Operations Management (from memory; all agree to the printed digits)",
        DIVIDED, _learning, path="library",
    ),
    Case(
        "X-44", "How many cycles after five preliminary readings; how many spot observations",
        "International Labour Office, Introduction to Work Study, 4th rev. ed. 1992: readings 7, 6, 7, 7, 6 ask for 9; "
        "25 % idle within 10 % for 75 (from memory)",
        DIVIDED, _preliminary, path="library",
    ),
    Case(
        "X-45", "Learning-curve table for 70, 80, 85 and 90 %",
        "J. Heizer, B. Render, Operations Management, table of learning-curve coefficients (from memory)",
        PRINTED, _table, path="library",
    ),
)  # fmt: skip
