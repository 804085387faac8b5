"""Limits that were not kept are found in records written by hand."""

import math

import pytest

from shopsim.floor.record import KIND
from shopsim.measures.audit_limits import audit_orders_at_once, audit_rooms
from shopsim.measures.facts import Facts
from tests.measures.hand_logs import hand_log, hand_shop, operation, shipped
from tests.stories.shops import centre

NEVER = math.inf
CANCELLED, AWAY, INSIDE = 2, 4, 0


def limited(most, when_full):
    return hand_shop(policies={"orders_at_once": {"most": most, "when_full": when_full}})


# Order 0 is complete at 600 and collected at 960, 1 is cancelled at 700, 2 still inside, 3 turned away.
ORDERS = [
    shipped(0, 430, 2430, 960, released=450, complete=600),
    {"order": 1, "received": 440, "released": 500, "ending": CANCELLED, "ended": 700},
    {"order": 2, "received": 650, "ending": INSIDE, "ended": NEVER},
    {"order": 3, "received": 660, "ending": AWAY, "ended": 660},
]


@pytest.mark.parametrize(
    ("most", "when_full", "orders", "faults"),
    [
        # Orders 0 and 1 from 440 to 600, 1 and 2 from 650 to 700.
        (2, "turn_away", ORDERS, []),
        (1, "turn_away", ORDERS, ["orders: 2 in the shop at once, 1 allowed"]),
        # What is not released has no place.
        (2, "wait", ORDERS[:3], []),
        (1, "wait", ORDERS[:3], ["orders: 2 in the shop at once, 1 allowed"]),
        (2, "wait", ORDERS, ["orders: some were turned away though they may wait"]),
        # Whoever is complete at a minute makes room for who is released at it.
        (1, "wait", [ORDERS[0], ORDERS[1] | {"released": 600}], []),
        (1, "wait", [ORDERS[0], ORDERS[1] | {"released": 599}], ["orders: 2 in the shop at once, 1 allowed"]),
    ],
)
def test_orders_at_once_are_counted(most, when_full, orders, faults):
    scenario = limited(most, when_full)
    assert list(audit_orders_at_once(Facts(hand_log(scenario, orders=orders), scenario))) == faults


def room(**changes):
    """Two seats and no room at the place; bundles 0 and 1 are on them, 2 comes in at 520 in place of 0."""
    work = KIND["work"]
    rows = [
        operation(1, work, 450, 500, seat=0, person=1, order=0, bundle=0),
        operation(2, work, 460, 660, seat=1, person=2, order=0, bundle=1),
        operation(3, work, 530, 560, seat=0, person=1, order=0, bundle=2, ready=520),
    ]
    rows[2] |= changes
    return rows


BUNDLES = [{"bundle": i, "order": 0, "pieces": 1} for i in range(3)]


@pytest.mark.parametrize(
    ("change", "waits", "faults"),
    [
        ({}, [], []),
        ({"ready": 500}, [], []),
        ({"ready": 499}, [], ["room before sewing: 3 bundles at once, 2 allowed"]),
        # Made again or mended: let in anyway.
        ({"ready": 499, "attempt": 1}, [], []),
        ({"ready": 499, "kind": KIND["repair"]}, [], []),
        # A finished bundle that keeps its seat is still there.
        ({}, [{"kept_place": 0, "kept_seat": 0, "kept_task": 1, "start": 500, "end": 520}], []),
        ({}, [{"kept_place": 0, "kept_seat": 0, "kept_task": 1, "start": 500, "end": 525}],
         ["room before sewing: 3 bundles at once, 2 allowed"]),
    ],
)  # fmt: skip
def test_bundles_at_a_place_are_counted(change, waits, faults):
    scenario = hand_shop(work_centres=[centre("sewing", seats=2, room_before_bundles=0)])
    log = hand_log(scenario, orders=ORDERS[:1], bundles=BUNDLES, operations=room(**change), room_waits=waits)
    assert list(audit_rooms(Facts(log, scenario))) == faults


def test_one_more_place_of_room_is_one_more_bundle():
    scenario = hand_shop(work_centres=[centre("sewing", seats=2, room_before_bundles=1)])
    log = hand_log(scenario, orders=ORDERS[:1], bundles=BUNDLES, operations=room(ready=499))
    assert list(audit_rooms(Facts(log, scenario))) == []
