"""What a change costs before it brings in anything, in a line: what a payback is going to be worked out with."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.studies.cash_flow import Spending


def spending_told(spending: Spending, currency: str) -> str:
    """``230,000 CU at the start, in use for 7 years, 44,000 CU at resale, 40 hours of training, …``."""
    return ", ".join(_parts(spending, currency))


def _parts(spending: Spending, currency: str) -> Iterator[str]:
    yield f"{spending.once_cu:,.0f} {currency} at the start" if spending.once_cu else "nothing paid at the start"
    yield f"in use for {spending.life_years:.3g} years"
    yield f"{spending.resale_cu:,.0f} {currency} at resale" if spending.resale_cu else "no resale"
    yield f"{spending.training_h:g} hours of training" if spending.training_h else "no training"
    if spending.ramp_up_weeks:
        yield f"{spending.ramp_up_weeks:g} weeks at {spending.ramp_up_share * 100:.3g} % of its gain until in full use"
    if spending.per_year_cu:
        more = "more" if spending.per_year_cu > 0 else "less"
        yield f"{abs(spending.per_year_cu):,.0f} {currency} {more} a year"
