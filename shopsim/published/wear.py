"""Machines that age: by the calendar, in use or not, and by wear that a planned renewal forestalls."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from shopsim.craft.age_replacement import best_age_h, loss_a_running_hour, mean_run_h
from shopsim.distributions import weibull_cv
from shopsim.floor.record import KIND, STATE, RunLog
from shopsim.published.case import Case, Finding
from shopsim.published.simulated import SIMULATED, load, mean_of, measured

_PRINTERS = 4
# Laws of life with the weeks after which machines that were all new at first no longer fail together.
_LAWS: dict[str, tuple[object, int]] = {
    "exponential": (40, 4),
    "Weibull of shape 2": ({"weibull": {"mean": 40, "cv": weibull_cv(2)}}, 8),
    "constant": ([40, 40, 40], 60),
}
_SHAPE, _SCALE_H, _PLANNED_H, _FAILED_H = 2.5, 1000.0, 1.0, 5.0


def _failures_of(log: RunLog) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """When machines were down: printers by their states, seats by their repairs, whichever the shop has."""
    if log.printers:
        down = log.column("printer_states", "state") == STATE["breakdown"]
        return log.column("printer_states", "start")[down], log.column("printer_states", "end")[down]
    repairs = log.column("operations", "kind") == KIND["machine_repair"]
    return log.column("operations", "ready")[repairs], log.column("operations", "end")[repairs]


def _minutes_with_down(log: RunLog) -> NDArray[np.float64]:
    """Share of the time after the warm-up with 0, 1, ..., 4 machines down."""
    start, end = (np.clip(each, log.warm_up_min, log.horizon_min) for each in _failures_of(log))
    at = np.concatenate(([log.warm_up_min], start, end))
    change = np.concatenate(([0], np.ones(len(start)), -np.ones(len(end))))
    order = np.argsort(at, kind="stable")
    down = np.cumsum(change[order]).astype(np.int64)
    minutes = np.diff(np.append(at[order], log.horizon_min))
    # What was down before the warm-up ended comes and goes at its last minute: counts above all four take no time.
    shares: NDArray[np.float64] = np.bincount(down, weights=minutes, minlength=_PRINTERS + 1) / np.sum(minutes)
    return shares[: _PRINTERS + 1]


def _availability(log: RunLog) -> float:
    return 1 - float(np.arange(_PRINTERS + 1) @ _minutes_with_down(log)) / _PRINTERS


def _mean_up(log: RunLog) -> float:
    return _PRINTERS * _availability(log)


def _all_up(log: RunLog) -> float:
    return float(_minutes_with_down(log)[0])


def _three_up(log: RunLog) -> float:
    return float(np.sum(_minutes_with_down(log)[:2]))


def _failures_a_1000h(log: RunLog) -> float:
    start, _ = _failures_of(log)
    hours = (log.horizon_min - log.warm_up_min) / 60
    return float(np.sum(start >= log.warm_up_min)) / hours / _PRINTERS * 1000


def _calendar(full: bool) -> Iterator[Finding]:
    counted = 300 if full else 30
    exactly, tight = (0.0055, 1) if full else (0.009, 4)
    for law, (every_h, settled) in _LAWS.items():
        if law == "constant" and not full:
            # It takes longer to settle than the others to run.
            continue
        sets = {f"printers.press{i}.breakdowns.every_calendar_h": every_h for i in range(1, _PRINTERS + 1)}
        found = measured(
            load("calendar_printers", {**sets, "study.weeks": settled + counted, "study.warm_up_weeks": settled}),
            (_availability, _mean_up, _all_up, _three_up, _failures_a_1000h),
        )
        yield mean_of(f"availability of printers, {law}", 0.909090909091, found[0], exactly)
        if law == "exponential":
            yield mean_of("mean number of printers up", 3.63636363636, found[1], exactly)
            yield mean_of("all four up", 0.683013455365, found[2], 0.012 * tight)
            yield mean_of("three or four up", 0.956218837511, found[3], 0.005 * tight)
        yield mean_of(f"failures of a printer in 1000 h, {law}", 22.7272727273, found[4], 0.02 * tight)
    available, all_up = measured(load("calendar_seats", {"study.weeks": 8 + counted}), (_availability, _all_up))
    yield mean_of("availability of seats, Weibull of shape 2", 0.909090909091, available, exactly)
    yield mean_of("all four seats up", 0.683013455365, all_up, 0.012 * tight)


def _loss_a_1000h(log: RunLog) -> float:
    """Hours that repairs and renewals took of the machines in 1000 running hours: the case's costs are hours here."""
    kind, worked = log.column("operations", "kind"), log.column("operations", "worked_min")
    late = log.column("operations", "start") >= log.warm_up_min
    standing, running = (np.sum(worked[late & (kind == KIND[name])]) for name in ("machine_repair", "work"))
    return float(1000 * standing / running)


def _age_replacement(full: bool) -> Iterator[Finding]:
    best_h = best_age_h(_SHAPE, _SCALE_H, _PLANNED_H, _FAILED_H)
    least = 1000 * loss_a_running_hour(_SHAPE, _SCALE_H, _PLANNED_H, _FAILED_H, best_h)
    never = 1000 * loss_a_running_hour(_SHAPE, _SCALE_H, _PLANNED_H, _FAILED_H)
    yield Finding("best age for planned renewal, h (`check`)", 493.046957597, best_h, 0.5)
    yield Finding("cost of 1000 running hours at that age", 3.46204273878, least, 1e-5)
    yield Finding("cost of 1000 running hours run to failure", 5.63530248993, never, 1e-6)
    yield Finding("mean life, h", 887.263817503, mean_run_h(_SHAPE, _SCALE_H), 1e-6)
    yield Finding("saving", 0.385650948646, 1 - least / never, 1e-5)
    weeks = 300 if full else 32
    width = 0.04 if full else 0.18
    costs = {}
    ages = ((493.046957597, 3.46204273878), (None, never))
    for age_h, expected in (*ages, (240, 4.667720127), (720, 3.78669344157)) if full else ages:
        sets = {"work_centres.desk.stops.renew_after_running_h": age_h, "study.weeks": weeks}
        (cost,) = measured(load("wear", sets), (_loss_a_1000h,))
        costs[age_h] = sum(cost)
        named = f"renewed at {age_h:.0f} h" if age_h else "run to failure"
        # Renewals wait for the end of a piece of 24 h, of which 240 and 720 h are whole ones; at the best age it costs
        # 0.1 %, at 720 h after a failure within a piece 0.4 %.
        yield mean_of(f"simulated cost of 1000 running hours, {named}", expected, cost, width)
    yield Finding("cheapest of these ages, simulated", "493", f"{min(costs, key=lambda age: costs[age]) or 0:.0f}")


CASES = (
    Case(
        "A-23", "Machines that fail by the calendar, each repaired at once",
        "R. E. Barlow & F. Proschan, Mathematical Theory of Reliability, Wiley 1965 (alternating renewal, k out of n), "
        "derived: the same for every law of life",
        SIMULATED, _calendar, seconds=2.9, path="floor",
    ),
    Case(
        "A-25", "Worn parts: the age at which to renew them",
        "R. E. Barlow & L. C. Hunter, Operations Research 8 (1960) 90-100 (model from memory), derived; costs at 240 "
        "and 720 h derived with the same formula",
        f"{SIMULATED}: costs to 4 % in the full run, as renewals and failures come once in some weeks; formulas as the "
        "check asks", _age_replacement, seconds=2.2, path="floor",
    ),
)  # fmt: skip
