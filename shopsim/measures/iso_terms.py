"""The time words and key figures of ISO 22400-2, OEE after Nakajima beside it, and which state counts as what.

Pure arithmetic: minutes and amounts in, shares out. A figure whose divisor is 0 is NaN. "Availability" means two
things in print: production over planned busy time here (set-up lowers it), loading time less downtime in Nakajima's
scheme. A report names the one it shows.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

PRODUCTION, SET_UP, DELAY, DOWN, NOT_PLANNED = "APT", "AUST", "ADET", "down", "not planned"

STATE_TERMS: dict[str, str] = {
    "off": NOT_PLANNED,
    "warming": SET_UP,
    "waiting_job": DOWN,
    "waiting_material": DOWN,
    "waiting_operator": DELAY,
    "printing": PRODUCTION,
    "tail": PRODUCTION,
    "roll_change": SET_UP,
    "join": SET_UP,
    "take_up_change": SET_UP,
    "set_point": SET_UP,
    "mode_change": SET_UP,
    "nozzle_check": SET_UP,
    "cleaning": DELAY,
    "first_article": SET_UP,
    "minor_stop": DELAY,
    "breakdown": DELAY,
    "service": NOT_PLANNED,
    "care": NOT_PLANNED,
}
"""Printer state -> term, for minutes in which somebody is there. Feeding the tail fixes printed cloth, so it is
production. Of minutes in which nobody is there only production and set-up count, as planned busy time; the rest is not
planned. `down` is ISO's actual unit down time: planned, nothing wrong, nothing to do."""


@dataclass(frozen=True, slots=True)
class UnitTimes:
    """Minutes of one work unit: production (APT), set-up (AUST), delay (ADET), down though planned."""

    production_min: float
    set_up_min: float
    delay_min: float
    down_min: float

    @property
    def processing_min(self) -> float:
        """Actual unit processing time, AUPT: production and set-up."""
        return self.production_min + self.set_up_min

    @property
    def busy_min(self) -> float:
        """Actual unit busy time, AUBT: processing and delays."""
        return self.processing_min + self.delay_min

    @property
    def planned_busy_min(self) -> float:
        """Planned busy time, PBT: busy and down."""
        return self.busy_min + self.down_min

    def key_figures(self) -> dict[str, float]:
        """The figures that need times only: shares from 0 to 1."""
        return {
            "availability": ratio(self.production_min, self.planned_busy_min),
            "allocation_efficiency": ratio(self.busy_min, self.planned_busy_min),
            "utilisation_efficiency": ratio(self.production_min, self.busy_min),
            "set_up_ratio": ratio(self.set_up_min, self.processing_min),
            "technical_efficiency": ratio(self.production_min, self.production_min + self.delay_min),
        }


@dataclass(frozen=True, slots=True)
class Output:
    """What a unit made, in any one unit of quantity: produced (PQ), good (GQ), scrap (SQ), rework (RQ) quantity, and
    the planned run time of one unit of it (PRI), min."""

    produced: float
    good: float
    scrap: float
    rework: float
    planned_min_each: float

    def key_figures(self, times: UnitTimes, order_execution_min: float = math.nan) -> dict[str, float]:
        """The figures that need times and quantities; `order_execution_min` (AOET) serves the throughput only."""
        planned_min = self.planned_min_each * self.produced
        effectiveness = ratio(planned_min, times.production_min)
        quality = ratio(self.good, self.produced)
        return {
            "effectiveness": effectiveness,
            "quality_ratio": quality,
            "oee": ratio(times.production_min, times.planned_busy_min) * effectiveness * quality,
            "net_equipment_effectiveness": ratio(times.processing_min, times.planned_busy_min)
            * effectiveness
            * quality,
            "throughput_per_h": ratio(self.produced, order_execution_min) * 60,
            "scrap_ratio": ratio(self.scrap, self.produced),
            "rework_ratio": ratio(self.rework, self.produced),
        }


def oee_after_nakajima(
    loading_min: float,
    downtime_min: float,
    amount: float,
    ideal_cycle_min: float,
    actual_cycle_min: float,
    defects: float,
) -> dict[str, float]:
    """OEE with downtime taken off loading time; `defects` is a share of `amount`.

    S. Nakajima, Introduction to TPM, Productivity Press, 1988.
    """
    operating_min = loading_min - downtime_min
    speed = ratio(ideal_cycle_min, actual_cycle_min)
    net = ratio(amount * actual_cycle_min, operating_min)
    availability = ratio(operating_min, loading_min)
    return {
        "availability": availability,
        "operating_speed_rate": speed,
        "net_operating_rate": net,
        "performance": speed * net,
        "quality": 1.0 - defects,
        "oee": availability * speed * net * (1.0 - defects),
    }


def ratio(part: float, whole: float) -> float:
    """`part / whole`, NaN where there is no whole."""
    return part / whole if whole else math.nan
