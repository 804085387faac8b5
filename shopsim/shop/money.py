"""Money on paper: what the shop pays and earns beyond wages, machines and fabrics, and how the study is run."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from shopsim.shop.base import Base, Label, NotNegative, Percent, row


class Money(Base):
    """In one currency, named for labels only."""

    currency: Label = "CU"
    energy_per_kwh: NotNegative = row(0.20, "CST-05", 0.09, 0.28)
    rent_per_m2_month: NotNegative = row(8, "CST-08", 4, 16)
    other_floor_m2: NotNegative = 0
    packing_and_freight_per_order: NotNegative = 12
    minimum_order: NotNegative = row(40, "CST-10", 20, 90)
    rush_surcharge_pct: float = row(25, "DEM-15", 15, 100, ge=0, le=500)
    late_penalty_pct: Percent = row(0, "CST-13", 0, 30)
    late_penalty_pct_per_day: Percent = row(0, "CST-13", 0, 1)
    late_penalty_max_pct: Percent = row(10, "CST-13", 0, 100)


class Study(Base):
    """How long, how often, how sure. `opening` says how the shop starts and is repeated with every answer.

    `empty`: a new season or order book begins with nothing in work. `warm`: a long-run study that leaves out the first
    `warm_up_weeks`.
    """

    weeks: float = Field(default=13, gt=0, le=1100)
    opening: Literal["empty", "warm"] = "warm"
    warm_up_weeks: NotNegative = 2
    replications: int = Field(default=10, ge=1, le=100_000)
    seed: int = Field(default=1, ge=0, le=2**32 - 1)
    confidence_pct: float = Field(default=95, ge=50, le=99.99)
    on_time_target_pct: Percent = 95
