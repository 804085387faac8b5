"""Effectiveness, ISO 22400-2 key figures, and yields."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.measures.busy_time import printer_times
from shopsim.measures.iso_terms import Output, oee_after_nakajima
from shopsim.measures.yields import chance_of_enough, rolled_yield, starts_needed, yield_with_rework
from shopsim.published.case import Case, Finding
from shopsim.published.recorded import Span, facts_of_printers

DIVIDED = "1e-9 for division"


def _nakajima(_full: bool) -> Iterator[Finding]:
    found = oee_after_nakajima(460, 60, 400, 0.5, 0.8, 0.02)
    for name, value in (
        ("availability", 0.869565217391), ("performance", 0.5), ("operating_speed_rate", 0.625),
        ("net_operating_rate", 0.8), ("quality", 0.98), ("oee", 0.426086956522),
    ):  # fmt: skip
        yield Finding(name.replace("_", " "), value, found[name], 1e-9)


# States of a printer in turn and their minutes in a shift of 450: production 345, set-up 45, delays 30, no job 30.
SHIFT = (("printing", 330), ("tail", 15), ("roll_change", 25), ("nozzle_check", 12), ("set_point", 8),
         ("minor_stop", 18), ("waiting_operator", 12), ("waiting_job", 30))  # fmt: skip
ISO = {
    "availability": 0.766666666667, "effectiveness": 0.9, "quality_ratio": 0.946859903382, "oee": 0.653333333333,
    "net_equipment_effectiveness": 0.738550724638, "allocation_efficiency": 0.933333333333,
    "utilisation_efficiency": 0.821428571429, "set_up_ratio": 0.115384615385, "technical_efficiency": 0.92,
    "throughput_per_h": 28.5517241379, "scrap_ratio": 0.0338164251208, "rework_ratio": 0.0193236714976,
}  # fmt: skip


def _shift() -> Iterator[Span]:
    at = 7.0 * 60
    for state, minutes in SHIFT:
        yield state, at, at + minutes
        at += minutes


def _iso(_full: bool) -> Iterator[Finding]:
    times = printer_times(facts_of_printers([_shift()]))[0]
    yield Finding("planned busy time, min", 450, times.planned_busy_min)
    yield Finding("actual unit busy time, min", 420, times.busy_min)
    yield Finding("actual unit processing time, min", 390, times.processing_min)
    output = Output(produced=207, good=196, scrap=7, rework=4, planned_min_each=1.5)
    found = times.key_figures() | output.key_figures(times, order_execution_min=435)
    for name, value in ISO.items():
        yield Finding(name.replace("_", " ").replace("oee", "OEE"), value, found[name], 1e-9)
    yield Finding("planned time of the good over planned busy time", 0.653333333333,
                  output.planned_min_each * output.good / times.planned_busy_min, 1e-9)  # fmt: skip


def _yields(_full: bool) -> Iterator[Finding]:
    steps = [0.96, 0.985, 0.995, 0.97, 0.99]
    rolled = rolled_yield(steps)
    yield Finding("rolled throughput yield", 0.9035193816, rolled, 1e-9)
    yield Finding("starts for 200 good on average", 222, starts_needed(200, rolled))
    sewn = yield_with_rework(steps[3], 0.6)
    yield Finding("sewing with rework", 0.988, sewn, 1e-9)
    yield Finding("throughput yield with rework", 0.92028572064, rolled_yield([*steps[:3], sewn, steps[4]]), 1e-9)
    yield Finding("chance of 200 good from 222", 0.608120275875, chance_of_enough(200, 222, rolled), 1e-9)


# First-pass yield of every step in percent, steps in a row, rolled yield in percent.
ROLLED = ((93.32, 10, 50.08), (93.32, 20, 25.08), (99.379, 10, 93.96), (99.379, 20, 88.29), (99.379, 40, 77.94),
          (99.379, 100, 53.64), (99.9767, 20, 99.536), (99.9767, 40, 99.074))  # fmt: skip


def _rolled(_full: bool) -> Iterator[Finding]:
    for step_pct, steps, rolled_pct in ROLLED:
        found = 100 * rolled_yield([step_pct / 100] * steps)
        yield Finding(f"{steps} steps of {step_pct:g} %: rolled yield, %", rolled_pct, found, 0.02)


# Pieces wanted, pieces started, chance of each, chance of enough.
BINOMIAL = ((15, 20, 0.7, 0.4164), (18, 20, 0.9, 0.6769), (8, 10, 0.8, 0.6778), (5, 5, 0.9, 0.5905))


def _enough(_full: bool) -> Iterator[Finding]:
    for good, started, chance, enough in BINOMIAL:
        found = chance_of_enough(good, started, chance)
        yield Finding(f"{good} good of {started} at {chance:g}", enough, found, 5e-5)


CASES = (
    Case(
        "F-01", "OEE after Nakajima: 42.6 %",
        "S. Nakajima, Introduction to TPM, 1988, worked example (from memory; arithmetic recomputed)",
        DIVIDED, _nakajima, path="library",
    ),
    Case(
        "F-02", "ISO 22400-2 key figures of one printer and one shift",
        "ISO 22400-2:2014 (availability, effectiveness, quality and OEE confirmed in a public annex, the others from "
        "memory of the standard); numbers derived",
        DIVIDED, _iso,
    ),
    Case(
        "F-03", "First-pass and rolled throughput yield, pieces to start",
        "rolled throughput yield as in ISO 13053-1; numbers derived, recomputed and simulated",
        DIVIDED, _yields, path="library",
    ),
    Case(
        "X-52", "Many steps in a row: rolled yield by sigma level",
        "six-sigma tables, shifted 3, 4 and 5 sigma (from memory)",
        "0.02 %: the table's yields of a step are rounded too", _rolled,
    ),
    Case(
        "X-53", "Chance of enough good pieces: binomial tables",
        "tables of the binomial distribution in any statistics text, four digits (from memory)",
        "half of the last printed digit", _enough, path="library",
    ),
)  # fmt: skip
