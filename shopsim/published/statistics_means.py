"""Means, their intervals, autocorrelation and batch means against printed values."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import cycle, islice

from shopsim.published.case import Case, Finding, known
from shopsim.studies.batch_means import batch_interval, summary
from shopsim.studies.precision import interval, replications_for, replications_for_share, t_quantile

ARITHMETIC = "exact but for rounding in the last digits"

LAW_4_27 = (1.20, 1.50, 1.68, 1.89, 0.95, 1.49, 1.58, 1.55, 0.50, 1.09)
LAW_9_1 = (1.53, 1.66, 1.24, 2.34, 2.00, 1.69, 2.69, 2.86, 1.70, 2.60)

# Speed of light in Mm/s, hundredths above 299.
_HUNDREDTHS = """
85 74 90 107 93 85 95 98 98 88 100 98 93 65 76 81 100 100 96 96 96 94 96 94 88 80 85 88 90 84 83 79 81 88 88 83 80
79 76 80 88 88 88 86 72 72 62 86 97 95 88 91 85 87 84 84 85 84 84 84 89 81 81 82 80 77 76 74 75 76 91 92 89 86 88 72
84 85 85 78 89 84 78 81 76 81 79 81 82 85 87 87 81 74 81 94 95 80 81 87
"""
MICHELSO = tuple(round(299 + int(hundredths) / 100, 2) for hundredths in _HUNDREDTHS.split())


def _ten_observations(_full: bool) -> Iterator[Finding]:
    found = interval(LAW_4_27, 90)
    yield Finding("mean", 1.343, found.mean, 1e-9)
    yield Finding("variance", 0.167512222222, summary(LAW_4_27).deviation ** 2, 1e-9)
    yield Finding("t(9, 0.95)", 1.83311293266, t_quantile(9, 0.95), 1e-6)
    yield Finding("half-width, 90 %", 0.237253414489, known(found.half_width), 1e-9)
    yield Finding("lower end", 1.10574658551, known(found.low), 1e-9)
    yield Finding("upper end", 1.58025341449, known(found.high), 1e-9)


def _replications_needed(_full: bool) -> Iterator[Finding]:
    found = interval(LAW_9_1, 90)
    yield Finding("mean", 2.031, found.mean, 1e-9)
    yield Finding("variance", 0.309098888889, summary(LAW_9_1).deviation ** 2, 1e-9)
    yield Finding("half-width, 90 %", 0.322283404942, known(found.half_width), 1e-9)
    yield Finding("replications for ±0.25", 16, known(replications_for(LAW_9_1, 0.25, 90)))
    yield Finding("replications for ±10 % of the true mean", 27, known(replications_for_share(LAW_9_1, 0.10, 90)))


def _numerical_accuracy(_full: bool) -> Iterator[Finding]:
    found = summary(MICHELSO)
    yield Finding("Michelso, mean", 299.8524, found.mean, 1e-9)
    yield Finding("Michelso, deviation", 0.0790105478190518, found.deviation, 1e-9 * 0.079)
    yield Finding("Michelso, lag-1 autocorrelation", 0.535199668621283, known(found.lag_1), 1e-9)
    alternating = [
        ("NumAcc2", 1.2, (1.1, 1.3), 0.1, 1e-10),
        ("NumAcc3", 1_000_000.2, (1_000_000.1, 1_000_000.3), 0.100000000035, 1e-7),
        ("NumAcc4", 10_000_000.2, (10_000_000.1, 10_000_000.3), 0.100000000559, 1e-6),
    ]
    for name, first, others, deviation, allowed in alternating:
        found = summary([first, *islice(cycle(others), 1000)])
        yield Finding(f"{name}, mean", first, found.mean, 1e-7)
        yield Finding(f"{name}, deviation", deviation, found.deviation, allowed)
        # The inputs' own rounding, 2e-9 near ten million, is all that is left of the lag.
        yield Finding(f"{name}, lag-1 autocorrelation", -0.999, known(found.lag_1), max(1e-9, 20 * allowed))


def _batch_means(_full: bool) -> Iterator[Finding]:
    ten, twenty = batch_interval(MICHELSO, 10), batch_interval(MICHELSO, 20)
    yield Finding("10 batches, variance of their means", 0.00166537777778, summary(ten.means).deviation ** 2, 1e-12)
    yield Finding("10 batches, half-width, 95 %", 0.029193028871, known(ten.interval.half_width), 1e-10)
    yield Finding("100 values as if independent, half-width", 0.0156774068337, known(interval(MICHELSO).half_width),
                  1e-10)  # fmt: skip
    yield Finding("10 batches, lag-1 autocorrelation", 0.314619305596, known(ten.lag_1), 1e-10)
    yield Finding("10 batches, von Neumann ratio", 1.1238024072, known(ten.von_neumann), 1e-10)
    yield Finding("20 batches, half-width, 95 %", 0.0230434849469, known(twenty.interval.half_width), 1e-10)
    yield Finding("20 batches, lag-1 autocorrelation", 0.322439905516, known(twenty.lag_1), 1e-10)


CASES = (
    Case(
        "E-01", "Student's interval of ten observations",
        "A. M. Law, Simulation Modeling and Analysis, 5th ed. (2013/2015), Example 4.27: 1.34, S^2 0.17, 90 % interval "
        "1.34 +- 0.24; data confirmed in a public page, printed mean and half-width from memory and recomputed",
        ARITHMETIC, _ten_observations, path="library",
    ),
    Case(
        "E-02", "How many replications for a wanted precision",
        "Law, Table 9.1, delays in a bank: 2.03, S^2 0.31, 2.03 +- 0.32 (data and mean confirmed in public course "
        "notes); section 9.4.1: 16 for +- 0.25, 27 for 10 % (from memory and recomputed)",
        ARITHMETIC, _replications_needed, path="library",
    ),
    Case(
        "E-04", "Numerical accuracy of mean, deviation and autocorrelation",
        "NIST Statistical Reference Datasets, univariate: Michelso (certified values confirmed in public "
        "repositories), NumAcc2, 3, 4 (from memory, confirmed by exact rational arithmetic)",
        "exact but for rounding; wider where the inputs themselves are rounded", _numerical_accuracy, path="library",
    ),
    Case(
        "E-07", "Batch means of one series, and whether they are independent",
        "G. S. Fishman, Management Science 24 (1978) 510-521 (method from memory); data NIST StRD Michelso "
        "(confirmed); recomputed",
        ARITHMETIC, _batch_means, path="library",
    ),
)  # fmt: skip
