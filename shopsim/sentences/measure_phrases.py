"""Every measure as it is said in a sentence: `lifts the number of late orders from 3 to 5`.

`measure_names.MEANINGS` defines them in a list, where one line leans on the one above it; these stand alone, in the
singular, without a unit.
"""

from __future__ import annotations

PHRASES: dict[str, str] = {
    "orders_received_per_week": "the number of orders received",
    "orders_per_week": "the number of orders dispatched",
    "on_time_share": "on-time delivery",
    "late_orders": "the number of late orders",
    "tardiness_mean_h": "the mean time past due (0 for orders on time)",
    "lead_time_mean_h": "the mean lead time",
    "lead_time_p50_h": "the median lead time",
    "lead_time_p90_h": "the lead time within which 90 % of orders leave",
    "promised_p50_h": "the median lead time promised",
    "work_in_process_orders": "the mean number of orders in the shop",
    "held_back_orders": "the mean number of orders held back because the shop is full",
    "turned_away_orders": "the number of orders turned away",
    "turned_away_share": "the share of orders turned away",
    "cancelled_orders": "the number of cancelled orders",
    "claims_share": "the share of orders sent out with a fault nobody found",
    "lot_broken_orders": "the number of orders that wanted one fabric lot and got several",
    "printed_m2_per_week": "the area printed",
    "dispatched_m2_per_week": "the area dispatched",
    "fabric_waste_share": "the share of cloth wasted",
    "reprint_share": "the share of the printed area that must be printed again",
    "first_pass_yield": "the share made without a fault the first time",
    "roll_changes_per_week": "the number of roll changes",
    "unattended_hot_h_per_week": "the time printers are hot with nobody there",
    "overtime_h_per_week": "overtime",
    "handover_h_per_week": "the time lost at handovers",
    "energy_kwh_per_week": "the use of electricity",
    "revenue_per_week": "revenue",
    "late_penalties_per_week": "the sum of penalties for late orders",
    "cost_per_week": "total cost",
    "cost_per_m2": "the cost of what is dispatched",
    "margin_per_week": "what is left over",
    "wait_mean_h": "the mean wait before work begins",
    "busy_share": "the share of time busy",
    "blocked_share": "the share of seat time blocked by finished work",
    "printing_share": "the share of a printer's busy time spent printing",
}
