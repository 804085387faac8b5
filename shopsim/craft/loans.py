"""Loans, leases and savings at a constant rate: the five numbers of an annuity, each from the other four.

`rate` is a share a period, payments fall at the end of each period, received is positive and paid negative, as in
spreadsheets: present + payments + future, all valued at one moment, add up to 0.
"""

from __future__ import annotations

from math import log

from shopsim.craft._limits import positive


def _growth(rate: float, periods: float) -> tuple[float, float]:
    """What 1 grows to, and what 1 a period grows to."""
    if rate <= -1.0:
        raise ValueError(f"rate must be above -1, found {rate!r}")
    grown = (1.0 + rate) ** positive("periods", periods)
    return grown, (grown - 1.0) / rate if rate else periods


def payment_cu(rate: float, periods: float, present_cu: float, future_cu: float = 0.0) -> float:
    """Return the payment a period. Raises ValueError for an impossible number."""
    grown, series = _growth(rate, periods)
    return -(present_cu * grown + future_cu) / series


def future_value_cu(rate: float, periods: float, payment_cu: float, present_cu: float) -> float:
    """Return what is there (or owed, negative) after the last period. Raises ValueError for an impossible number."""
    grown, series = _growth(rate, periods)
    return -(present_cu * grown + payment_cu * series)


def present_value_cu(rate: float, periods: float, payment_cu: float, future_cu: float = 0.0) -> float:
    """Return what the payments and the last amount are worth at the start. Raises ValueError if impossible."""
    grown, series = _growth(rate, periods)
    return -(future_cu + payment_cu * series) / grown


def periods_needed(rate: float, payment_cu: float, present_cu: float, future_cu: float = 0.0) -> float:
    """Return the periods until the last amount is reached, not rounded.

    Raises ValueError for an impossible rate and for payments that never get there.
    """
    if rate <= -1.0:
        raise ValueError(f"rate must be above -1, found {rate!r}")
    if rate == 0.0:
        reached = -(future_cu + present_cu) / payment_cu if payment_cu else -1.0
    else:
        above, below = payment_cu - future_cu * rate, payment_cu + present_cu * rate
        reached = log(above / below) / log(1.0 + rate) if below and above / below > 0 else -1.0
    if reached < 0:
        raise ValueError(f"payment_cu of {payment_cu:g} never gets there")
    return reached


def interest_cu(rate: float, period: int, periods: int, present_cu: float) -> float:
    """Return the interest part of the payment of one period, counted from 1; the rest of it pays back.

    Raises ValueError for an impossible number.
    """
    if not 1 <= period <= periods:
        raise ValueError(f"period must be from 1 to {periods}, found {period!r}")
    each = payment_cu(rate, periods, present_cu)
    owed = future_value_cu(rate, period - 1, each, present_cu) if period > 1 else -present_cu
    return owed * rate
