"""Replications made by hand, to see which sentence they lead to."""

import datetime
from collections.abc import Sequence
from typing import Any

from shopsim.shop.scenario import Scenario
from shopsim.studies.replicate import Replications
from shopsim.studies.replication import Replication


def scenario(**study: Any) -> Scenario:
    """A shop with a printer, a place and a crew; nothing of it runs."""
    return Scenario.model_validate({
        "shop": {"name": "Hand-made", "starts": datetime.date(2026, 1, 5)},
        "fabrics": [{"id": "knit", "family": "front_lit"}],
        "printers": [{"id": "printer_1", "modes": [{"id": "std", "passes": 4}]}],
        "work_centres": [{"id": "sewing_room", "kind": "sewing"}],
        "shifts": [{"id": "day", "weeks": [{"blocks": [{"days": ["mon"], "hours": "07:00-15:00"}]}]}],
        "crews": [{"id": "new_sewers", "skills": {"sewing": 3, "printing": 3}, "shift": "day"}],
        "products": [{"id": "flag", "route": [{"op": "work", "at": "sewing_room", "minutes": 1}]}],
        "demand": {"forecast": {"orders_per_week": 1, "mix": [{"product": "flag", "share_pct": 1}]}},
        "study": study,
    })  # fmt: skip


def replications(
    on_time: Sequence[float], median_h: Sequence[float], shares: dict[str, Sequence[float]], **study: Any
) -> Replications:
    """One replication for each value of `on_time`."""
    rows = tuple(
        Replication(
            i, {"on_time_share": on_time[i], "lead_time_p50_h": median_h[i]}, {}, {},
            {name: values[i] for name, values in shares.items()}, {}, {}, {},
        )
        for i in range(len(on_time))
    )  # fmt: skip
    return Replications(scenario(**study), rows)
