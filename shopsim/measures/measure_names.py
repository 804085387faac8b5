"""Every measure by name: its unit and one line of meaning.

A name may end in `.id` (`wait_mean_h.sewing`); units and meanings are kept under the part before the point.
"""

from __future__ import annotations

import math

_NAMES: tuple[tuple[str, str, str], ...] = (
    ("orders_received_per_week", "1/week", "Orders received, those turned away too"),
    ("orders_per_week", "1/week", "Orders dispatched"),
    (
        "on_time_share",
        "1",
        "Orders due, taken and not cancelled, and dispatched by then; still inside is late; NaN if none due",
    ),
    ("late_orders", "1", "Orders due, taken and not cancelled, and not dispatched by then"),
    ("tardiness_mean_h", "h", "Mean hours past due of orders due, early = 0, inside = up to the end; NaN if none due"),
    ("lead_time_mean_h", "h", "Mean time from receipt to dispatch of orders dispatched; NaN if there were none"),
    ("lead_time_p50_h", "h", "Median of the same, interpolated between order statistics"),
    ("lead_time_p90_h", "h", "Time within which 90 % of the same orders were dispatched"),
    ("promised_p50_h", "h", "Median time from receipt to the promised dispatch of the same orders"),
    (
        "work_in_process_orders",
        "1",
        "Orders inside the shop, from receipt to dispatch or cancellation, those held back left out, time average",
    ),
    ("held_back_orders", "1", "Orders approved but not released because the shop was full, time average"),
    ("turned_away_orders", "1", "Orders turned away because the shop was full"),
    ("turned_away_share", "1", "The same over orders received; NaN if none was received"),
    ("cancelled_orders", "1", "Orders cancelled"),
    ("claims_share", "1", "Orders dispatched with a fault nobody found; NaN if none was dispatched"),
    ("lot_broken_orders", "1", "Orders dispatched that wanted one fabric lot and got several"),
    ("printed_m2_per_week", "m2/week", "Finished area of pieces off the printers, reprints included"),
    ("dispatched_m2_per_week", "m2/week", "Finished area of orders dispatched"),
    ("fabric_waste_share", "1", "Used web not under printed pieces (faulty ones: reprint_share); NaN without print"),
    ("reprint_share", "1", "Finished area found to be printed again over finished area printed; NaN without print"),
    (
        "first_pass_yield",
        "1",
        "First makes without a fault found, over print, fixation, cut and sewing; NaN if none",
    ),
    ("roll_changes_per_week", "1/week", "Rolls changed or joined, all printers"),
    ("unattended_hot_h_per_week", "h/week", "A hot printer prints, feeds or waits with nobody there, all printers"),
    ("overtime_h_per_week", "h/week", "Person-hours of overtime"),
    ("handover_h_per_week", "h/week", "Work lost because somebody else went on with it in the next shift"),
    ("energy_kwh_per_week", "kWh/week", "Electricity of printers, calenders and seats"),
    ("revenue_per_week", "CU/week", "Price of orders dispatched"),
    ("late_penalties_per_week", "CU/week", "Taken off for late orders when they are dispatched"),
    ("cost_per_week", "CU/week", "All categories of cost together"),
    ("cost_per_m2", "CU/m2", "All cost over the finished area dispatched; NaN if there is none"),
    ("margin_per_week", "CU/week", "What is left over; revenue less penalties and cost"),
    ("wait_mean_h", "h", "Mean wait of work on orders before it begins, closed hours included; NaN if none began"),
    (
        "busy_share",
        "1",
        "Busy over a printer's planned, a place's open or a crew's attended time; NaN if it is 0",
    ),
    ("blocked_share", "1", "Seats kept by finished work that had no room at its next place, over open seat time"),
    ("printing_share", "1", "Printing and tail over planned busy time of a printer (ISO 22400 availability)"),
)

UNITS: dict[str, str] = {name: unit for name, unit, _ in _NAMES}
"""Unit of every measure; 1 for a count or a share from 0 to 1, CU for the scenario's currency."""

MEANINGS: dict[str, str] = {name: meaning for name, _, meaning in _NAMES}
"""One line on every measure; everything is counted inside the window."""

MORE_IS_BETTER = frozenset((
    "orders_per_week", "on_time_share", "dispatched_m2_per_week", "first_pass_yield", "revenue_per_week",
    "margin_per_week", "printing_share",
))  # fmt: skip
"""Measures of which a shop wants more."""

LESS_IS_BETTER = frozenset((
    "late_orders", "tardiness_mean_h", "lead_time_mean_h", "lead_time_p50_h", "lead_time_p90_h",
    "work_in_process_orders", "held_back_orders", "turned_away_orders", "turned_away_share", "cancelled_orders",
    "claims_share", "lot_broken_orders", "fabric_waste_share", "reprint_share", "roll_changes_per_week",
    "unattended_hot_h_per_week", "overtime_h_per_week", "handover_h_per_week", "energy_kwh_per_week",
    "late_penalties_per_week", "cost_per_week", "cost_per_m2", "wait_mean_h", "blocked_share",
))  # fmt: skip
"""Measures of which a shop wants less."""

NEITHER_IS_BETTER = frozenset(("orders_received_per_week", "promised_p50_h", "printed_m2_per_week", "busy_share"))
"""Measures that tell what a shop does and not how well: more may be work or faults, less may be ease or idleness."""


_BELOW_0 = frozenset(("margin_per_week",))


def unit_of(name: str) -> str:
    """Unit of a measure, whether or not its name ends in an id. KeyError if there is no such measure."""
    return UNITS[base_name(name)]


def base_name(name: str) -> str:
    """A measure's name without the id at its end."""
    return name.partition(".")[0]


def wanted(name: str) -> int:
    """1 for a measure of which a shop wants more, -1 for one of which it wants less, 0 where neither is better."""
    base = base_name(name)
    return (base in MORE_IS_BETTER) - (base in LESS_IS_BETTER)


def is_share(name: str) -> bool:
    """Whether a measure is a share from 0 to 1, told in per cent and its differences in points."""
    return unit_of(name) == "1" and base_name(name).endswith(("_share", "_yield"))


def least_of(name: str) -> float:
    """What no mean of it lies below: 0, or anything for what may be lost money."""
    return -math.inf if base_name(name) in _BELOW_0 else 0.0


def scale_of(name: str) -> float:
    """What its numbers are multiplied by when they are told."""
    return 100.0 if is_share(name) else 1.0
