"""Writing off: check H-03. Spreadsheet documentation, printed to the cent, hence 0.005 (from memory, recomputed)."""

from __future__ import annotations

import pytest

from shopsim.craft.depreciation import declining_balance_cu, fixed_declining_cu, straight_line_cu, years_digits_cu


def test_straight_line_and_digits() -> None:
    assert straight_line_cu(30_000, 7_500, 10) == pytest.approx(2250, abs=1e-9)
    years = [years_digits_cu(30_000, 7_500, 10, year) for year in range(1, 11)]
    assert (years[0], years[9]) == pytest.approx((4090.91, 409.09), abs=0.005)
    assert sum(years) == pytest.approx(22_500, abs=1e-6)


@pytest.mark.parametrize(
    ("periods", "period", "amount"), [(10, 1, 480.00), (10, 10, 22.12), (3650, 1, 1.32), (120, 1, 40.00)]
)
def test_declining_balance(periods: int, period: int, amount: float) -> None:
    assert declining_balance_cu(2400, 300, periods, period) == pytest.approx(amount, abs=0.005)


def test_declining_balance_ends_at_the_salvage_value() -> None:
    years = [declining_balance_cu(2400, 300, 10, year) for year in range(1, 11)]
    assert years[9] == pytest.approx(22.1225472, abs=1e-7)
    assert sum(years) == pytest.approx(2100, abs=1e-9)
    assert declining_balance_cu(2400, 300, 5, 5, factor=4.0) == 0.0


def test_fixed_declining_with_a_first_year_of_seven_months() -> None:
    years = [fixed_declining_cu(1_000_000, 100_000, 6, year, 7) for year in range(1, 8)]
    # The same documentation goes on to year 7.
    assert years == pytest.approx([186083.33, 259639.42, 176814.44, 120410.64, 81999.64, 55841.76, 15845.10], abs=0.005)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: straight_line_cu(100, 200, 5), "salvage_cu must be at most the cost of 100, found 200"),
        (lambda: years_digits_cu(100, 0, 5, 6), "period must be from 1 to 5, found 6"),
        (lambda: fixed_declining_cu(100, 10, 5, 6), "period must be from 1 to 5, found 6"),
    ],
)
def test_impossible_numbers_are_refused(call, message: str) -> None:
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message
