"""Intervals between ordered values, and how many values bound a share of all, against standard tables."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.published.case import Case, Finding, known
from shopsim.studies.quantiles import quantile_interval, quantile_ranks, rank_coverage, wilks_size


def _order_statistics(_full: bool) -> Iterator[Finding]:
    yield Finding("median, 2nd to 9th of 10", 0.978515625, rank_coverage(10, 0.5, 2, 9), 1e-9)
    yield Finding("median, 6th to 15th of 20", 0.958610534668, rank_coverage(20, 0.5, 6, 15), 1e-9)
    yield Finding("ranks for the median of 10 and of 20", "(2, 9) (6, 15)",
                  f"{quantile_ranks(10, 0.5)} {quantile_ranks(20, 0.5)}")  # fmt: skip
    found = quantile_interval([float(value) for value in range(100, 0, -1)], 0.9)
    yield Finding("0.9 quantile of 100, lower rank", 84, known(found.low_rank))
    yield Finding("0.9 quantile of 100, upper rank", 96, known(found.high_rank))
    yield Finding("0.9 quantile of 1 to 100", "90 in 84 to 96",
                  f"{found.estimate:g} in {known(found.low):g} to {known(found.high):g}")  # fmt: skip
    yield Finding("chance of these ranks", 0.955690107191, known(found.coverage_pct) / 100, 1e-9)
    yield Finding("replications whose greatest bounds 95 %", 59, wilks_size(0.95))
    yield Finding("replications that hold 95 % between them", 93, wilks_size(0.95, two_sided=True))


def _wilks(_full: bool) -> Iterator[Finding]:
    printed = ((0.90, 95, 29, 46), (0.95, 99, 90, 130), (0.99, 95, 299, 473), (0.90, 90, 22, 38))
    for share, confidence_pct, one_sided, two_sided in printed:
        what = f"{100 * share:g} % with {confidence_pct} %"
        yield Finding(f"{what}, one-sided", one_sided, wilks_size(share, confidence_pct))
        yield Finding(f"{what}, two-sided", two_sided, wilks_size(share, confidence_pct, two_sided=True))


CASES = (
    Case(
        "E-15", "How sure a quantile is",
        "W. J. Conover, Practical Nonparametric Statistics; G. J. Hahn & W. Q. Meeker, Statistical Intervals (1991): "
        "97.85 and 95.86 %; S. S. Wilks, Annals of Mathematical Statistics 12 (1941) 91-96: 59 and 93 (from memory, "
        "standard tables; recomputed from the binomial distribution)",
        "exact", _order_statistics, path="library",
    ),
    Case(
        "X-77", "Smallest samples for tolerance bounds",
        "Hahn & Meeker, Statistical Intervals (1991), tables of smallest samples (from memory)",
        "exact", _wilks, path="library",
    ),
)  # fmt: skip
