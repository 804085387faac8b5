"""Where nobody waits for anybody: racks with room for any number, orders before opening time, pieces side by side."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from shopsim.floor.record import RunLog
from shopsim.floor.run import simulate
from shopsim.measures.intervals import Floats, Ints
from shopsim.published.case import Case, Finding
from shopsim.published.readings import (
    counts_of,
    dispersion,
    inside_at,
    numbers_inside,
    stay_deviation,
    window_of,
)
from shopsim.published.simulated import RUNS, SIMULATED, Measure, compared, load, mean_of

_RESTS = "products.job.route[0].minutes"
# The log-normal has the mean 30 and twice its square as variance.
_LAWS: dict[str, object] = {
    "exponential": {"exponential": {"mean": 30.0}},
    "constant": 30.0,
    "log-normal": {"log_normal": {"median": 17.320508075689, "p90": 66.363404061384}},
}


# More than are ever on the rack.
_ROOM = 60


def _at_most(log: RunLog) -> Floats:
    """Share of time with at most 0, 1, 2, … orders in the shop."""
    found = numbers_inside(log)
    return np.cumsum(np.append(found, np.zeros(_ROOM - len(found))))


def _poisson_numbers(full: bool) -> Iterator[Finding]:
    weeks, width = (60, 0.02) if full else (2, 0.1)
    for law, minutes in _LAWS.items():
        if law == "constant" and not full:
            continue
        scenario = load("rack", {_RESTS: minutes, "study.weeks": weeks})
        shares = np.array([_at_most(simulate(scenario, replication=k)) for k in range(RUNS)])
        yield mean_of(f"{law}: mean number on the rack", 6, (1 - shares).sum(axis=1).tolist(), width)
        if full:
            # The rack is empty for one minute in 400: nothing is known less well.
            yield mean_of(f"{law}: share of time empty", 0.00247875217667, shares[:, 0].tolist(), 12 * width)
        yield mean_of(f"{law}: share with at most 6", 0.606302782413, shares[:, 6].tolist(), width)
        yield mean_of(f"{law}: share with at most 10", 0.957379076417, shares[:, 10].tolist(), width)
        enough = int(np.argmax(shares.mean(axis=0) >= 0.99))
        yield Finding(f"{law}: room that suffices 99 % of the time", 12, enough)


def _correlation_apart(minutes: float) -> Measure:
    """Correlation of the numbers on the rack at moments so far apart."""

    def correlation(log: RunLog) -> float:
        step = minutes / 4
        inside = inside_at(log, np.arange(log.warm_up_min, log.horizon_min, step))
        return float(np.corrcoef(inside[:-4], inside[4:])[0, 1])

    return correlation


def _departures(log: RunLog) -> float:
    """Variance over mean of the orders that leave in half an hour."""
    return dispersion(counts_of(log.column("orders", "dispatched"), window_of(log), 30))


def _in_time(full: bool) -> Iterator[Finding]:
    weeks, width = (50, 0.04) if full else (2, 0.25)
    exponential = (
        ("exponential: correlation of the number with that 30 min later", math.exp(-1), _correlation_apart(30)),
        ("exponential: orders leaving in 30 min, variance / mean", 1, _departures),
    )
    yield from compared(load("rack", {"study.weeks": weeks}), exponential, width)
    constant = (("constant: correlation of the number with that 15 min later", 0.5, _correlation_apart(15)),)
    yield from compared(load("rack", {_RESTS: _LAWS["constant"], "study.weeks": weeks}), constant, width)


def _inside_by_day(log: RunLog, hour: float) -> Ints:
    """Orders on the rack at this hour of each day."""
    return inside_at(log, np.arange(hour * 60, log.horizon_min, 1440))


def _mean_at(hour: float) -> Measure:
    return lambda log: float(np.mean(_inside_by_day(log, hour)))


def _dispersion_at(hour: float) -> Measure:
    return lambda log: dispersion(_inside_by_day(log, hour))


def _by_the_hour(full: bool) -> Iterator[Finding]:
    weeks, width = (220, 0.05) if full else (8, 0.2)
    sets = {"products.job.route": [{"op": "rest", "minutes": _LAWS["exponential"]}], "study.weeks": weeks}
    # From dm/dt = rate - m / 30 min, hour by hour from the empty midnight on.
    exponential = (
        ("exponential: mean number at 01:00", 1.7293294335267746, _mean_at(1)),
        ("exponential: mean number at 04:00", 5.733379857948929, _mean_at(4)),
        ("exponential: mean number at 09:00", 1.5119782138982036, _mean_at(9)),
        ("exponential: variance / mean at 04:00", 1, _dispersion_at(4)),
    )
    yield from compared(load("hourly", sets), exponential, width)
    # Whoever came in the last half hour is there: a quarter of 12 and a quarter of 7.5.
    sets |= {_RESTS: _LAWS["constant"]}
    yield from compared(load("hourly", sets), (("constant: mean number at 04:15", 4.875, _mean_at(4.25)),), width)


def _share_begun_after(hours: float) -> Measure:
    """Of what begins in the window, whole weeks: the share that has waited longer. What comes after the last closing
    time does not begin."""

    def share(log: RunLog) -> float:
        start = log.column("operations", "start")
        wait = (start - log.column("operations", "ready"))[window_of(log).holds(start)]
        return float(np.mean(wait > hours * 60))

    return share


_OPENING_HOURS = (
    ("mean wait, h", (4 * 16**2 + 64**2) / (2 * 168), "wait_mean_h.desk"),
    ("share that waits", 128 / 168, _share_begun_after(0)),
    ("share that waits for over 16 h", 48 / 168, _share_begun_after(16)),
)


def _opening_hours(full: bool) -> Iterator[Finding]:
    weeks, width = (100, 0.015) if full else (10, 0.05)
    yield from compared(load("opening_hours", {"study.weeks": weeks}), _OPENING_HOURS, width)


_FIVE_PIECES = (
    ("mean time of the order, h", 0.5 * (1 + 1 / 2 + 1 / 3 + 1 / 4 + 1 / 5), "lead_time_mean_h"),
    (
        "its standard deviation, min",
        30 * math.sqrt(1 + 1 / 4 + 1 / 9 + 1 / 16 + 1 / 25),
        stay_deviation,
    ),
)


def _five_pieces(full: bool) -> Iterator[Finding]:
    weeks, width = (10, 0.01) if full else (1, 0.05)
    sets = {"demand.forecast.mix[0].pieces": 5, "study.weeks": weeks}
    yield from compared(load("rack", sets), _FIVE_PIECES, width)


CASES = (
    Case(
        "A-09", "M/G/infinity: how many lie on the drying rack, whatever the law of drying",
        "Gross & Harris, Fundamentals of Queueing Theory; R. B. Cooper, 1981; Poisson table of mean 6 (from memory), "
        "recomputed",
        f"{SIMULATED}; the rack is so rarely empty that its share may be ±24 % of it", _poisson_numbers, seconds=2,
        path="floor",
    ),
    Case(
        "X-12", "The number on the rack from one moment to another, and what leaves it",
        "L. Takács, Introduction to the Theory of Queues, 1962 (from memory), derived: covariance rate times the "
        "integral of 1 - G beyond the lag; N. M. Mirasol, Operations Research 11 (1963) 282-284: what leaves is "
        "Poisson",
        SIMULATED, _in_time, seconds=1.6, path="floor",
    ),
    Case(
        "X-13", "The number on the rack by the hour where orders come at the rate of the hour",
        "S. G. Eick, W. A. Massey & W. Whitt, Operations Research 41 (1993) 731-742 (from memory), derived numbers",
        SIMULATED, _by_the_hour, seconds=1, path="floor",
    ),
    Case(
        "X-14", "How long an order waits for the shop to open",
        "Time to the end of an interval met at random: W. Feller, An Introduction to Probability Theory II, section "
        "I.4; D. R. Cox, Renewal Theory, 1962 (from memory), derived: closed hours squared over twice the cycle",
        SIMULATED, _opening_hours, seconds=0.8, path="floor",
    ),
    Case(
        "X-15", "An order of five pieces that nobody keeps waiting takes as long as its slowest",
        "A. Rényi, Acta Mathematica Academiae Scientiarum Hungaricae 4 (1953) 191-231 (from memory), derived: the mean "
        "times 1 + 1/2 + ... + 1/5",
        SIMULATED, _five_pieces, seconds=1, path="floor",
    ),
)  # fmt: skip
