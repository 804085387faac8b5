"""A shop as a network of `ciw`, a general-purpose queueing simulator, set from the same scenario file.

It knows orders of one line and one piece, the steps `work`, `sew` and `inspect`, rush before other orders, repairs of
faulty sewing before both, people by the hour, and seats that fail. Classes of customers are named by product, lane and
stage: a new piece, one in repair at the sewing places, or a mended one that is inspected once more.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from itertools import pairwise, product

import ciw

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.distributions import Distribution, Exponential, Fixed, LogNormal
from shopsim.shop.printers import Breakdowns
from shopsim.shop.products import Product
from shopsim.shop.scenario import Scenario

HOUR_MIN = 60.0

Laws = Mapping[str, list[ciw.dists.Distribution | None]]
"""One law a station for each class."""


class Failing(ciw.dists.Distribution):
    """Work and the repairs in between, as long as the seat is held; failures come by working time."""

    def __init__(self, work: ciw.dists.Distribution, stops: Breakdowns) -> None:
        self.work = work
        self.gap = ciw.dists.Exponential(1 / (stops.every_running_h.mean * HOUR_MIN))
        self.repair = law_of(stops.repairs[0].hours.scaled(HOUR_MIN))

    def sample(self, t: float | None = None, ind: object = None) -> float:
        """Minutes from start to end if nobody leaves meanwhile."""
        work, until_next, repairs = self.work.sample(), self.gap.sample(), 0.0
        while until_next < work:
            repairs += self.repair.sample()
            until_next += self.gap.sample()
        return work + repairs


def law_of(law: Distribution) -> ciw.dists.Distribution:
    """The other engine's own sampler of a distribution."""
    if isinstance(law, Exponential):
        return ciw.dists.Exponential(1 / law.mean)
    if isinstance(law, Fixed):
        return ciw.dists.Deterministic(law.value)
    assert isinstance(law, LogNormal)
    return ciw.dists.Lognormal(math.log(law.median), law.sigma)


def classes(scenario: Scenario) -> list[str]:
    """Names of all classes of customers."""
    models = [model.id for model in scenario.products]
    return [" ".join(parts) for parts in product(models, ("rush", "other"), ("new", "repair", "mended"))]


def own_arrivals(scenario: Scenario) -> Laws:
    """Poisson orders at the forecast's rates, at the first station of each product."""
    return {
        name: [_orders(scenario, name) if _route(scenario, name)[0] == centre.id else None
               for centre in scenario.work_centres]
        for name in classes(scenario)
    }  # fmt: skip


def own_services(scenario: Scenario) -> Laws:
    """Minutes as the routes say; a station that a class never visits gets none."""
    return {
        name: [_minutes(scenario, name, centre.id) for centre in scenario.work_centres] for name in classes(scenario)
    }


def network(scenario: Scenario, arrivals: Laws, services: Laws) -> ciw.network.Network:
    """The network of a scenario. Whoever goes home leaves work as it stands, to be gone on with first."""
    names, places = classes(scenario), [centre.id for centre in scenario.work_centres]
    return ciw.create_network(
        arrival_distributions=arrivals,
        service_distributions=services,
        routing={name: _routing(scenario, name) for name in names},
        priority_classes={name: _rank(name) for name in names},
        class_change_matrices=[_changes(scenario, place) for place in places],
        number_of_servers=[_servers(scenario, i) for i in range(len(places))],
    )


def staffing(scenario: Scenario, place: int) -> tuple[list[int], list[float]]:
    """People at a station in each stretch of a week, and the minute at which the stretch ends."""
    skill = scenario.work_centres[place].needed_skill
    hours = {shift.id: shift.calendar(MINUTES_PER_WEEK) for shift in scenario.shifts}
    crews = [(crew.count, hours[crew.shift]) for crew in scenario.crews if skill in crew.skills]
    changes = {t for _, calendar in crews for t in (*calendar.starts, *calendar.ends)}
    moments = sorted({0.0, *changes} - {MINUTES_PER_WEEK})
    counts = [sum(count for count, calendar in crews if calendar.is_open(t)) for t in moments]
    return counts, [*moments[1:], float(MINUTES_PER_WEEK)]


def _servers(scenario: Scenario, place: int) -> int | ciw.Schedule:
    counts, ends = staffing(scenario, place)
    return counts[0] if len(counts) == 1 else ciw.Schedule(counts, ends, preemption="resume")


def _model(scenario: Scenario, name: str) -> Product:
    return next(model for model in scenario.products if model.id == name.split()[0])


def _route(scenario: Scenario, name: str) -> list[str]:
    return [op.at for op in _model(scenario, name).route]  # type: ignore[union-attr]


def _rank(name: str) -> int:
    _, lane, stage = name.split()
    return 0 if stage == "repair" else 1 if lane == "rush" else 2


def _routing(scenario: Scenario, name: str) -> list[list[float]]:
    places, route = [centre.id for centre in scenario.work_centres], _route(scenario, name)
    steps = [*pairwise(route), *([(route[-1], route[-2])] if name.endswith("repair") else [])]
    return [[float((here, there) in steps) for there in places] for here in places]


def _orders(scenario: Scenario, name: str) -> ciw.dists.Distribution | None:
    forecast = scenario.demand.forecast
    assert forecast is not None
    model, lane, stage = name.split()
    if stage != "new":
        return None
    rush = forecast.rush_pct / 100
    share = next(line.share_pct for line in forecast.mix if line.product == model) / 100
    a_week = forecast.orders_per_week * share * (rush if lane == "rush" else 1 - rush)
    if forecast.evenly_spread:
        return ciw.dists.Exponential(a_week / MINUTES_PER_WEEK)
    # Every day alike.
    hours = forecast.hour_shares
    rates = [a_week / 7 * share / sum(hours) / HOUR_MIN for share in hours]
    return ciw.dists.PoissonIntervals(rates, [HOUR_MIN * (i + 1) for i in range(len(hours))], scenario.horizon_min)


def _minutes(scenario: Scenario, name: str, place: str) -> ciw.dists.Distribution:
    op = next((op for op in _model(scenario, name).route if op.at == place), None)  # type: ignore[union-attr]
    if op is None:
        return ciw.dists.Deterministic(0.0)
    repair = name.endswith("repair") and op.op == "sew"
    minutes = scenario.policies.quality.repair_min if repair else op.minutes  # type: ignore[union-attr]
    assert minutes is not None
    stops = next(centre.stops for centre in scenario.work_centres if centre.id == place)
    return law_of(minutes) if stops is None else Failing(law_of(minutes), stops)


def _changes(scenario: Scenario, place: str) -> dict[str, dict[str, float]]:
    """Chances of the class in which a piece leaves a station: inspection finds faults, repair mends them."""
    names = classes(scenario)
    kinds = {op.op for model in scenario.products for op in model.route if op.at == place}  # type: ignore[union-attr]
    faulty = scenario.policies.quality.sewing_fault_pct / 100
    chances = {}
    for name in names:
        piece, stage = name.rsplit(" ", 1)
        leaves: dict[str, float] = {stage: 1.0}
        if stage == "new" and kinds == {"inspect"}:
            leaves = {"new": 1 - faulty, "repair": faulty}
        elif stage == "repair" and kinds == {"sew"}:
            leaves = {"mended": 1.0}
        chances[name] = dict.fromkeys(names, 0.0) | {f"{piece} {to}": chance for to, chance in leaves.items()}
    return chances
