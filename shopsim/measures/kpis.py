"""One row of floats per replication: every measure a study compares, named and explained in `measure_names`.

A value is NaN where the thing does not exist in the window (no order dispatched, no print, a place never open), never
0 instead; no NaN goes into a mean.
"""

from __future__ import annotations

import numpy as np

from shopsim.floor.record import KIND, RunLog
from shopsim.measures.busy_time import (
    crew_busy_shares,
    handover_min,
    place_blocked_shares,
    place_busy_shares,
    printer_times,
    reprint_share,
    unattended_hot_min,
)
from shopsim.measures.costs import costs_from, dispatched_m2, energy_kwh
from shopsim.measures.facts import PRINT_ROOM, Facts
from shopsim.measures.intervals import Floats, summed
from shopsim.measures.iso_terms import ratio
from shopsim.measures.lead_times import promised_days_from
from shopsim.measures.waste import pieces_m2, used_m2
from shopsim.measures.yields import first_pass_yields_of
from shopsim.shop.scenario import Scenario


def measures_of(log: RunLog, scenario: Scenario) -> dict[str, float]:
    """All measures of one replication over [warm_up_min, horizon_min).

    `wait_mean_h.print room` is the pieces' wait for a printer, gang wait included. A printer is busy while it prints,
    feeds its tail or is set up. An order turned away counts as received, and nowhere else but among those turned away:
    nobody promised a date for it, so it is neither on time nor late, and it brings no money.
    """
    return measures_from(Facts(log, scenario))


def measures_from(facts: Facts) -> dict[str, float]:
    """As `measures_of`, from facts at hand."""
    return {
        **_order_measures(facts),
        **_due_measures(facts),
        **_print_measures(facts),
        **_money_measures(facts),
        **_waits(facts),
        **_busy_shares(facts),
    }


def _order_measures(facts: Facts) -> dict[str, float]:
    window, gone = facts.window, facts.dispatched
    received = facts.column("orders", "received")
    came = window.holds(received)
    held_back = window.clipped(facts.column("release_waits", "start"), facts.column("release_waits", "end"))
    lead_h = (facts.left - received)[gone] / 60
    some = len(lead_h) > 0
    median, p90 = np.quantile(lead_h, (0.5, 0.9)).tolist() if some else (np.nan, np.nan)
    return {
        "orders_received_per_week": int(came.sum()) / window.weeks,
        "orders_per_week": len(lead_h) / window.weeks,
        "lead_time_mean_h": float(lead_h.mean()) if some else np.nan,
        "lead_time_p50_h": median,
        "lead_time_p90_h": p90,
        "promised_p50_h": promised_days_from(facts) * 24,
        "work_in_process_orders": float(window.clipped(received, facts.left).sum() - held_back.sum()) / window.minutes,
        "held_back_orders": float(held_back.sum()) / window.minutes,
        "turned_away_orders": float((came & facts.turned_away).sum()),
        "turned_away_share": ratio(float((came & facts.turned_away).sum()), float(came.sum())),
        "cancelled_orders": float((window.holds(facts.left) & facts.cancelled).sum()),
        "claims_share": ratio(float((facts.column("orders", "claims")[gone] > 0).sum()), len(lead_h)),
        "lot_broken_orders": float(facts.column("orders", "lot_broken")[gone].sum()),
    }


def due_orders(facts: Facts) -> tuple[Floats, Floats]:
    """Due minute of each order due in the window, taken and not cancelled, and when it left (infinite: inside)."""
    due = facts.column("orders", "due")
    counted = facts.window.holds(due) & ~facts.cancelled & ~facts.turned_away
    return due[counted], facts.left[counted]


def _due_measures(facts: Facts) -> dict[str, float]:
    due, left = due_orders(facts)
    late = left > due
    tardy_h = (np.minimum(left, facts.window.end_min) - due)[late] / 60
    return {
        "on_time_share": ratio(float(len(due) - late.sum()), len(due)),
        "late_orders": float(late.sum()),
        "tardiness_mean_h": ratio(float(tardy_h.sum()), len(due)),
    }


