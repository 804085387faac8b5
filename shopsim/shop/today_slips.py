"""What may be as told of a morning, but is more likely a slip."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from shopsim.shop.located_faults import Fault
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_model import Today

_LONGEST_DOWN_DAYS = 60
_LONG_AGO_DAYS = 120


def unusual_today(today: Today, scenario: Scenario) -> list[Fault]:
    """Every slip, as paths with messages. `today` is sound."""
    return [*_orders(today), *_printers(today, scenario), *_cloth(today, scenario)]


def _orders(today: Today) -> Iterator[Fault]:
    for i, order in enumerate(today.orders):
        if order.due < today.now.date() and order.stage != "complete":
            yield ("orders", i, "due"), f"was due {order.due}, before today: it is late already"
        if today.now - order.received > datetime.timedelta(days=_LONG_AGO_DAYS):
            yield ("orders", i, "received"), f"received more than {_LONG_AGO_DAYS} days ago: is it really still open?"


def _printers(today: Today, scenario: Scenario) -> Iterator[Fault]:
    lengths = {fabric.id: fabric.roll_length_m for fabric in scenario.fabrics}
    for i, told in enumerate(today.printers):
        if told.fabric is not None and (told.metres_left or 0) > lengths[told.fabric]:
            yield ("printers", i, "metres_left"), f"more than a full roll of {lengths[told.fabric]:g} m"
        if told.down_until is not None and told.down_until - today.now > datetime.timedelta(days=_LONGEST_DOWN_DAYS):
            yield ("printers", i, "down_until"), f"down for more than {_LONGEST_DOWN_DAYS} days"


def _cloth(today: Today, scenario: Scenario) -> Iterator[Fault]:
    lengths = {fabric.id: fabric.roll_length_m for fabric in scenario.fabrics}
    for i, cloth in enumerate(today.cloth):
        for j, rolls in enumerate(cloth.arriving):
            if rolls.on < today.now.date():
                yield ("cloth", i, "arriving", j, "on"), f"{rolls.on} is over: rolls that are not here yet come now"
        if any(metres > lengths[cloth.fabric] for metres in cloth.remnants_m):
            yield ("cloth", i, "remnants_m"), f"a begun roll has less than {lengths[cloth.fabric]:g} m"
