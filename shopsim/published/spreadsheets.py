"""Loans, rates and writing off against the documented examples of spreadsheet functions."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shopsim.craft.depreciation import declining_balance_cu, fixed_declining_cu, straight_line_cu, years_digits_cu
from shopsim.craft.finance import irr, mirr, npv_cu
from shopsim.craft.loans import future_value_cu, interest_cu, payment_cu, periods_needed, present_value_cu
from shopsim.published.case import Case, Finding

CENT = 0.005
RATES: Sequence[tuple[Sequence[float], float, float]] = (
    ([-100, 39, 59, 55, 20], 0.28095, 1e-5),
    ([-100, 0, 0, 74], -0.0955, 5e-5),
    ([-100, 100, 0, -7], -0.0833, 5e-5),
    ([-100, 100, 0, 7], 0.06206, 1e-5),
    ([-5, 10.5, 1, -8, 1], 0.0886, 5e-5),
)


def _documented(_full: bool) -> Iterator[Finding]:
    yield Finding("net present value", 3065.22267, npv_cu(0.08, [-40000, 5000, 8000, 12000, 30000]), 1e-5)
    for flows, rate, allowed in RATES:
        yield Finding(f"internal rate of {', '.join(f'{flow:g}' for flow in flows)}", rate, irr(flows), allowed)
    yield Finding("payment of a month", -1854.02472001, payment_cu(0.075 / 12, 180, 200000), 1e-6)
    yield Finding("future value", 15692.9288943, future_value_cu(0.05 / 12, 120, -100, -100), 1e-6)
    yield Finding("present value", -100.000671316, present_value_cu(0.05 / 12, 120, -100, 15692.93), 1e-6)
    yield Finding("months needed", 64.07335, periods_needed(0.07 / 12, -150, 8000), 1e-5)
    interest = sum(interest_cu(0.0824 / 12, period, 12, 2500) for period in range(1, 13))
    yield Finding("interest of the loan", -112.98, interest, CENT)


def _writing_off(_full: bool) -> Iterator[Finding]:
    yield Finding("straight line: a year", 2250, straight_line_cu(30_000, 7_500, 10), 1e-9)
    digits = [years_digits_cu(30_000, 7_500, 10, year) for year in range(1, 11)]
    yield Finding("years' digits: year 1", 4090.91, digits[0], CENT)
    yield Finding("years' digits: year 10", 409.09, digits[9], CENT)
    yield Finding("years' digits: all years", 22_500, sum(digits), 1e-6)
    for name, periods, period, amount in (
        ("year 1", 10, 1, 480.0), ("year 10", 10, 10, 22.12), ("day 1", 3650, 1, 1.32), ("month 1", 120, 1, 40.0),
    ):  # fmt: skip
        found = declining_balance_cu(2400, 300, periods, period)
        yield Finding(f"double declining: {name}", amount, found, CENT)
    ends_at = declining_balance_cu(2400, 300, 10, 10)
    yield Finding("double declining: year 10, stopped by the salvage value", 22.1225472, ends_at, 1e-7)
    # The same documentation goes on to year 7.
    amounts = (186083.33, 259639.42, 176814.44, 120410.64, 81999.64, 55841.76, 15845.10)
    for year, amount in enumerate(amounts, start=1):
        yield Finding(f"fixed declining, seven months at first: year {year}", amount,
                      fixed_declining_cu(1_000_000, 100_000, 6, year, 7), CENT)  # fmt: skip


def _more_documented(_full: bool) -> Iterator[Finding]:
    yield Finding("payment: 10 000 over 10 months at 8 %", -1037.03, payment_cu(0.08 / 12, 10, 10_000), CENT)
    saved = payment_cu(0.06 / 12, 18 * 12, 0, 50_000)
    yield Finding("payment: save 50 000 in 18 years at 6 %", -129.08, saved, CENT)
    yield Finding(
        "present value: 500 a month for 20 years at 8 %", -59777.15, present_value_cu(0.08 / 12, 240, 500), CENT
    )
    yield Finding("future value: 1000 a month for a year at 12 %", 12682.50, future_value_cu(0.01, 12, -1000, 0), CENT)
    needed = periods_needed(0.01, -100, -1000, 10_000)
    yield Finding("months: 1000 and 100 a month to 10 000 at 12 %", 60.08, needed, CENT)
    yield Finding("interest: first month of 8000 over three years at 10 %", -66.67, interest_cu(0.1 / 12, 1, 36, 8000),
                  CENT)  # fmt: skip
    yield Finding("interest: third year of 8000 at 10 %", -292.45, interest_cu(0.1, 3, 3, 8000), CENT)
    yield Finding("net present value: 10 000 paid at the end of year 1", 1188.44,
                  npv_cu(0.1, [0, -10_000, 3000, 4200, 6800]), CENT)  # fmt: skip
    shop = [-40_000.0, 8000, 9200, 10_000, 12_000, 14_500]
    yield Finding("net present value: five years of a shop", 1922.06, npv_cu(0.08, shop), CENT)
    yield Finding("net present value: with a roof in year 6", -3749.47, npv_cu(0.08, [*shop, -9000]), CENT)
    restaurant = [-70_000.0, 12_000, 15_000, 18_000, 21_000, 26_000]
    yield Finding("internal rate after five years", 0.087, irr(restaurant), 5e-4)
    yield Finding("internal rate after four years", -0.021, irr(restaurant[:5]), 5e-4)
    yield Finding("internal rate after two years", -0.444, irr(restaurant[:3]), 5e-4)
    boats = [-120_000.0, 39_000, 30_000, 21_000, 37_000, 46_000]
    yield Finding("modified internal rate after five years", 0.1261, mirr(boats, 0.10, 0.12), 5e-5)
    yield Finding("modified internal rate after three years", -0.0480, mirr(boats[:4], 0.10, 0.12), 5e-5)
    yield Finding("modified internal rate reinvested at 14 %", 0.1348, mirr(boats, 0.10, 0.14), 5e-5)


CASES = (
    Case(
        "H-01", "Present value, internal rates and annuities of a numerical library's documentation",
        "numpy-financial 1.0.0, its documented examples (confirmed from the package)",
        "half of the last printed digit; amounts 1e-6", _documented, path="library",
    ),
    Case(
        "H-03", "Writing off: straight line, years' digits, declining balance",
        "spreadsheet documentation of SLN, SYD, DDB and DB (from memory, recomputed)",
        "half a cent, as printed", _writing_off, path="library",
    ),
    Case(
        "X-50", "Loans, savings and rates of the spreadsheet documentation",
        "spreadsheet documentation of PMT, PV, FV, NPER, IPMT, NPV, IRR and MIRR (from memory)",
        "half of the last printed digit", _more_documented, path="library",
    ),
)  # fmt: skip
