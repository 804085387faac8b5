"""Random shops with limits on orders and on room keep every law, and come to an end of their work."""

from __future__ import annotations

import copy

from hypothesis import given
from hypothesis import strategies as st

from shopsim.floor.run import simulate
from shopsim.measures.audit import audit
from shopsim.measures.why_late import REASONS, why_late
from tests.properties.random_shops import Values, shops
from tests.properties.shop_laws import check_all, rows
from tests.properties.test_random_shops import book, calm, shops_tried, sound

ROOM = st.sampled_from([None, 0, 0, 1, 3])


@st.composite
def limited_shops(draw: st.DrawFn, away: bool = True) -> Values:
    """A random shop with a limit on its orders, on the room before its places, or on both."""
    values = copy.deepcopy(draw(shops()))
    for product in values["products"]:
        # Back to the cutters without rest would be a circle of rooms.
        product["route"] = [step for step in product["route"] if step["op"] != "work"] or product["route"]
    for centre in values["work_centres"]:
        centre["room_before_bundles"] = draw(ROOM)
        # A piece put aside has no seat to keep: the two do not go together.
        centre["interrupted_by"] = "nothing"
    when_full = draw(st.sampled_from(["turn_away", "wait", None] if away else ["wait", None]))
    if when_full == "turn_away":
        values["demand"]["hire_fleets"] = []
    if when_full is not None:
        values["policies"]["orders_at_once"] = {
            "most": draw(st.sampled_from([1, 2, 6])), "when_full": when_full,
            "release_rule": draw(st.sampled_from(["first_come", "due_date"])),
        }  # fmt: skip
    return values


@shops_tried(35)
@given(limited_shops())
def test_every_law_holds_with_limits(values: Values) -> None:
    scenario = sound(values)
    log = simulate(scenario)
    check_all(scenario, log)
    assert audit(log, scenario) == []
    reasons = why_late(log, scenario)
    assert (reasons[list(REASONS)].sum(axis=1) - reasons["lead_min"]).abs().max() < 1e-6 or reasons.empty


@shops_tried(10)
@given(limited_shops(away=False))
def test_nothing_waits_for_room_or_release_for_ever(values: Values) -> None:
    scenario = sound(calm(values))
    log = simulate(scenario, book(scenario))
    check_all(scenario, log)
    assert [order.order for order in rows(log, "orders") if order.ending == 0] == []
    assert [wait for wait in rows(log, "room_waits") if wait.end == float("inf")] == []
