"""Investment arithmetic: checks H-01, H-02 and H-04, and what internal rates do at the edges.

H-01: numpy-financial 1.0.0, its documented examples (confirmed from the package; printed to 5 digits, hence 1e-5).
H-02: E. F. Brigham, M. C. Ehrhardt, Financial Management, projects S and L (from memory; all ten printed values
reproduced). H-04: method of R. A. Brealey, S. C. Myers, F. Allen, Principles of Corporate Finance; numbers derived and
recomputed in two ways. Rates have 1e-8, where halving an interval ends; amounts 1e-6; years 1e-9.
"""

from __future__ import annotations

import math

import pytest

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
from shopsim.craft.loans import (
    future_value_cu,
    interest_cu,
    payment_cu,
    periods_needed,
    present_value_cu,
)

# -- H-01 -------------------------------------------------------------------------------------------------------------


def test_documented_present_value() -> None:
    assert npv_cu(0.08, [-40000, 5000, 8000, 12000, 30000]) == pytest.approx(3065.22267, abs=1e-5)


@pytest.mark.parametrize(
    ("flows", "rate"),
    [
        ([-100, 39, 59, 55, 20], 0.28095),
        ([-100, 0, 0, 74], -0.0955),
        ([-100, 100, 0, -7], -0.0833),
        ([-100, 100, 0, 7], 0.06206),
        ([-5, 10.5, 1, -8, 1], 0.0886),
    ],
)
def test_documented_internal_rates(flows: list[float], rate: float) -> None:
    # Printed to 4 or 5 digits.
    assert irr(flows) == pytest.approx(rate, abs=5e-5)
    assert npv_cu(irr(flows), flows) == pytest.approx(0.0, abs=1e-9)


def test_documented_annuities() -> None:
    assert payment_cu(0.075 / 12, 12 * 15, 200000) == pytest.approx(-1854.02472001, abs=1e-6)
    assert future_value_cu(0.05 / 12, 10 * 12, -100, -100) == pytest.approx(15692.9288943, abs=1e-6)
    assert present_value_cu(0.05 / 12, 10 * 12, -100, 15692.93) == pytest.approx(-100.000671316, abs=1e-6)
    assert periods_needed(0.07 / 12, -150, 8000) == pytest.approx(64.07335, abs=1e-5)
    interest = sum(interest_cu(0.0824 / 12, period, 12, 2500) for period in range(1, 13))
    assert interest == pytest.approx(-112.98, abs=0.005)


def test_an_annuity_closes() -> None:
    """present + payments + future, valued at one moment, add up to 0 (the definition), at a rate of 0 too."""
    for rate in (0.0, 0.004, 0.09, -0.02):
        each = payment_cu(rate, 36, 50_000, -8_000)
        assert future_value_cu(rate, 36, each, 50_000) == pytest.approx(-8_000, abs=1e-6)
        assert present_value_cu(rate, 36, each, -8_000) == pytest.approx(50_000, abs=1e-6)
        assert periods_needed(rate, each, 50_000, -8_000) == pytest.approx(36, abs=1e-6)
        flows = [50_000] + [each] * 35 + [each - 8_000]
        assert npv_cu(rate, flows) == pytest.approx(0.0, abs=1e-6)


def test_payments_that_never_pay_back() -> None:
    with pytest.raises(ValueError) as caught:
        periods_needed(0.01, -10, 8000)
    assert str(caught.value) == "payment_cu of -10 never gets there"


# -- H-02 -------------------------------------------------------------------------------------------------------------

S, L = [-1000, 500, 400, 300, 100], [-1000, 100, 300, 400, 600]


def test_projects_s_and_l() -> None:
    assert npv_cu(0.1, S) == pytest.approx(78.8197527491, abs=1e-6)
    assert npv_cu(0.1, L) == pytest.approx(49.1769687863, abs=1e-6)
    assert irr(S) == pytest.approx(0.144888442786, abs=1e-8)
    assert irr(L) == pytest.approx(0.117905556261, abs=1e-8)
    assert mirr(S, 0.1, 0.1) == pytest.approx(0.121062711867, abs=1e-8)
    assert mirr(L, 0.1, 0.1) == pytest.approx(0.113281192559, abs=1e-8)
    assert payback_years(S) == pytest.approx(2.33333333333, abs=1e-9)
    assert payback_years(L) == pytest.approx(3.33333333333, abs=1e-9)
    assert payback_years(S, 0.1) == pytest.approx(2.95333333333, abs=1e-9)
    assert payback_years(L, 0.1) == pytest.approx(3.88, abs=1e-9)
    assert profitability_index(0.1, S) == pytest.approx(1.07881975275, abs=1e-9)
    assert irr([s - other for s, other in zip(S, L, strict=True)]) == pytest.approx(0.0716727997802, abs=1e-8)


