"""Whether limits on orders and on room before places can lock the shop: nothing may wait for what waits for it."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping

from shopsim.shop.model_paths import Path
from shopsim.shop.products import At, Product, Rest
from shopsim.shop.scenario import Scenario

Fault = tuple[Path, str]
_Links = Mapping[str, set[str]]


def check_orders_at_once(scenario: Scenario) -> Iterator[Fault]:
    """A limit on orders beside hire fleets and planners' lists."""
    rule = scenario.policies.orders_at_once
    if rule is None:
        return
    path: Path = ("policies", "orders_at_once", "when_full")
    if rule.when_full == "turn_away" and scenario.demand.hire_fleets:
        yield path, "must be `wait` with hire fleets: pieces that come back cannot be turned away"
    if rule.when_full == "wait" and scenario.policies.sequences:
        yield path, "cannot be `wait` with `sequences`: orders in the shop could wait for the turn of one held back"


def check_rooms(scenario: Scenario) -> Iterator[Fault]:
    """Rooms beside planners' lists, and rooms that could wait for each other in a circle."""
    limited = {c.id: i for i, c in enumerate(scenario.work_centres) if c.room_before_bundles is not None}
    if not limited:
        return
    first: Path = ("work_centres", next(iter(limited.values())), "room_before_bundles")
    if scenario.policies.sequences:
        yield first, "cannot be limited with `sequences`: the order whose turn it is could find no room"
        return
    interrupted = [c.id for c in scenario.work_centres if c.interrupted_by != "nothing"]
    if interrupted:
        what = f"work at {interrupted[0]!r} may be interrupted"
        yield first, f"cannot be limited while {what}: a piece put aside has no seat to keep"
        return
    into: dict[str, set[str]] = defaultdict(set)
    for product in scenario.products:
        for place, after in _handed_on(product):
            if after in limited:
                into[after].add(place)
    waits_for = _waits_for(scenario, into)
    for place, index in limited.items():
        for before in sorted(into[place]):
            way = _way(waits_for, place, before)
            if way is not None:
                circle = " → ".join([before, *way])
                yield (
                    ("work_centres", index, "room_before_bundles"),
                    f"could lock the shop: {circle} wait for each other in a circle; leave the room before one free",
                )
                return


def _handed_on(product: Product) -> Iterator[tuple[str, str]]:
    """Places between which a bundle may go from seat to seat; only `work` is never left out, and rest needs no seat."""
    for i, step in enumerate(product.route):
        if not isinstance(step, At):
            continue
        for after in product.route[i + 1 :]:
            if isinstance(after, Rest):
                break
            if isinstance(after, At):
                if after.at != step.at:
                    yield step.at, after.at
                if after.op == "work":
                    break


def _waits_for(scenario: Scenario, into: _Links) -> _Links:
    """Place -> places that must go on before a seat of it is sure to come free: the next, and whoever repairs it."""
    links: dict[str, set[str]] = defaultdict(set)
    for place, befores in into.items():
        for before in befores:
            links[before].add(place)
    for centre in scenario.work_centres:
        if centre.stops is not None and centre.stops.repair_at not in (None, centre.id):
            links[centre.id].add(str(centre.stops.repair_at))
    return links


def _way(links: _Links, start: str, goal: str) -> list[str] | None:
    """The shortest way from one place to another, both ends included."""
    ways = [[start]]
    seen = {start}
    while ways:
        way = ways.pop(0)
        if way[-1] == goal:
            return way
        for place in sorted(links.get(way[-1], set()) - seen):
            seen.add(place)
            ways.append([*way, place])
    return None
