"""Printers from their logs: speeds by mode, set-up times, checks that fail, stops and breakdowns by running time."""

from __future__ import annotations

import datetime
from collections.abc import Callable, Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from shopsim.craft.layout import usable_width_m
from shopsim.distributions import Distribution, Exponential, Weibull, weibull_cv
from shopsim.shop.materials import Fabric
from shopsim.shop.printers import Mode, Printer
from shopsim.shop.route_times import feed_m_per_min, speed_cap_m_per_min
from shopsim.shop.scenario import Scenario
from shopsim.studies.fit_estimates import Estimate, exponential_life, mean_of_times, share_of, weibull_life
from shopsim.studies.fit_found import (
    LEAST_VALUES,
    Findings,
    Fitted,
    Times,
    as_written,
    doubt_of,
    doubt_of_times,
    fitted_times,
    short,
)
from shopsim.studies.fit_samples import Sample
from shopsim.studies.quantiles import quantile_interval

Row = Mapping[str, Any]
Net = Callable[[datetime.datetime, datetime.datetime], float]
# Times by event: where they stand, and what they are called.
_TIMES = {
    "roll_change": ("roll_change.full_min", "roll change"), "join": ("roll_change.join_min", "join"),
    "take_up_change": ("take_up.change_min", "take-up change"),
    "nozzle_check": ("nozzle_check.minutes", "nozzle check"),
    "minor_stop": ("minor_stops.minutes", "minor stop"),
}  # fmt: skip
_WHOLE_PARTS = {"nozzle_check": "nozzle_check", "minor_stop": "minor_stops"}
# A cleaning that follows a check this soon was its consequence.
_SOON = datetime.timedelta(minutes=30)
# Nearer to what the heat plate allows than this, a run tells nothing about the head.
_AT_THE_CAP = 0.97
_LEAST_FOR_WEIBULL = 8


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
        log = _Log(printers[name], sorted(listed, key=lambda row: row["start"]), net)
        found.add(_speeds(log, scenario, confidence_pct))
        found.add(_set_ups(log, hands_speed, confidence_pct))
        found.add(_checks(log, confidence_pct))
        found.add(_stops(log, confidence_pct))
        found.add(_breakdowns(log, confidence_pct))
    return found


class _Log(NamedTuple):
    printer: Printer
    rows: list[Row]
    net: Net

    def of(self, event: str) -> list[Row]:
        return [row for row in self.rows if row.get("event", "print") == event]

    def minutes(self, row: Row) -> float:
        """What the row says; else, for printing, from start to end, and attended minutes for work by hand."""
        if row.get("minutes") is not None:
            return float(row["minutes"])
        if row.get("event", "print") == "print":
            return float((row["end"] - row["start"]).total_seconds() / 60)
        return self.net(row["start"], row["end"])

    @property
    def running_min(self) -> float:
        return sum(self.minutes(row) for row in self.of("print"))


def _speeds(log: _Log, scenario: Scenario, confidence_pct: float) -> Findings:
    found = Findings()
    fabrics: dict[str, Fabric] = scenario.by_id("fabrics")
    for i, mode in enumerate(log.printer.modes):
        shares, capped = [], 0
        for row in log.of("print"):
            achieved = _achieved(log, row, mode, fabrics.get(row.get("fabric", "")), scenario)
            if achieved is None:
                continue
            if achieved[1]:
                capped += 1
            else:
                shares.append(achieved[0])
        where = f"{log.printer.id}, mode {mode.id}"
        if capped:
            found.left.append(f"speed of {where}: {capped} runs as fast as the heat plate allows tell nothing")
        middle = quantile_interval(shares, 0.5, confidence_pct)
        if middle.low is None or middle.high is None:
            if shares or not capped:
                found.left.append(f"speed of {where}: {len(shares)} runs with metres and times, too few")
            continue
        share = Estimate(middle.estimate, middle.low, middle.high, middle.n)
        path = f"printers.{log.printer.id}.modes.{log.printer.modes[i].id}.achieved_share"
        found.fitted.append(Fitted(path, short(min(1.0, share.value)), f"share of the rated speed achieved by {where}",
                                   share, "runs", "median of runs, so that stops inside some of them hardly count",
                                   doubt_of(path, share, least=0.001, most=1)))  # fmt: skip
    return found


def _achieved(log: _Log, row: Row, mode: Mode, fabric: Fabric | None, scenario: Scenario) -> tuple[float, bool] | None:
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