# -- H-04 -------------------------------------------------------------------------------------------------------------


def test_a_second_printer_after_tax() -> None:
    a = after_tax_flows(95_000, 34_000, 5, 0.25, book_end_cu=5_000, resale_cu=5_000)
    b = after_tax_flows(140_000, 36_000, 8, 0.25)
    assert a[1:5] == pytest.approx([30_000] * 4, abs=1e-9)
    assert a[5] == pytest.approx(35_000, abs=1e-9)
    values = npv_cu(0.09, a), npv_cu(0.09, b)
    assert values == pytest.approx((24939.194832, 33654.9497252), abs=1e-6)
    assert irr(a) == pytest.approx(0.184551241827, abs=1e-8)
    assert payback_years(a, 0.09) == pytest.approx(3.89687943167, abs=1e-8)
    annual = equivalent_annual_cu(values[0], 0.09, 5), equivalent_annual_cu(values[1], 0.09, 8)
    assert annual == pytest.approx((6411.67887389, 6080.58710275), abs=1e-6)
    # Unequal lives: the present value names B, the equivalent annual amount A.
    assert values[1] > values[0] and annual[0] > annual[1]


def test_a_resale_above_its_book_value_is_taxed() -> None:
    assert after_tax_flows(100, 50, 2, 0.25, book_end_cu=0, resale_cu=40)[2] == pytest.approx(50 + 40 * 0.75)
    # Sold below book value: the loss saves tax.
    assert after_tax_flows(100, 30, 2, 0.25, book_end_cu=40, resale_cu=20)[2] == pytest.approx(30 + 20 + 0.25 * 20)


def test_the_equivalent_annual_amount_is_worth_the_same() -> None:
    each = equivalent_annual_cu(10_000, 0.07, 6)
    assert npv_cu(0.07, [0.0] + [each] * 6) == pytest.approx(10_000, abs=1e-6)
    assert each == pytest.approx(-payment_cu(0.07, 6, 10_000), abs=1e-9)
    assert equivalent_annual_cu(10_000, 0.0, 4) == 2_500


# -- the edges of internal rates --------------------------------------------------------------------------------------


def test_several_rates_are_all_told() -> None:
    """The pump of J. H. Lorie and L. J. Savage, Journal of Business 28 (1955) 229-239 (from memory; checked by
    hand): -1600, 10 000, -10 000 has two rates, 25 % and 400 %."""
    assert internal_rates([-1600, 10_000, -10_000]) == pytest.approx([0.25, 4.0], abs=1e-8)
    assert irr([-1600, 10_000, -10_000]) == pytest.approx(0.25, abs=1e-8)


@pytest.mark.parametrize("rate", [0.1, 0.07, 0.013, 0.3333, -0.2])
def test_a_rate_touched_but_not_crossed_is_found(rate: float) -> None:
    growth = 1 + rate
    assert internal_rates([-100, 200 * growth, -100 * growth**2]) == pytest.approx([rate], abs=1e-6)


def test_no_rate() -> None:
    with pytest.raises(ValueError) as caught:
        irr([100, 50])
    assert str(caught.value) == "flows_cu must hold money paid and money received: else no rate makes them worth 0"
    assert internal_rates([-100, 150, -100]) == []
    with pytest.raises(ValueError) as caught:
        irr([-100, 150, -100])
    assert str(caught.value) == "flows_cu have no internal rate: their present value is never 0"
    with pytest.raises(ValueError) as caught:
        internal_rates([0.0, 0.0])
    assert str(caught.value) == "flows_cu must not all be 0: any rate would do"


def test_flows_that_begin_late_and_rates_far_out() -> None:
    assert irr([0, 0, -100, 110]) == pytest.approx(0.1, abs=1e-8)
    assert irr([-1, 1000]) == pytest.approx(999.0, abs=1e-5)
    assert irr([-1000, 1]) == pytest.approx(-0.999, abs=1e-8)
    assert irr([-100] + [9] * 30) == pytest.approx(0.0813, abs=1e-4)


def test_what_never_comes_back_has_no_payback() -> None:
    assert payback_years([-100, 20, 20]) == math.inf
    assert payback_years([0, 20]) == 0.0
    assert payback_years([-100, 100]) == 1.0
    assert payback_years([-100, 105], 0.1) == math.inf


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: npv_cu(-1.0, [1]), "rate must be above -1 (a loss of everything), found -1.0"),
        (lambda: mirr([100, 5], 0.1, 0.1), "flows_cu must hold money paid and money received"),
        (lambda: profitability_index(0.1, [5, 5]), "flows_cu must begin with money paid"),
        (lambda: interest_cu(0.01, 13, 12, 100), "period must be from 1 to 12, found 13"),
    ],
)
def test_impossible_numbers_are_refused(call, message: str) -> None:
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message
