"""Minor stops and breakdowns of a printer: how long it goes without, how long repairs take."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopsim.distributions import Distribution, Exponential, Weibull, weibull_cv
from shopsim.studies.fit_estimates import exponential_life, mean_of_times, weibull_life
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
from shopsim.studies.fit_printer_log import PrinterLog
from shopsim.studies.fit_samples import Sample

_LEAST_FOR_WEIBULL = 8


def fit_stops(log: PrinterLog, confidence_pct: float) -> Findings:
    """Running hours between minor stops: rows of their own, or counted with the runs."""
    stops = len(log.of("minor_stop")) or sum(int(row.get("stops") or 0) for row in log.rows)
    if not stops and log.printer.minor_stops is None:
        return Findings()
    about = f"running hours between minor stops at {log.printer.id}"
    if stops < LEAST_VALUES or not log.running_min:
        return Findings([], [f"{about}: {stops} stops on record, too few"])
    life = exponential_life(log.running_min / 60, stops, confidence_pct)
    path = f"printers.{log.printer.id}.minor_stops.every_running_h"
    how = "running time over stops, the last interval censored"
    return Findings([Fitted(path, short(life.value), about, life, "stops", how, doubt_of(path, life, least=0.001))])


def fit_breakdowns(log: PrinterLog, confidence_pct: float) -> Findings:
    """Lives by the clock that the file has for them: running hours, or hours of the calendar."""
    if not log.tells_of("breakdown"):
        return Findings()
    rule = log.printer.breakdowns
    by_calendar = rule is not None and rule.every_calendar_h is not None
    kind = "calendar" if by_calendar else "running"
    about = f"{kind} hours between breakdowns of {log.printer.id}"
    lives, left = _calendar_lives(log) if by_calendar else _running_lives(log)
    total = sum(lives) + left
    if len(lives) < 2:
        return Findings([], [f"{about}: {len(log.of('breakdown'))} on record in {total:.0f} {kind} hours, too few"])
    life = exponential_life(total, len(lives), confidence_pct)
    distribution: Distribution = Exponential(life.value)
    how = "exponential, the last interval censored"
    if len(lives) >= _LEAST_FOR_WEIBULL:
        distribution, how = _wear(lives, left, life.value)
    path = f"printers.{log.printer.id}.breakdowns"
    every = f"{path}.every_{kind}_h"
    sample = Sample(distribution, tuple(lives), f"{kind} h", (left,) if left > 0 else ())
    found = Findings([Fitted(every, as_written(distribution), about, life, "breakdowns", how,
                             doubt_of_times(every, distribution, life), sample)])  # fmt: skip
    found.add(_repairs(log, path, confidence_pct))
    return found


def _running_lives(log: PrinterLog) -> tuple[list[float], float]:
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


def _calendar_lives(log: PrinterLog) -> tuple[list[float], float]:
    """Hours from the first row or the last repair to each breakdown, and to the end of the log."""
    since = log.rows[0]["start"]
    lives: list[float] = []
    for row in log.of("breakdown"):
        if row["start"] > since:
            lives.append((row["start"] - since).total_seconds() / 3600)
        since = max(since, row["end"])
    return lives, max(0.0, (max(row["end"] for row in log.rows) - since).total_seconds() / 3600)


def _wear(lives: Sequence[float], left: float, mean_h: float) -> tuple[Distribution, str]:
    running = [left] if left > 0 else []
    try:
        found = weibull_life([*lives, *running], [True] * len(lives) + [False] * len(running))
    except ValueError:
        return Exponential(mean_h), "exponential; all lives alike"
    if not found.better:
        return Exponential(mean_h), f"exponential; wear (Weibull, shape {found.shape:.2g}) is no likelier by AIC"
    mean = found.scale * math.gamma(1 + 1 / found.shape)
    return Weibull(
        mean, weibull_cv(found.shape)
    ), f"Weibull of shape {found.shape:.2g}, likelier than exponential by AIC"


def _repairs(log: PrinterLog, path: str, confidence_pct: float) -> Findings:
    hours = [(row["end"] - row["start"]).total_seconds() / 3600 for row in log.of("breakdown")]
    times = fitted_times(hours, confidence_pct)
    about = f"repair of {log.printer.id}, mean hours"
    if times is None:
        return Findings([], [f"{about}: {len(hours)} on record, too few"])
    value = [{"share_pct": 100.0, "hours": as_written(times.distribution)}]
    mean = mean_of_times([each for each in hours if each > 0], confidence_pct)
    return Findings([Fitted(f"{path}.repairs", value, about, mean, "repairs", times.how,
                            sample=sample_of(times, hours, "h"))])  # fmt: skip
