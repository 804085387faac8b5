"""The part of a machine's hours that failures and planned renewals leave, in the long run."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from shopsim.calendars import Calendar
from shopsim.clock import MINUTES_PER_WEEK
from shopsim.craft.age_replacement import loss_a_running_hour
from shopsim.distributions import Weibull
from shopsim.shop.printers import Breakdowns

# Enough to see every hour of a week at which a repair may begin, in most rotations of shifts.
_WEEKS = 4
_MOMENTS_AN_INTERVAL = 4


def up_share(rule: Breakdowns | None, hours: Calendar) -> float:
    """Availability: the part of a machine's open hours in which it is not down; 1 for one that never fails.

    Repairs by the clock take of the open hours only those they fall into; those by a work centre's people as long as
    the people need, for the wait for them is no matter of hours.
    """
    if rule is None:
        return 1.0
    shares = np.array([each.share_pct for each in rule.repairs])
    repairs_h = np.array([each.hours.mean for each in rule.repairs])
    if rule.every_calendar_h is not None:
        mean_h = float(np.average(repairs_h, weights=shares))
        return rule.every_calendar_h.mean / (rule.every_calendar_h.mean + mean_h)
    life = rule.every_running_h
    assert life is not None  # cross_checks: one of them is given
    standing_h = repairs_h if rule.repair_at is not None else np.array([_open_h(each, hours) for each in repairs_h])
    mean_h = float(np.average(standing_h, weights=shares))
    lost = mean_h / life.mean
    if rule.renew_after_running_h is not None and isinstance(life, Weibull) and mean_h > 0:
        planned_h = rule.renewal_h.mean if rule.repair_at is not None else _open_h(rule.renewal_h.mean, hours)
        lost = loss_a_running_hour(life.shape, life.scale, planned_h, mean_h, rule.renew_after_running_h)
    return 1 / (1 + lost)


def _open_h(clock_h: float, hours: Calendar) -> float:
    """Open hours among so many hours by the clock that begin at some open moment; the mean over such moments."""
    weeks = [(a, b) for a, b in hours.intervals() if a < _WEEKS * MINUTES_PER_WEEK]
    edges = [np.linspace(a, b, _MOMENTS_AN_INTERVAL + 1) for a, b in weeks]
    moments = [((x + y) / 2, y - x) for cuts in edges for x, y in pairwise(cuts.tolist())]
    end = hours.ends[-1] if hours.ends else 0.0
    inside = [(at, weight) for at, weight in moments if at + clock_h * 60 <= end]
    if not inside:
        return clock_h
    lost = [hours.work_between(at, at + clock_h * 60) for at, _ in inside]
    return float(np.average(lost, weights=[weight for _, weight in inside])) / 60
