"""The whole shop on paper: one frozen value, read from one file, never edited.

`Scenario` holds the parts; `shopsim.shop.cross_checks` finds what no part can see alone (dangling ids, pieces wider
than any web, work nobody can do). A what-if is another `Scenario`.
"""

from __future__ import annotations

import datetime
import hashlib
import json
from functools import cached_property
from typing import Any

from pydantic import Field

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.shop.base import Base, Label
from shopsim.shop.demand import Demand
from shopsim.shop.materials import Fabric, Supplies
from shopsim.shop.money import Money, Study
from shopsim.shop.people import Closure, Crew, Shift
from shopsim.shop.policies import Policies
from shopsim.shop.printers import Calender, Printer
from shopsim.shop.products import Product
from shopsim.shop.work_centres import WorkCentre


class About(Base):
    """Name of the shop and the Monday at which minute 0 of the simulation lies."""

    name: Label
    starts: datetime.date
    note: str = Field(default="", max_length=5000)


class Scenario(Base):
    """A shop, its orders and its house rules; ids are unique across all parts."""

    shop: About
    fabrics: tuple[Fabric, ...] = Field(default=(), max_length=200)
    supplies: Supplies = Supplies()
    printers: tuple[Printer, ...] = Field(default=(), max_length=100)
    calenders: tuple[Calender, ...] = Field(default=(), max_length=20)
    work_centres: tuple[WorkCentre, ...] = Field(default=(), max_length=100)
    shifts: tuple[Shift, ...] = Field(min_length=1, max_length=100)
    crews: tuple[Crew, ...] = Field(min_length=1, max_length=200)
    closed: tuple[Closure, ...] = Field(default=(), max_length=400)
    products: tuple[Product, ...] = Field(min_length=1, max_length=500)
    demand: Demand
    policies: Policies = Policies()
    money: Money = Money()
    study: Study = Study()

    @property
    def horizon_min(self) -> float:
        """Minutes simulated: warm-up and study weeks together."""
        return self.warm_up_min + self.study.weeks * MINUTES_PER_WEEK

    @property
    def warm_up_min(self) -> float:
        """Minutes left out at the start; 0 when the shop opens empty."""
        return self.study.warm_up_weeks * MINUTES_PER_WEEK if self.study.opening == "warm" else 0.0

    @cached_property
    def closed_days(self) -> frozenset[int]:
        """Numbers of the days (0 = the start Monday) on which the shop is closed."""
        return frozenset(
            (closure.first - self.shop.starts).days + offset
            for closure in self.closed
            for offset in range((closure.last - closure.first).days + 1)
        )

    def by_id(self, kind: str) -> dict[str, Any]:
        """The items of one list (`"fabrics"`, `"printers"`, ...) by id."""
        return {item.id: item for item in getattr(self, kind)}

    @cached_property
    def content_hash(self) -> str:
        """sha256 over all values, defaults included: scenarios of one hash run alike, however their files look."""
        # Keys are not sorted: the first of a crew's skills is its home, and the floor goes by it.
        body = json.dumps(self.model_dump(mode="json"), separators=(",", ":"), allow_nan=False)
        return hashlib.sha256(body.encode()).hexdigest()
