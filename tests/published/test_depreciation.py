"""Writing off beyond the documented examples (`shopsim.published.spreadsheets`)."""

from __future__ import annotations

import pytest

from shopsim.craft.depreciation import declining_balance_cu, fixed_declining_cu, straight_line_cu, years_digits_cu


def test_declining_balance_ends_at_the_salvage_value() -> None:
    years = [declining_balance_cu(2400, 300, 10, year) for year in range(1, 11)]
    assert years[9] == pytest.approx(22.1225472, abs=1e-7)
    assert sum(years) == pytest.approx(2100, abs=1e-9)
    assert declining_balance_cu(2400, 300, 5, 5, factor=4.0) == 0.0


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
