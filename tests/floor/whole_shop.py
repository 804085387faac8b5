"""A small shop with everything random switched on, for tests of what must be exactly equal."""

from __future__ import annotations

import copy
import datetime
import hashlib
from typing import Any

from shopsim.floor.run import simulate
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import check_values

DAYS = ["mon", "tue", "wed", "thu", "fri"]
Values = dict[str, Any]


def shift(name: str, hours: str) -> Values:
    return {"id": name, "weeks": [{"blocks": [{"days": DAYS, "hours": hours}]}]}


def printer(name: str) -> Values:
    return {"id": name, "modes": [{"id": "fine", "passes": 4}]}


_AFTER_PRINT = [
    {"op": "cut", "at": "cutting"},
    {"op": "sew", "at": "sewing", "all_edges": "hem"},
    {"op": "iron", "at": "finishing", "share_pct": 50.0},
    {"op": "rest", "minutes": [5, 10, 30]},
    {"op": "inspect", "at": "finishing"},
    {"op": "pack", "at": "finishing"},
]
_SHOP: Values = {
    "shop": {"name": "whole", "starts": datetime.date(2026, 3, 2)},
    "fabrics": [
        {"id": "cloth", "family": "front_lit", "stock": {"rolls": 2, "reorder_at_rolls": 2, "order_rolls": 3}},
        {"id": "knit", "family": "flag_knit", "may_turn": True},
    ],
    "printers": [printer("press")],
    "work_centres": [
        {"id": "cutting", "kind": "cutting", "method": "flatbed_knife", "spread": [0.7, 1.0, 1.3]},
        {"id": "sewing", "kind": "sewing", "seats": 3, "spread": [0.8, 0.95, 1.25], "set_up_min": [0, 1, 4],
         "stops": {"every_running_h": 20.0}},
        {"id": "finishing", "kind": "finishing", "seats": 2, "spread": {"exponential": {"mean": 1.0}}},
    ],
    "shifts": [shift("day", "07:00-15:30"), shift("late", "12:00-20:00")],
    "crews": [
        {"id": "hands", "count": 2, "skills": {"printing": 3, "cutting": 2}, "shift": "day", "absence": {}},
        {"id": "sewers", "count": 2, "skills": {"sewing": 3}, "shift": "day", "pace_spread_pct": 10.0,
         "absence": {"new_spell_pct_per_day": 10.0}},
        {"id": "packers", "count": 2, "skills": {"finishing": 3, "helper": 3}, "shift": "late",
         "absence": {"new_spell_pct_per_day": 10.0}},
    ],
    "products": [
        {"id": "frame", "fabric": "cloth", "size_range": {"area_m2": [1, 2, 5], "width_over_height": [0.5, 1.0, 1.5]},
         "bundle_pieces": 3, "route": [{"op": "print", "mode": "fine"}, *_AFTER_PRINT]},
        {"id": "flag", "fabric": "knit",
         "sizes": [{"width_m": 1.5, "height_m": 1.0}, {"width_m": 1.2, "height_m": 3.0}],
         "route": [{"op": "print", "mode": "fine"}, *_AFTER_PRINT]},
        {"id": "service", "route": [{"op": "work", "at": "sewing", "minutes": {"exponential": {"mean": 9.0}}}]},
    ],
    "demand": {
        "forecast": {
            "orders_per_week": 40.0, "campaigns": [{"product": "flag", "per_month": 4.0, "pieces": [10, 20, 30]}],
            "mix": [{"product": "frame", "share_pct": 60.0}, {"product": "flag", "share_pct": 30.0},
                    {"product": "service", "share_pct": 10.0}],
        },
        "artwork": {"check_at": "finishing"},
        "cancellations": {},
        "hire_fleets": [{"product": "service", "pieces": 3, "out_h": {"exponential": {"mean": 40.0}}}],
    },
    "policies": {"quality": {"print_fault_pct": 15.0, "cut_loss_pct": 5.0, "sewing_fault_pct": 10.0}},
    "study": {"weeks": 4, "opening": "empty", "seed": 7},
}  # fmt: skip


def values() -> Values:
    """The shop as a file would give it, to be changed freely."""
    return copy.deepcopy(_SHOP)


def whole_shop(weeks: float = 4) -> Scenario:
    """The shop as it stands."""
    shop = values()
    shop["study"]["weeks"] = weeks
    return check_values(shop, "whole shop")


def fingerprint_of(replication: int) -> str:
    """Digest of all records of one replication, short enough to come back from a worker process."""
    return hashlib.sha256(simulate(whole_shop(), (), replication).fingerprint()).hexdigest()


if __name__ == "__main__":
    print(fingerprint_of(0))  # noqa: T201
