"""Printers from their logs: speeds by mode, set-up times, checks that fail, stops and breakdowns by running time."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from itertools import pairwise

from shopsim.craft.layout import usable_width_m
from shopsim.shop.materials import Fabric
from shopsim.shop.printers import Mode, NozzleCheck, Printer
from shopsim.shop.route_times import feed_m_per_min, speed_cap_m_per_min
from shopsim.shop.scenario import Scenario
from shopsim.studies.fit_estimates import Estimate, share_of
from shopsim.studies.fit_found import (
    LEAST_VALUES,
    Findings,
    Fitted,
    as_written,
    doubt_of,
    doubt_of_times,
    fitted_times,
    sample_of,
    short,
)
from shopsim.studies.fit_printer_log import PARTS, Net, PrinterLog, Row
from shopsim.studies.fit_stops import fit_breakdowns, fit_stops
from shopsim.studies.quantiles import quantile_interval

# Times by event: where they stand, and what they are called.
_TIMES = {
    "roll_change": ("roll_change.full_min", "roll change"), "join": ("roll_change.join_min", "join"),
    "take_up_change": ("take_up.change_min", "take-up change"),
    "nozzle_check": ("nozzle_check.minutes", "nozzle check"),
    "minor_stop": ("minor_stops.minutes", "minor stop"),
}  # fmt: skip
_NOT_FITTED = ("first_article", "service", "care")
# A cleaning that follows a check this soon was its consequence.
_SOON = datetime.timedelta(minutes=30)
# Nearer to what the heat plate allows than this, a run tells nothing about the head.
_AT_THE_CAP = 0.97


def fit_printers(
    rows: Iterable[Row], scenario: Scenario, net: Net, hands_speed: float, confidence_pct: float
) -> Findings:
    """Everything about printers that their log tells.

    ``net`` gives the attended minutes between two times; ``hands_speed`` the standard minutes the printing crews earn a
    minute: times by hand are written as standard minutes.
    """
    found = Findings()
    by_printer: dict[str, list[Row]] = {}
    for row in rows:
        by_printer.setdefault(row["printer"], []).append(row)
    printers: dict[str, Printer] = scenario.by_id("printers")
    for name, listed in by_printer.items():
        if name not in printers:
            found.left.append(f"printer {name!r}: {len(listed)} rows of the log, not in the scenario")
            continue
        log = PrinterLog(printers[name], sorted(listed, key=lambda row: row["start"]), net)
        found.add(_speeds(log, scenario, confidence_pct))
        found.add(_set_ups(log, hands_speed, confidence_pct))
        found.add(_checks(log, confidence_pct))
        found.add(fit_stops(log, confidence_pct))
        found.add(fit_breakdowns(log, confidence_pct))
        found.left += _told_besides(log, found)
    return found


def _told_besides(log: PrinterLog, found: Findings) -> list[str]:
    """Parts made from the log alone, and rows that no value comes from."""
    name = log.printer.id
    told = [
        f"{part} of {name}: the file had none; made from the log, and what the log does not tell from the handbook"
        for part in PARTS.values()
        if getattr(log.printer, part) is None
        and any(one.path.startswith(f"printers.{name}.{part}.") for one in found.fitted)
    ]
    unused = [f"{len(rows)} of {event.replace('_', ' ')}" for event in _NOT_FITTED if (rows := log.of(event))]
    return [*told, *([f"rows of {name} that nothing is fitted from: {', '.join(unused)}"] if unused else [])]


def _speeds(log: PrinterLog, scenario: Scenario, confidence_pct: float) -> Findings:
    found = Findings()
    fabrics: dict[str, Fabric] = scenario.by_id("fabrics")
    told = 0
    for mode in log.printer.modes:
        shares, capped = [], 0
        for row in log.of("print"):
            achieved = _achieved(log, row, mode, fabrics.get(row.get("fabric", "")), scenario)
            if achieved is None:
                continue
            if achieved[1]:
                capped += 1
            else:
                shares.append(achieved[0])
        told += len(shares) + capped
        where = f"{log.printer.id}, mode {mode.id}"
        if capped:
            found.left.append(f"speed of {where}: {capped} runs as fast as the heat plate allows tell nothing")
        middle = quantile_interval(shares, 0.5, confidence_pct)
        if middle.low is None or middle.high is None:
            if shares or not capped:
                found.left.append(f"speed of {where}: {len(shares)} runs with metres and times, too few")
            continue
        share = Estimate(middle.estimate, middle.low, middle.high, middle.n)
        path = f"printers.{log.printer.id}.modes.{mode.id}.achieved_share"
        one = Fitted(path, short(min(1.0, share.value)), f"share of the rated speed achieved by {where}", share, "runs",
                     "median of runs, so that stops inside some of them hardly count",
                     doubt_of(path, share, least=0.001, most=1))  # fmt: skip
        found.take_up_to(1.0, one, "a unit of the log or the mode's rate in the file is wrong")
    runs = len(log.of("print"))
    if told < runs:
        found.left.append(
            f"speed of {log.printer.id}: {runs - told} of {runs} runs say too little of mode, width or metres"
        )
    return found


def _achieved(
    log: PrinterLog, row: Row, mode: Mode, fabric: Fabric | None, scenario: Scenario
) -> tuple[float, bool] | None:
    """Share of the ideal feed of one run, and whether the heat plate held it back; None where it cannot be told."""
    minutes = log.minutes(row)
    if row.get("mode", mode.id if len(log.printer.modes) == 1 else None) != mode.id or minutes <= 0:
        return None
    width = row.get("width_m")
    if width is None:
        if fabric is None:
            return None
        width = usable_width_m(log.printer.print_width_m, fabric.roll_width_m, scenario.supplies.edge_margin_m)
    metres = row.get("metres") or (row["area_m2"] / width if row.get("area_m2") else None)
    if not metres:
        return None
    feed = metres / minutes
    ideal = feed_m_per_min(log.printer, mode, width) / mode.achieved_share
    cap = speed_cap_m_per_min(log.printer, fabric) if fabric is not None else float("inf")
    return feed / ideal, feed >= _AT_THE_CAP * cap


def _set_ups(log: PrinterLog, hands_speed: float, confidence_pct: float) -> Findings:
    found = Findings()
    for event, (where, name) in _TIMES.items():
        if not log.tells_of(event):
            continue
        minutes = [log.minutes(row) * hands_speed for row in log.of(event)]
        times = fitted_times(minutes, confidence_pct)
        about = f"{name} at {log.printer.id}, mean minutes"
        if times is None:
            found.left.append(f"{about}: {len(minutes)} on record, too few")
            continue
        path = f"printers.{log.printer.id}.{where}"
        found.fitted.append(Fitted(path, as_written(times.distribution), about, times.mean, f"times of {name}",
                                   times.how, doubt_of_times(path, times.distribution, times.mean),
                                   sample_of(times, minutes, "min")))  # fmt: skip
    return found


def _checks(log: PrinterLog, confidence_pct: float) -> Findings:
    """Nozzle checks that fail, after a long idle time and else."""
    found = Findings()
    if not log.tells_of("nozzle_check"):
        return found
    check = log.printer.nozzle_check or NozzleCheck()
    results: dict[bool, list[bool]] = {False: [], True: []}
    last: Row | None = None
    for row, after in pairwise([*log.rows, None]):
        assert row is not None  # only the last of a pair may be
        event = row.get("event", "print")
        idle = _idle(row, last, check.idle_h) if event == "nozzle_check" and last is not None else None
        if idle is not None:
            cleaned = after is not None and after.get("event") == "cleaning" and after["start"] - row["end"] <= _SOON
            results[idle].append(not row["passed"] if row.get("passed") is not None else cleaned)
        # A run still on stays the last one, whatever was done to the printer meanwhile.
        if event in ("print", "nozzle_check", "cleaning") and (last is None or row["end"] >= last["end"]):
            last = row
    for idle, key in ((False, "fails_pct"), (True, "fails_after_idle_pct")):
        fails = results[idle]
        about = f"nozzle checks that fail at {log.printer.id}{f' after {check.idle_h:g} h idle' if idle else ''}, %"
        if len(fails) < 2 * LEAST_VALUES:
            found.left.append(f"{about}: {len(fails)} checks on record, too few")
            continue
        share = share_of(sum(fails), len(fails), confidence_pct).scaled(100)
        path = f"printers.{log.printer.id}.nozzle_check.{key}"
        how = "Wilson's interval; a check that a cleaning follows has failed"
        doubts = doubt_of(path, share, most=100)
        found.fitted.append(Fitted(path, short(share.value), about, share, "checks", how, doubts))
    return found


def _idle(check: Row, last: Row, idle_h: float) -> bool | None:
    """Whether the printer had stood idle so long before a check; None inside a run that may have paused so long."""
    if last["end"] <= check["start"]:
        return bool(check["start"] - last["end"] >= datetime.timedelta(hours=idle_h))
    return False if check["start"] - last["start"] < datetime.timedelta(hours=idle_h) else None
