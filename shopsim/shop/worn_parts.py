"""Parts that wear out, and the age at which their planned renewal would keep the machine standing least."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from shopsim.craft.age_replacement import best_age_h, loss_a_running_hour
from shopsim.distributions import Exponential, Weibull
from shopsim.shop.printers import Breakdowns
from shopsim.shop.scenario import Scenario


@dataclass(frozen=True, slots=True)
class WornPart:
    """Renewal of a machine's part after running hours: as the file says, at best, and not at all (None).

    `standing_*_h`: hours it stands for repairs and renewals in 1000 running hours, waits for the fitter left out.
    """

    machine: str
    renewed_after_h: float | None
    best_after_h: float | None
    standing_h: float
    standing_at_best_h: float
    standing_never_h: float


def worn_parts(scenario: Scenario) -> list[WornPart]:
    """Machines whose lives follow Weibull's law, and those whose parts are renewed though failures come at random."""
    machines = [(each.id, each.breakdowns) for each in scenario.printers]
    machines += [(each.id, each.stops) for each in scenario.work_centres]
    parts = (_part(name, rule) for name, rule in machines if rule is not None)
    return [part for part in parts if part is not None]


def _part(name: str, rule: Breakdowns) -> WornPart | None:
    life, after_h = rule.every_running_h, rule.renew_after_running_h
    if isinstance(life, Weibull):
        shape, scale_h = life.shape, life.scale
    elif isinstance(life, Exponential) and after_h is not None:
        shape, scale_h = 1.0, life.mean
    else:
        return None
    planned_h = rule.renewal_h.mean
    failed_h = float(np.average([r.hours.mean for r in rule.repairs], weights=[r.share_pct for r in rule.repairs]))
    if failed_h <= 0:
        return None
    best_h = best_age_h(shape, scale_h, planned_h, failed_h)

    def standing_h(age_h: float) -> float:
        return 1000 * loss_a_running_hour(shape, scale_h, planned_h, failed_h, age_h)

    best = None if math.isinf(best_h) else best_h
    at_now, at_best, never = (standing_h(age_h) for age_h in (after_h or math.inf, best_h, math.inf))
    return WornPart(name, after_h, best, at_now, at_best, never)
