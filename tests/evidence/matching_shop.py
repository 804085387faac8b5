"""A small, fast shop with a known truth, its record, and named wrong models of it: what `match` must tell apart."""

from __future__ import annotations

import copy
import datetime
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np

from shopsim.clock import MINUTES_PER_DAY, date_of
from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.order_table import OrderMaker
from shopsim.floor.record import KIND
from shopsim.floor.run import simulate
from shopsim.measures.facts import Facts
from shopsim.measures.outcomes import order_outcomes_from
from shopsim.shop.order_rows import OrderLine, cell_text
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import check_values

Values = dict[str, Any]
Rows = list[dict[str, Any]]
DAYS = ["mon", "tue", "wed", "thu", "fri"]
MONDAY = datetime.date(2026, 1, 5)
# Orders of the record come from streams of one seed, runs of the model from those of another.
_MODEL_SEED = 1_000_000

# The truth: sewing is the constraint, the printer breaks down now and then for most of a day.
TRUE: Values = {
    "shop": {"name": "matched", "starts": MONDAY},
    "fabrics": [{"id": "knit", "family": "front_lit", "stock": {"rolls": 30, "reorder_at_rolls": 20,
                                                                         "order_rolls": 20}}],
    "printers": [{
        "id": "press", "modes": [{"id": "std", "area_rate_m2_per_h": 25.0, "achieved_share": 0.9}],
        "fixation": {"kind": "inline", "plate_m": 1.2}, "nozzle_check": None, "first_article": None,
        "minor_stops": None, "attention_pct": 0.0,
        "care": {"daily_min": 0.0, "weekly_min": 0.0, "service_every_days": None},
        "breakdowns": {"every_running_h": 9.0,
                       "repairs": [{"share_pct": 100.0, "hours": {"gamma": {"mean": 6.0, "cv": 0.5}}}]},
    }],
    "work_centres": [
        {"id": "sewing", "kind": "sewing", "seats": 2, "spread": [0.7, 1.0, 1.3]}, {"id": "packing", "kind": "packing"},
    ],
    "shifts": [{"id": "day", "weeks": [{"blocks": [{"days": DAYS, "hours": "07:00-15:30",
                                                   "breaks": ["12:00-12:30"]}]}]}],
    "crews": [
        {"id": "printer", "skills": {"printing": 3}, "shift": "day"},
        {"id": "sewers", "count": 2, "skills": {"sewing": 3}, "shift": "day", "efficiency_pct": 80.0,
         "absence": {"new_spell_pct_per_day": 1.0, "spell_days": 2.0}},
        {"id": "packer", "skills": {"packing": 3}, "shift": "day"},
    ],
    "products": [
        {"id": "frame", "fabric": "knit", "sizes": [{"width_m": 2.8, "height_m": 1.2}], "bundle_pieces": 4,
         "route": [{"op": "print", "mode": "std"}, {"op": "sew", "at": "sewing", "minutes": 25.0},
                   {"op": "pack", "at": "packing"}]},
    ],
    "demand": {"forecast": {
        "orders_per_week": 30.0, "day_to_day_dispersion": 1.5, "rush_pct": 0.0, "month_index": [1.0] * 12,
        "mix": [{"product": "frame", "share_pct": 1.0, "pieces": {"log_normal": {"median": 3.0, "p90": 7.0}}}],
        "lines_per_order": 1.0, "lead_days": {"discrete": {"values": [3.0, 4.0, 6.0], "weights": [3.0, 5.0, 2.0]}},
    }},
    "policies": {"quality": {"print_fault_pct": 5.0, "cut_loss_pct": 0.0, "sewing_fault_pct": 0.0}},
    "study": {"weeks": 10.0, "opening": "empty", "seed": 1},
}  # fmt: skip


def _slower_sewing(values: Values) -> None:
    values["products"][0]["route"][1]["minutes"] *= 1.2


def _no_breakdowns(values: Values) -> None:
    values["printers"][0]["breakdowns"] = None


def _longer_shift(values: Values) -> None:
    values["shifts"][0]["weeks"][0]["blocks"][0]["hours"] = "07:00-17:00"


MODELS = {
    "true": lambda values: None, "sewing 20 % slower": _slower_sewing, "no breakdowns": _no_breakdowns,
    "wrong shift": _longer_shift,
}  # fmt: skip


def shop(seed: int, weeks: float, model: str = "true") -> Scenario:
    """The shop as it is, or as a named model has it."""
    values = copy.deepcopy(TRUE)
    values["study"] |= {"seed": seed, "weeks": weeks}
    MODELS[model](values)
    return check_values(values, model)


def model_of(seed: int, model: str) -> Scenario:
    """A model to be matched with the record of a seed: its luck is its own."""
    return shop(_MODEL_SEED + seed, 1.0, model)


class Happened(NamedTuple):
    """The true shop's order list and its work log of the sewing room: rows of our own columns."""

    orders: Rows
    work_log: Rows


def recorded_orders(scenario: Scenario, facts: Facts, book: Sequence[OrderLine] = ()) -> Rows:
    """The order list of a run, a row a line, with the time at which each order was sent out."""
    out, _ = order_outcomes_from(facts)
    start = scenario.shop.starts
    made: Rows = []
    for number, order in enumerate(OrderMaker(scenario, book, ReplicationDraws(scenario.study.seed, 0)).make()):
        for line in order.lines:
            row = {
                "order_id": f"A{number}", "received": _time(order.received, start),
                "due": _time(order.due, start).date(), "product": scenario.products[line.product].id,
                "pieces": line.pieces, "width_m": line.width_m, "height_m": line.height_m, "rush": order.rush,
            }  # fmt: skip
            made.append(row | ({"shipped": _time(out[number], start)} if np.isfinite(out[number]) else {}))
    return made


def happened(seed: int, weeks: float) -> Happened:
    """So many weeks of the true shop on record."""
    scenario = shop(seed, weeks)
    log = simulate(scenario, (), 0)
    facts = Facts(log, scenario)
    orders = recorded_orders(scenario, facts)
    columns = ("kind", "start", "end", "worked_min", "pieces")
    work: Rows = [
        {
            "place": "sewing",
            "product": "frame",
            "ticket": f"T{number}",
            "start": _time(start),
            "end": _time(end),
            "minutes": float(minutes),
            "pieces": int(pieces),
        }
        for number, (kind, start, end, minutes, pieces) in enumerate(
            zip(*(facts.column("operations", name) for name in columns), strict=True)
        )
        if int(kind) == KIND["sew"] and end < scenario.horizon_min
    ]
    return Happened(orders, work)


def _time(minute: float, start: datetime.date = MONDAY) -> datetime.datetime:
    day = datetime.datetime.combine(date_of(minute, start), datetime.time())
    return day + datetime.timedelta(seconds=round(minute % MINUTES_PER_DAY * 60))


def write_record(folder: Path, record: Happened) -> dict[str, Path]:
    """The record as files in our own columns."""
    paths = {}
    for table, rows in (("orders", record.orders), ("work_log", record.work_log)):
        names = list(dict.fromkeys(name for row in rows for name in row))
        lines = [",".join(names), *(",".join(cell_text(row.get(name)) for name in names) for row in rows)]
        paths[table] = folder / f"{table}.csv"
        paths[table].write_text("\n".join(lines) + "\n", encoding="utf-8")
    return paths
