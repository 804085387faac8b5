"""The books of limits: never more orders in the shop, nor bundles at a place, than the house rules allow."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from shopsim.floor.record import KIND
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats
from shopsim.measures.spans import seat_holds


def audit_orders_at_once(facts: Facts) -> Iterator[str]:
    """Orders that have a place in the shop, from receipt or release until complete or cancelled."""
    rule = facts.scenario.policies.orders_at_once
    if rule is None:
        return
    released, complete = facts.column("orders", "released"), facts.column("orders", "complete")
    until = np.where(complete >= 0, complete, facts.left)
    if rule.when_full == "turn_away":
        chosen, since = ~facts.turned_away, facts.column("orders", "received")
    else:
        chosen, since = released >= 0, released
        if facts.turned_away.any():
            yield "orders: some were turned away though they may wait"
    most = _most_at_once(since[chosen], until[chosen])
    if most > rule.most:
        yield f"orders: {most} in the shop at once, {rule.most} allowed"


def audit_rooms(facts: Facts) -> Iterator[str]:
    """Bundles at each place with limited room, in line or on a seat; those made again or mended are let in anyway."""
    parent, attempt = facts.code("bundles", "parent"), facts.column("operations", "attempt")
    bundle, kind = facts.code("operations", "bundle"), facts.column("operations", "kind")
    seated = np.flatnonzero((facts.column("operations", "part") == 0) & (facts.seat_place >= 0))
    place, _, _, given_back = seat_holds(facts)
    counted = (bundle >= 0) & (attempt == 0) & (kind != KIND["repair"])
    counted[counted] &= parent[bundle[counted]] < 0
    for centre in facts.scenario.work_centres:
        if centre.room_before_bundles is None:
            continue
        mine = (place == facts.log.places.index(centre.id)) & counted[seated]
        most = _most_at_once(facts.column("operations", "ready")[seated][mine], given_back[mine])
        allowed = centre.seats + centre.room_before_bundles
        if most > allowed:
            yield f"room before {centre.id}: {most} bundles at once, {allowed} allowed"


def _most_at_once(since: Floats, until: Floats) -> int:
    """The most there ever are; whoever leaves at a minute makes room for who comes at it."""
    times = np.concatenate((until, since))
    steps = np.concatenate((np.full(len(until), -1), np.ones(len(since), dtype=np.int64)))
    return int(np.cumsum(steps[np.lexsort((steps, times))]).max(initial=0))
