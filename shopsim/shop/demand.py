"""Demand on paper: a forecast, an order book, a fleet that comes back, or the first two in turn."""

from __future__ import annotations

import datetime
from typing import Annotated

from pydantic import Field, model_validator

from shopsim.shop.base import Base, Id, Label, NotNegative, Percent, Positive, Spread, row

# DEM-16 and DEM-19; DEM-17 as shares of an average open day, one number an hour from 00:00.
WEEKDAY_SHARES = (21.0, 22.0, 21.0, 19.0, 14.0, 2.0, 1.0)
MONTH_INDEX = (1.05, 1.10, 1.20, 1.05, 1.15, 1.00, 0.75, 0.80, 1.25, 1.15, 0.95, 0.55)
HOUR_SHARES = (0, 0, 0, 0, 0, 0, 1, 3, 7, 10, 13, 13, 7, 8, 12, 12, 8, 4, 1, 1, 0, 0, 0, 0)
Shares = tuple[Annotated[float, Field(ge=0, le=1e6)], ...]


class MixLine(Base):
    """A product's share of order lines (a weight) and its pieces a line, rounded up to at least one."""

    product: Id
    share_pct: Positive
    pieces: Spread = row({"log_normal": {"median": 2, "p90": 8}}, "DEM-01..08", validate_default=True)


class Campaign(Base):
    """Roll-outs: many pieces of one product at once."""

    product: Id
    per_month: NotNegative = row(1, "DEM-21", 0.3, 4)
    pieces: Spread = row([50.0, 120.0, 500.0], "DEM-21", validate_default=True)
    lead_days: NotNegative = 12


class Artwork(Base):
    """What happens before release: faults in files, corrected files, approval."""

    new_file_pct: Percent = row(55, "DEM-22", 35, 75)
    check_at: Id | None = None
    check_new_min: Spread = row([3.0, 8.0, 25.0], "PRE-01", validate_default=True)
    check_repeat_min: Spread = row([1.0, 2.0, 4.0], "PRE-01", validate_default=True)
    set_up_min: Spread = row([3.0, 6.0, 15.0], "PRE-02", validate_default=True)
    sent_back_pct: Percent = row(18, "PRE-06", 8, 35)
    corrected_after_h: Spread = row({"log_normal": {"median": 5, "p90": 30}}, "PRE-07", validate_default=True)
    approval_after_h: Spread = row({"log_normal": {"median": 3, "p90": 26}}, "PRE-08", validate_default=True)


class Cancellations(Base):
    before_print_pct: Percent = row(3, "DEM-23", 1, 6)
    after_print_pct: Percent = row(0.5, "DEM-23", 0.2, 1)


class Forecast(Base):
    """Orders by rate: base x month x weekday x hour, more scattered from day to day than chance when
    `day_to_day_dispersion` (variance over mean of daily counts, DEM-18) is above 1."""

    orders_per_week: NotNegative
    starts: datetime.date | None = None
    month_index: Shares = Field(default=MONTH_INDEX, min_length=12, max_length=12)
    weekday_shares: Shares = Field(default=WEEKDAY_SHARES, min_length=7, max_length=7)
    hour_shares: Shares = Field(default=HOUR_SHARES, min_length=24, max_length=24)
    day_to_day_dispersion: float = row(1.8, "DEM-18", 1, 3, ge=1, le=50)
    evenly_spread: bool = False
    """A plain Poisson stream all week: no month, weekday, hour or day-to-day pattern (for tests of theory)."""
    mix: tuple[MixLine, ...] = Field(min_length=1, max_length=100)
    lines_per_order: Spread = row({"discrete": {"values": [1, 2, 3, 4, 6], "weights": [68, 18, 8, 4, 2]}}, "DEM-12",
                                  validate_default=True)  # fmt: skip
    lead_days: Spread = row([3.0, 5.0, 8.0], "DEM-13", validate_default=True)
    rush_pct: Percent = row(15, "DEM-14", 8, 40)
    rush_lead_days: Spread = row([1.0, 2.0, 3.0], "DEM-13", validate_default=True)
    campaigns: tuple[Campaign, ...] = Field(default=(), max_length=50)

    @model_validator(mode="after")
    def _has_rates(self) -> Forecast:
        for name in ("month_index", "weekday_shares", "hour_shares"):
            if sum(getattr(self, name)) <= 0:
                raise ValueError(f"`{name}` must have at least one value above 0")
        return self


class OrderBookFile(Base):
    """Orders from a file beside the scenario (CSV or XLSX)."""

    file: Annotated[str, Field(min_length=1, max_length=300)]


class HireFleet(Base):
    """A fixed number of pieces out on hire; each comes back for work after `out_h`, and goes out again when shipped."""

    product: Id
    pieces: int = Field(ge=1, le=10_000)
    out_h: Spread
    lead_days: NotNegative = 5


class Demand(Base):
    """At least one source. With both an order book and a forecast, give the forecast a `starts` date."""

    forecast: Forecast | None = None
    order_book: OrderBookFile | None = None
    hire_fleets: tuple[HireFleet, ...] = Field(default=(), max_length=50)
    artwork: Artwork | None = None
    cancellations: Cancellations | None = None
    lead_from_approval: bool = row(True, "DEM-13")
    note: Label = ""

    @model_validator(mode="after")
    def _some_source(self) -> Demand:
        if self.forecast is None and self.order_book is None and not self.hire_fleets:
            raise ValueError("give `forecast`, `order_book` or `hire_fleets`")
        if self.order_book is not None and self.forecast is not None and self.forecast.starts is None:
            raise ValueError("with an order book the forecast needs `starts`, the date from which it takes over")
        return self
