"""Choosing the best of several options: constants, sizes and traces against printed and recomputed values."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.published.case import Case, Finding
from shopsim.published.statistics_means import ARITHMETIC
from shopsim.studies.allocation import budget_shares
from shopsim.studies.constants import rinott_constant
from shopsim.studies.selection import kn_constants, second_stage_sizes, select_best

AIRLINE_DEVIATIONS = (29157.3, 24289.9, 25319.5, 20810.8)

# 53 stages of four systems, larger is better; the procedure stops there.
_STAGES = """
9.541 10.503 11.615 11.453  10.343 12.126 11.876 15.206  8.530 12.001 11.202 11.601  10.521 8.422 9.219 11.527
11.313 10.367 13.535 13.883  8.109 7.482 9.613 12.428  10.350 10.232 7.991 11.627  10.268 12.664 9.283 13.181
10.629 10.273 15.532 11.172  8.976 11.217 12.259 10.762  10.374 12.064 14.527 12.447  9.820 8.904 13.769 9.762
9.397 14.033 12.108 11.830  12.038 11.917 10.908 11.697  9.540 10.164 10.075 11.629  8.531 11.491 9.993 10.733
9.606 13.506 11.017 9.067  9.012 11.639 11.100 11.724  12.139 12.867 8.791 10.649  9.380 12.481 9.955 11.789
10.936 11.411 10.531 10.893  7.864 13.030 8.770 12.912  11.110 6.832 13.018 11.072  9.046 10.948 8.991 13.863
15.250 15.542 9.811 11.544  10.221 10.715 12.309 14.504  12.201 8.731 8.401 9.100  11.801 15.638 13.124 14.684
12.456 9.867 11.071 14.390  9.688 10.501 8.694 10.994  10.941 11.359 12.037 10.827  8.724 10.527 10.783 10.107
7.901 10.612 13.496 10.974  6.681 12.523 9.250 10.783  8.460 11.416 10.490 9.218  9.928 6.290 8.966 13.886
12.637 13.253 12.996 11.673  10.558 9.134 10.827 12.729  11.609 10.109 9.555 13.732  9.428 11.347 9.987 12.062
11.671 10.323 11.939 13.116  10.759 9.565 12.600 11.346  10.940 8.999 11.335 14.593  9.556 13.210 10.988 10.256
10.762 10.905 13.518 15.229  10.884 5.652 12.887 13.744  13.657 9.452 13.339 14.094  10.664 10.962 10.961 11.667
10.367 10.246 9.418 13.776  10.670 9.823 8.276 11.802  8.604 11.000 11.115 13.952  9.629 12.156 12.100 13.621
11.883 11.766 8.823 11.498
"""
STAGES = tuple(float(number) for number in _STAGES.split())


def _rinott(_full: bool) -> Iterator[Finding]:
    constant = rinott_constant(4, 20, 90)
    yield Finding("h for 4 options, 20 first, 90 %", 2.72004682691, constant, 1e-3)
    sizes = second_stage_sizes(AIRLINE_DEVIATIONS, 20, 3000, constant)
    for number, (size, found) in enumerate(zip((699, 486, 528, 357), sizes, strict=True), start=1):
        # The last replication hangs on the fourth digit of h.
        yield Finding(f"replications of system {number}", size, found, 1)
    printed = second_stage_sizes(AIRLINE_DEVIATIONS, 20, 3000, 2.720)
    for number, (size, found) in enumerate(zip((699, 486, 527, 357), printed, strict=True), start=1):
        yield Finding(f"replications of system {number} with h = 2.720", size, found)


def _kim_nelson(_full: bool) -> Iterator[Finding]:
    eta, h2 = kn_constants(4, 10, 95)
    yield Finding("eta", 0.564680186619, eta, 1e-10)
    yield Finding("h squared", 10.1642433591, h2, 1e-9)
    found = select_best(lambda system, stage: STAGES[4 * stage + system], 4, 0.5, 95, first=10)
    for number, stage in enumerate((10, 38, 53), start=1):
        yield Finding(f"system {number} dropped after", stage, found.replications[number - 1])
    yield Finding("chosen system", 4, -1 if found.best is None else found.best + 1)
    yield Finding("replications in all", 154, sum(found.replications))


def _budget(_full: bool) -> Iterator[Finding]:
    shares = budget_shares((4.0, 4.6, 5.5, 7.0, 5.0), (1.0, 1.5, 1.2, 2.0, 0.8), largest_is_best=False)
    exact = (0.349363595557, 0.509938661696, 0.0522177189577, 0.0362623048317, 0.0522177189577)
    for number, (share, found) in enumerate(zip(exact, shares, strict=True), start=1):
        yield Finding(f"share of system {number}", share, found, 1e-9)
    yield Finding("of 1000 replications", "349, 510, 52, 36, 52", ", ".join(str(round(1000 * s)) for s in shares))


def _dudewicz_dalal(_full: bool) -> Iterator[Finding]:
    for first, confidence_pct, printed in ((20, 90, 1.896), (20, 95, 2.453), (40, 90, 1.852), (40, 95, 2.386)):
        found = rinott_constant(2, first, confidence_pct)
        yield Finding(f"{first} first, {confidence_pct} %", printed, found, 0.00061)


CASES = (
    Case(
        "E-12", "Rinott's two stages: airline reservations",
        "Y. Rinott, Communications in Statistics A7 (1978) 799-811; D. Goldsman, B. L. Nelson & B. Schmeiser, Winter "
        "Simulation Conference 1991: h 2.720, N 699, 485, 527, 356 (from memory; h and N recomputed)",
        "the source's own integration of h is exact to 2e-4; sizes to one replication", _rinott, path="library",
    ),
    Case(
        "E-13", "Kim and Nelson's sequential selection, stage by stage",
        "S.-H. Kim & B. L. Nelson, ACM TOMACS 11 (2001) 251-273, c = 1 (formulas from memory); derived data, trace "
        "computed by two codings",
        ARITHMETIC, _kim_nelson, path="library",
    ),
    Case(
        "E-14", "Where the next replications tell most (OCBA)",
        "C.-H. Chen, J. Lin, E. Yücesan & S. E. Chick, Discrete Event Dynamic Systems 10 (2000) 251-270, Theorem 1 "
        "(from memory); derived numbers, stationarity asserted",
        ARITHMETIC, _budget,
        left_out="the name of the best system, which the function takes for known and does not return", path="library",
    ),
    Case(
        "X-78", "Selection constant of two options",
        "E. J. Dudewicz & S. R. Dalal, Sankhya B37 (1975) 28-78, h1 for k = 2 as printed in Law, Simulation Modeling "
        "and Analysis, Table 10.11 (from memory); for two options Rinott's condition is the same integral",
        "three printed digits", _dudewicz_dalal, path="library",
    ),
)  # fmt: skip