def _print_measures(facts: Facts) -> dict[str, float]:
    weeks, window = facts.window.weeks, facts.window
    printed = facts.printed_area_m2[window.holds(facts.column("prints", "end"))].sum()
    kind = facts.column("operations", "kind")
    changes = (kind == KIND["roll_change"]) | (kind == KIND["join"])
    changes &= (facts.column("operations", "part") == 0) & window.holds(facts.column("operations", "start"))
    return {
        "printed_m2_per_week": float(printed) / weeks,
        "fabric_waste_share": 1.0 - ratio(pieces_m2(facts), used_m2(facts)),
        "reprint_share": reprint_share(facts),
        "first_pass_yield": first_pass_yields_of(facts)["rolled"],
        "roll_changes_per_week": float(changes.sum()) / weeks,
        "unattended_hot_h_per_week": unattended_hot_min(facts) / 60 / weeks,
        "overtime_h_per_week": float(facts.overtime_by_crew.sum()) / 60 / weeks,
        "handover_h_per_week": handover_min(facts) / 60 / weeks,
    }


def _money_measures(facts: Facts) -> dict[str, float]:
    money, weeks, m2 = facts.once(costs_from), facts.window.weeks, dispatched_m2(facts)
    return {
        "dispatched_m2_per_week": m2 / weeks,
        "energy_kwh_per_week": energy_kwh(facts) / weeks,
        "revenue_per_week": money["revenue"] / weeks,
        "late_penalties_per_week": money["late_penalties"] / weeks,
        "cost_per_week": money["cost"] / weeks,
        "cost_per_m2": ratio(money["cost"], m2),
        "margin_per_week": money["margin"] / weeks,
    }


def _waits(facts: Facts) -> dict[str, float]:
    start = facts.column("operations", "start")
    place = facts.code("operations", "place")
    on_orders = (facts.column("operations", "order") >= 0) | (facts.column("operations", "kind") == KIND["calender"])
    counted = (facts.column("operations", "part") == 0) & (facts.column("operations", "person") >= 0)
    counted &= on_orders & facts.window.holds(start)
    wait = (start - facts.column("operations", "ready"))[counted]
    sums = summed(place[counted], wait, len(facts.log.places))
    counts = np.bincount(place[counted], minlength=len(facts.log.places))
    waits = {
        f"wait_mean_h.{name}": ratio(float(sums[i]), float(counts[i])) / 60
        for i, name in enumerate(facts.log.places)
        if name != PRINT_ROOM
    }
    if facts.log.printers:
        waits[f"wait_mean_h.{PRINT_ROOM}"] = _mean_h(_print_waits(facts))
    return waits


def _print_waits(facts: Facts) -> Floats:
    """Minutes each printed piece waited, pieces of one bundle alike."""
    start = facts.column("prints", "start")
    inside = facts.window.holds(start)
    wait = (start - facts.column("prints", "ready"))[inside]
    return np.repeat(wait, facts.code("prints", "pieces")[inside])


def _mean_h(minutes: Floats) -> float:
    return float(minutes.mean()) / 60 if len(minutes) else np.nan


def _busy_shares(facts: Facts) -> dict[str, float]:
    shares = {}
    for name, times in zip(facts.log.printers, printer_times(facts), strict=True):
        shares[f"busy_share.{name}"] = ratio(times.processing_min, times.planned_busy_min)
        shares[f"printing_share.{name}"] = ratio(times.production_min, times.planned_busy_min)
    for name, share in zip(facts.log.places, place_busy_shares(facts), strict=True):
        if name != PRINT_ROOM:
            shares[f"busy_share.{name}"] = share
    for name, share in place_blocked_shares(facts).items():
        shares[f"blocked_share.{name}"] = share
    for name, share in zip(facts.log.crews, crew_busy_shares(facts), strict=True):
        shares[f"busy_share.{name}"] = share
    return shares
