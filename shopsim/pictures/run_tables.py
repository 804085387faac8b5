"""Tables for pictures of the shop as it stands, from replications and from the scenario itself."""

from __future__ import annotations

import math
from collections.abc import Iterable
from typing import Any

import pandas as pd

from shopsim.measures.lead_times import LEAD_SHARES
from shopsim.shop.demand import Forecast
from shopsim.shop.load_rows import LoadRow
from shopsim.studies.precision import Interval
from shopsim.studies.replicate import Replications
from shopsim.studies.replication import Replication


def split_table(found: Replications) -> pd.DataFrame:
    """For `time_split`: kind, id, state, share and unattended_share, means over replications.

    For places the unattended share is that of unfinished pieces that hold their seat while the place is closed.
    """
    rows: list[tuple[str, str, str, float, float]] = []
    for kind, name, state in {key: None for row in found.rows for key in row.states}:
        share = found.interval("states", (kind, name, state)).mean
        # Another kind may bear a printer's name.
        alone = [
            row.unattended.get((name, state), 0.0) if kind == "printer"
            else _closed_share(row, name) if (kind, state) == ("place", "set_aside") else 0.0
            for row in found.rows
        ]  # fmt: skip
        rows.append((kind, name, state, share, sum(alone) / len(alone)))
    return pd.DataFrame(rows, columns=["kind", "id", "state", "share", "unattended_share"])


def _closed_share(row: Replication, place: str) -> float:
    """Share of the week in which pieces lie aside at a place that is closed; all of it for one never worked at."""
    aside, busy, idle, blocked = (
        row.states.get(("place", place, state), 0.0) for state in ("set_aside", "busy", "idle", "blocked")
    )
    of_open = row.measures.get(f"busy_share.{place}", math.nan)
    # The share of the week in which it is open follows from what is at work of both.
    lying_open = busy / of_open - busy - idle - blocked if of_open > 0 else 0.0
    return aside - min(aside, max(0.0, lying_open))


def lead_table(found: Replications) -> pd.DataFrame:
    """For `lead_time_curve`: share, days, low_days, high_days."""
    each = [found.each(lambda row, i=i: row.lead_days[i]) for i in range(len(LEAD_SHARES))]  # type: ignore[misc]
    return _with_intervals({"share": LEAD_SHARES}, each, ("days", "low_days", "high_days"))


def usual_promise(found: Replications) -> float | None:
    """For `lead_time_curve`: days from receipt within which half of the orders were promised; None without orders."""
    days = found.interval("measures", "promised_p50_h").mean / 24
    return days if math.isfinite(days) else None


def in_shop_table(found: Replications) -> pd.DataFrame:
    """For `orders_in_shop`: day, orders, low, high."""
    days = range(len(found.rows[0].in_shop_by_day)) if found.rows else range(0)
    each = [found.each(lambda row, i=i: row.in_shop_by_day[i]) for i in days]  # type: ignore[misc]
    return _with_intervals({"day": days}, each, ("orders", "low", "high"))


def why_late_table(found: Replications) -> pd.DataFrame:
    """For `why_late`: whose, reason, hours."""
    keys: list[Any] = found.keys("reasons_h")
    rows = [(whose, reason, found.interval("reasons_h", (whose, reason)).mean) for whose, reason in keys]
    return pd.DataFrame(rows, columns=["whose", "reason", "hours"])


def waste_table(found: Replications) -> pd.DataFrame:
    """For `waste_by_cause`: cause, m2_per_week, low, high."""
    keys: list[Any] = [key for key in found.keys("web_per_week") if key[1] == "m2"]  # type: ignore[index]
    each = [found.interval("web_per_week", key) for key in keys]
    return _with_intervals({"cause": [cause for cause, _ in keys]}, each, ("m2_per_week", "low", "high"))


def load_table(loads: Iterable[LoadRow]) -> pd.DataFrame:
    """For `load_against_capacity`: id, limit, share, peak_share."""
    rows = [
        (load.name, load.limit, *(math.inf if pct is None else pct / 100 for pct in (load.load_pct, load.worst_pct)))
        for load in loads
    ]
    return pd.DataFrame(rows, columns=["id", "limit", "share", "peak_share"])


def forecast_table(demand: Forecast, over: str) -> pd.DataFrame:
    """For `forecast`: orders a week in each month (`year`), on each weekday (`week`) or in each hour of an average day
    (`day`), campaigns left out. Raises ValueError for another `over`."""
    base = demand.orders_per_week
    if over == "year":
        return pd.DataFrame({"at": range(1, 13), "orders": [base * index for index in _months(demand)]})
    if over not in ("week", "day"):
        raise ValueError(f"over must be year, week or day, found {over!r}")
    shares = demand.weekday_shares if over == "week" else demand.hour_shares
    if demand.evenly_spread:
        shares = (1.0,) * len(shares)
    whole = base if over == "week" else base / 7
    return pd.DataFrame({"at": range(len(shares)), "orders": [whole * share / sum(shares) for share in shares]})


def _months(demand: Forecast) -> tuple[float, ...]:
    if demand.evenly_spread:
        return (1.0,) * 12
    mean = sum(demand.month_index) / 12
    return tuple(index / mean for index in demand.month_index)


def _with_intervals(
    columns: dict[str, Iterable[Any]], each: list[Interval], names: tuple[str, str, str]
) -> pd.DataFrame:
    mean, low, high = names
    return pd.DataFrame({
        **{name: list(values) for name, values in columns.items()},
        mean: [one.mean for one in each], low: [one.low for one in each], high: [one.high for one in each],
    })  # fmt: skip
