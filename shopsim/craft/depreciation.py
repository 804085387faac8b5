"""Writing off a machine: straight line, sum of the years' digits, declining balance.

Amounts are currency units; `salvage_cu` is what it is still worth in the books at the end. Periods count from 1. The
schedules and their limits are those of the spreadsheet functions SLN, SYD, DDB and DB.
"""

from __future__ import annotations

from shopsim.craft._limits import count, not_negative, positive


def straight_line_cu(cost_cu: float, salvage_cu: float, periods: int) -> float:
    """Return the equal amount of each period. Raises ValueError for an impossible number."""
    return _lost_cu(cost_cu, salvage_cu) / count("periods", periods, least=1)


def years_digits_cu(cost_cu: float, salvage_cu: float, periods: int, period: int) -> float:
    """Return a period's amount when the amounts fall evenly to the last. Raises ValueError for an impossible number."""
    _check_period(period, count("periods", periods, least=1))
    return _lost_cu(cost_cu, salvage_cu) * (periods - period + 1) * 2.0 / (periods * (periods + 1))


def declining_balance_cu(cost_cu: float, salvage_cu: float, periods: int, period: int, factor: float = 2.0) -> float:
    """Return a period's amount as `factor / periods` of the book value, until the salvage value stops it.

    Raises ValueError for an impossible number.
    """
    _check_period(period, count("periods", periods, least=1))
    _lost_cu(cost_cu, salvage_cu)
    part = min(1.0, positive("factor", factor) / periods)
    book_cu: float = max(cost_cu * (1.0 - part) ** (period - 1), salvage_cu)
    return min(book_cu * part, book_cu - salvage_cu)


def fixed_declining_cu(
    cost_cu: float, salvage_cu: float, periods: int, period: int, first_year_months: int = 12
) -> float:
    """Return a period's amount at the fixed rate that leads to the salvage value, rounded to 3 decimals.

    A first year of fewer than 12 months is written off in part; then one more period, of the remaining months, follows.

    Raises ValueError for an impossible number.
    """
    months = count("first_year_months", first_year_months, least=1)
    last = count("periods", periods, least=1) + (months < 12)
    _check_period(period, last)
    _lost_cu(cost_cu, salvage_cu)
    rate: float = round(1.0 - (salvage_cu / positive("cost_cu", cost_cu)) ** (1.0 / periods), 3)
    book_cu = cost_cu
    for _ in range(1, period):
        book_cu -= book_cu * rate * (months / 12.0 if book_cu == cost_cu else 1.0)
    if period == 1:
        return cost_cu * rate * months / 12.0
    return book_cu * rate * ((12 - months) / 12.0 if period > periods else 1.0)


def _lost_cu(cost_cu: float, salvage_cu: float) -> float:
    if not_negative("salvage_cu", salvage_cu) > not_negative("cost_cu", cost_cu):
        raise ValueError(f"salvage_cu must be at most the cost of {cost_cu:g}, found {salvage_cu!r}")
    return cost_cu - salvage_cu


def _check_period(period: int, last: int) -> None:
    if not 1 <= period <= last:
        raise ValueError(f"period must be from 1 to {last}, found {period!r}")
