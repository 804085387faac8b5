"""What was found, put into the scenario: a value that brings a fault is not taken, and why is told once.

Demand is taken as a whole: while a forecast takes the place of an order book the scenario may be unsound, and only
what is faulty after the last value keeps it out.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from shopsim.shop.changes import Change, changed_values
from shopsim.shop.demand import Forecast
from shopsim.shop.located_faults import Fault
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import scenario_or_faults
from shopsim.studies.fit_found import Findings, Fitted

_MIX = "demand.forecast.mix"


def fresh_forecast(scenario: Scenario) -> Forecast:
    """A forecast to begin with, for a scenario that has none."""
    return Forecast.model_validate(_fresh_values(scenario))


def put_in(scenario: Scenario, found: Findings, with_orders: bool) -> tuple[list[Fitted], list[Change]]:
    """What was found and can stand in the scenario, and the changes that put it there; the rest joins what is left."""
    draft = _Draft(scenario_values(scenario))
    refused: dict[str, list[Fitted]] = {}
    if with_orders:
        # Sizes first: without them no product can be in the mix.
        demand = sorted((one for one in found.fitted if _of_demand(one)), key=lambda one: one.path.startswith("demand"))
        ground, told = _ground(scenario, found)
        whole = _Draft(draft.values)
        for change in ground:
            whole.force(change)
        without = whole.take_all(demand)
        if whole.faults or any(one.path == _MIX for listed in without.values() for one in listed):
            refused[next(iter([*without, *(text for _, text in whole.faults)]))] = demand
        else:
            draft, refused = whole, without
            found.left += told
    for why, listed in draft.take_all([one for one in found.fitted if one.path and not _of_demand(one)]).items():
        refused.setdefault(why, []).extend(listed)
    found.left += [_refusal(why, listed) for why, listed in refused.items()]
    out = [id(one) for listed in refused.values() for one in listed]
    return [one for one in found.fitted if id(one) not in out], draft.changes


def _of_demand(one: Fitted) -> bool:
    return one.path.startswith(("demand.", "products."))


class _Draft:
    """Values of a scenario, the changes made to them, and the faults they have by now."""

    def __init__(self, values: dict[str, Any]) -> None:
        self.values = values
        self.changes: list[Change] = []
        self.faults: list[Fault] = []

    def force(self, change: Change) -> None:
        """Make a change, whatever faults it brings."""
        self.values = changed_values(self.values, change)
        self.faults = _faults(self.values)
        self.changes.append(change)

    def take_all(self, found: Sequence[Fitted]) -> dict[str, list[Fitted]]:
        """Take what brings no new fault; the rest by what the scenario says to it."""
        refused: dict[str, list[Fitted]] = {}
        for one in found:
            why = self._take(Change("set", one.path, one.value))
            if why:
                refused.setdefault(why, []).append(one)
        return refused

    def _take(self, change: Change) -> str:
        try:
            tried = changed_values(self.values, change)
        except ValueError as fault:
            return str(fault)
        faults = _faults(tried)
        new = [text for place, text in faults if (place, text) not in self.faults]
        if new:
            return new[0]
        self.values, self.faults = tried, faults
        self.changes.append(change)
        return ""


def _faults(values: dict[str, Any]) -> list[Fault]:
    sound = scenario_or_faults(values)
    return [] if isinstance(sound, Scenario) else sound


def _refusal(why: str, listed: Sequence[Fitted]) -> str:
    told = ", ".join(f"{one.about} {one.estimate.value:.4g}" for one in listed)
    return f"found, but the scenario refuses it: {why} ({told})"


def _fresh_values(scenario: Scenario) -> dict[str, Any]:
    return {"orders_per_week": 1.0, "mix": [{"product": scenario.products[0].id, "share_pct": 1.0}]}


def _ground(scenario: Scenario, found: Findings) -> tuple[list[Change], list[str]]:
    """What must be there before values can be set, and what is told of it: a forecast instead of a book, and no
    campaigns beside it."""
    changes, told = [], []
    if scenario.demand.forecast is None:
        changes.append(Change("set", "demand.forecast", _fresh_values(scenario)))
    elif scenario.demand.forecast.campaigns:
        changes.append(Change("set", "demand.forecast.campaigns", []))
        told.append("campaigns: their orders are among those on record, so the list is emptied")
    if scenario.demand.order_book is not None:
        changes.append(Change("remove", "demand.order_book"))
        told.append("order book: the fitted forecast takes its place")
    if scenario.demand.cancellations is None and any("cancellations" in one.path for one in found.fitted):
        changes.append(Change("set", "demand.cancellations", {}))
    return changes, told
