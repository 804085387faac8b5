"""Investment arithmetic beyond the published examples (`shopsim.published.finance`, `spreadsheets`): identities, and
what internal rates do at the edges. Rates have 1e-8, where halving an interval ends; amounts 1e-6.
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

# -- identities --------------------------------------------------------------------------------------------------------


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


def test_a_rate_that_takes_more_than_all_is_refused() -> None:
    for asked in (lambda: periods_needed(-1.0, -10, 8000), lambda: payment_cu(-1.0, 36, 50_000)):
        with pytest.raises(ValueError, match=r"^rate must be above -1, found -1.0$"):
            asked()


def test_years_without_money_at_the_end_change_no_rate() -> None:
    assert internal_rates([-100, 110, 0, 0]) == pytest.approx([0.1])