def _set_ups(log: _Log, hands_speed: float, confidence_pct: float) -> Findings:
    found = Findings()
    for event, (where, name) in _TIMES.items():
        part = _WHOLE_PARTS.get(event)
        if part is not None and getattr(log.printer, part) is None:
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
                                   _sample(times, minutes, "min")))  # fmt: skip
    return found


def _checks(log: _Log, confidence_pct: float) -> Findings:
    """Nozzle checks that fail, after a long idle time and else."""
    found = Findings()
    check = log.printer.nozzle_check
    if check is None:
        return found
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


def _stops(log: _Log, confidence_pct: float) -> Findings:
    """Running hours between minor stops: rows of their own, or counted with the runs."""
    if log.printer.minor_stops is None:
        return Findings()
    stops = len(log.of("minor_stop")) or sum(int(row.get("stops") or 0) for row in log.rows)
    about = f"running hours between minor stops at {log.printer.id}"
    if stops < LEAST_VALUES or not log.running_min:
        return Findings([], [f"{about}: {stops} stops on record, too few"])
    life = exponential_life(log.running_min / 60, stops, confidence_pct)
    path = f"printers.{log.printer.id}.minor_stops.every_running_h"
    how = "running time over stops, the last interval censored"
    return Findings([Fitted(path, short(life.value), about, life, "stops", how, doubt_of(path, life, least=0.001))])


def _breakdowns(log: _Log, confidence_pct: float) -> Findings:
    rule = log.printer.breakdowns
    about = f"running hours between breakdowns of {log.printer.id}"
    if rule is None or rule.every_running_h is None:
        return Findings()
    lives, left = _lives(log)
    if len(lives) < 2 or not log.running_min:
        return Findings([], [f"{about}: {len(lives)} on record in {log.running_min / 60:.0f} running hours, too few"])
    total = sum(lives) + left
    life = exponential_life(total, len(lives), confidence_pct)
    distribution: Distribution = Exponential(life.value)
    how = "exponential, the last interval censored"
    if len(lives) >= _LEAST_FOR_WEIBULL:
        distribution, how = _wear(lives, left, life.value)
    path = f"printers.{log.printer.id}.breakdowns"
    written = as_written(distribution)
    doubts = doubt_of_times(f"{path}.every_running_h", distribution, life)
    sample = Sample(distribution, tuple(lives), "running h", (left,) if left > 0 else ())
    found = Findings([Fitted(f"{path}.every_running_h", written, about, life, "breakdowns", how, doubts, sample)])
    found.add(_repairs(log, path, confidence_pct))
    return found


def _lives(log: _Log) -> tuple[list[float], float]:
    """Running hours of each life that ended in a breakdown, and of the one still running."""
    lives: list[float] = []
    run = 0.0
    for row in log.rows:
        event = row.get("event", "print")
        if event == "print":
            run += log.minutes(row) / 60
        elif event == "breakdown" and run > 0:
            lives.append(run)
            run = 0.0
    return lives, run


def _wear(lives: Sequence[float], left: float, mean_h: float) -> tuple[Distribution, str]:
    running = [left] if left > 0 else []
    try:
        found = weibull_life([*lives, *running], [True] * len(lives) + [False] * len(running))
    except ValueError:
        return Exponential(mean_h), "exponential; all lives alike"
    if not found.better:
        return Exponential(mean_h), f"exponential; wear (Weibull, shape {found.shape:.2g}) is no likelier by AIC"
    import math

    mean = found.scale * math.gamma(1 + 1 / found.shape)
    return Weibull(
        mean, weibull_cv(found.shape)
    ), f"Weibull of shape {found.shape:.2g}, likelier than exponential by AIC"


def _repairs(log: _Log, path: str, confidence_pct: float) -> Findings:
    hours = [(row["end"] - row["start"]).total_seconds() / 3600 for row in log.of("breakdown")]
    times = fitted_times(hours, confidence_pct)
    about = f"repair of {log.printer.id}, mean hours"
    if times is None:
        return Findings([], [f"{about}: {len(hours)} on record, too few"])
    value = [{"share_pct": 100.0, "hours": as_written(times.distribution)}]
    mean = mean_of_times([each for each in hours if each > 0], confidence_pct)
    return Findings([Fitted(f"{path}.repairs", value, about, mean, "repairs", times.how,
                            sample=_sample(times, hours, "h"))])  # fmt: skip


def _sample(times: Times, values: Sequence[float], unit: str) -> Sample:
    return Sample(times.distribution, tuple(value for value in values if value > 0), unit)
