"""Investment arithmetic against documented and textbook examples."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.craft.finance import (
    after_tax_flows,
    equivalent_annual_cu,
    internal_rates,
    irr,
    mirr,
    npv_cu,
    payback_years,
    profitability_index,
)
from shopsim.published.case import Case, Finding

COMPUTED = "rates 1e-8, where halving an interval ends; amounts 1e-6; years 1e-9"
PRINTED = "half of the last printed digit"

S, L = [-1000.0, 500, 400, 300, 100], [-1000.0, 100, 300, 400, 600]


def _projects(_full: bool) -> Iterator[Finding]:
    for name, flows, npv, internal, modified, payback, discounted in (
        ("S", S, 78.8197527491, 0.144888442786, 0.121062711867, 2.33333333333, 2.95333333333),
        ("L", L, 49.1769687863, 0.117905556261, 0.113281192559, 3.33333333333, 3.88),
    ):
        yield Finding(f"{name}: net present value", npv, npv_cu(0.1, flows), 1e-6)
        yield Finding(f"{name}: internal rate", internal, irr(flows), 1e-8)
        yield Finding(f"{name}: modified internal rate", modified, mirr(flows, 0.1, 0.1), 1e-8)
        yield Finding(f"{name}: payback, years", payback, payback_years(flows), 1e-9)
        yield Finding(f"{name}: discounted payback, years", discounted, payback_years(flows, 0.1), 1e-9)
    yield Finding("S: profitability index", 1.07881975275, profitability_index(0.1, S), 1e-9)
    crossover = irr([s - other for s, other in zip(S, L, strict=True)])
    yield Finding("rate at which S and L are worth the same", 0.0716727997802, crossover, 1e-8)


def _second_printer(_full: bool) -> Iterator[Finding]:
    a = after_tax_flows(95_000, 34_000, 5, 0.25, book_end_cu=5_000, resale_cu=5_000)
    b = after_tax_flows(140_000, 36_000, 8, 0.25)
    npv_a, npv_b = npv_cu(0.09, a), npv_cu(0.09, b)
    annual_a, annual_b = equivalent_annual_cu(npv_a, 0.09, 5), equivalent_annual_cu(npv_b, 0.09, 8)
    yield Finding("A: flow of a year after tax", 30_000, a[1], 1e-9)
    yield Finding("A: net present value", 24939.194832, npv_a, 1e-6)
    yield Finding("A: internal rate", 0.184551241827, irr(a), 1e-8)
    yield Finding("A: discounted payback, years", 3.89687943167, payback_years(a, 0.09), 1e-8)
    yield Finding("A: equivalent annual amount", 6411.67887389, annual_a, 1e-6)
    yield Finding("B: net present value", 33654.9497252, npv_b, 1e-6)
    yield Finding("B: equivalent annual amount", 6080.58710275, annual_b, 1e-6)
    yield Finding("higher net present value", "B", "A" if npv_a > npv_b else "B")
    yield Finding("higher equivalent annual amount", "A", "A" if annual_a > annual_b else "B")


def _payback_rule(_full: bool) -> Iterator[Finding]:
    for name, flows, years, npv in (
        ("A", [-2000.0, 500, 500, 5000], 3, 2624),
        ("B", [-2000.0, 500, 1800, 0], 2, -58),
        ("C", [-2000.0, 1800, 500, 0], 2, 50),
    ):
        # The book counts whole years.
        yield Finding(f"{name}: payback in whole years", years, -(-payback_years(flows) // 1))
        yield Finding(f"{name}: net present value at 10 %", npv, npv_cu(0.1, flows), 0.5)


def _unequal_lives(_full: bool) -> Iterator[Finding]:
    for name, costs, present, annual in (("A", [15.0, 5, 5, 5], 28.37, 10.61), ("B", [10.0, 6, 6], 21.00, 11.45)):
        found = npv_cu(0.06, costs)
        yearly = equivalent_annual_cu(found, 0.06, len(costs) - 1)
        yield Finding(f"{name}: present value of the costs at 6 %", present, found, 0.005)
        yield Finding(f"{name}: equivalent annual cost", annual, yearly, 0.005)


def _several_rates(_full: bool) -> Iterator[Finding]:
    pump = internal_rates([-1600, 10_000, -10_000])
    yield Finding("pump: internal rates", 2, len(pump))
    yield Finding("pump: lower rate", 0.25, pump[0], 1e-8)
    yield Finding("pump: upper rate", 4.0, pump[1], 1e-8)
    yield Finding("pump: the one told where one is asked for", 0.25, irr([-1600, 10_000, -10_000]), 1e-8)
    mine = [-3.0, *[1.0] * 9, -6.5]
    rates = internal_rates(mine)
    yield Finding("mine to be filled in: lower rate", 0.035, rates[0], 5e-5)
    yield Finding("mine to be filled in: upper rate", 0.1954, rates[1], 5e-5)
    yield Finding("mine to be filled in: net present value at 10 %, millions", 0.253, npv_cu(0.1, mine), 5e-4)
    yield Finding("4000 for 2000 and 4000: internal rate", 0.2808, irr([-4000, 2000, 4000]), 5e-5)


CASES = (
    Case(
        "H-02", "Projects S and L by every criterion",
        "E. F. Brigham, M. C. Ehrhardt, Financial Management: Theory and Practice, capital budgeting (from memory; all "
        "ten printed values reproduced)",
        COMPUTED, _projects, path="library",
    ),
    Case(
        "H-04", "A second printer after tax, and machines of unequal lives",
        "method: R. A. Brealey, S. C. Myers, F. Allen, Principles of Corporate Finance; numbers derived, recomputed in "
        "two ways",
        COMPUTED, _second_printer, path="library",
    ),
    Case(
        "X-47", "Quickest payback is not most value",
        "R. A. Brealey, S. C. Myers, F. Allen, Principles of Corporate Finance, payback (from memory)",
        PRINTED, _payback_rule,
    ),
    Case(
        "X-48", "Equivalent annual cost of machines for three and for two years",
        "R. A. Brealey, S. C. Myers, F. Allen, Principles of Corporate Finance, equivalent annual costs (from memory)",
        PRINTED, _unequal_lives, path="library",
    ),
    Case(
        "X-49", "Internal rates, one and several",
        "J. H. Lorie, L. J. Savage, Journal of Business 28 (1955) 229-239, the pump; R. A. Brealey, S. C. Myers, F. "
        "Allen, Principles of Corporate Finance, the mine and the example of one rate (from memory)",
        PRINTED, _several_rates,
    ),
)  # fmt: skip
