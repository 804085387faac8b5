"""One hand-written week with something of everything, whose sums several tests work out in their comments."""

from __future__ import annotations

from shopsim.floor.record import INK_CAUSES, KIND, METRE_CAUSE, REMAKE_CAUSES, STATE, RunLog
from shopsim.shop.scenario import Scenario
from tests.measures.hand_logs import WEEK, hand_log, hand_shop, operation, shipped
from tests.stories.shops import shift

Rows = list[dict[str, float]]


def full_shop() -> Scenario:
    """The hand shop with a shift premium, overtime, penalties, and a rent that makes 365.25 CU a m2 and year."""
    return hand_shop(
        shifts=[shift("day", "07:00-15:30", ("11:00-11:30",), premium_pct=10.0)],
        policies={"overtime": [{"crews": ["sewers"], "when_queue_h": 1.0, "premium_pct": 30.0}]},
        money={
            "rent_per_m2_month": 365.25 / 12, "energy_per_kwh": 0.2, "rush_surcharge_pct": 25.0,
            "late_penalty_pct": 5.0, "late_penalty_pct_per_day": 1.0, "late_penalty_max_pct": 10.0,
        },
    )  # fmt: skip


ORDERS: Rows = [
    # Two banners on time after 32.5 h, released 3 h after their receipt; one rush banner a day late after 30 h, with a
    # claim and two lots.
    shipped(0, 480, 2430, 2430, pieces=2, released=660),
    shipped(1, 600, 960, 2400, rush=1, claims=1, lot_broken=1),
    {"order": 2, "received": 1000, "due": 5280, "ending": 2, "ended": 2000, "pieces": 1},
    # Due at 9600 and still inside; due after the end.
    {"order": 3, "received": 9000, "released": 9000, "due": 9600, "ended": float("inf"), "pieces": 1},
    {"order": 4, "received": 9500, "released": 9500, "due": 12000, "ended": float("inf"), "pieces": 1},
]
LINES: Rows = [
    {"order": order, "line": 0, "product": 0, "pieces": 2 if order == 0 else 1, "width_m": 1, "height_m": 1}
    for order in range(5)
]


def full_week(scenario: Scenario) -> RunLog:
    """Records of a week; they need not tell one story, only add up by hand."""
    sew = KIND["sew"]
    bundle = {"product": 0, "line": 0, "made": 455}
    printed = {"printer": 0, "ready": 420, "start": 440, "end": 455, "run": 1}
    web = {"at": 450, "printer": 0, "fabric": 0}
    return hand_log(
        scenario,
        orders=ORDERS,
        lines=LINES,
        bundles=[bundle | {"bundle": 0, "order": 0, "pieces": 2}, bundle | {"bundle": 1, "order": 1, "pieces": 1}],
        prints=[printed | {"order": 0, "bundle": 0, "pieces": 2},
                printed | {"order": 1, "bundle": 1, "pieces": 1, "ready": 380}],
        operations=[
            operation(1, KIND["roll_change"], 420, 440, place=1, seat=0, person=0),
            operation(2, sew, 460, 500, ready=455, seat=0, person=1, order=0, bundle=0, pieces=2),
            operation(3, sew, 500, 520, ready=455, seat=1, person=2, order=1, bundle=1, pieces=1),
            operation(4, sew, 950, 980, ready=940, seat=0, person=1, helper=2, order=1, bundle=1, pieces=1),
        ],
        printer_states=[
            {"printer": 0, "state": STATE[state], "start": start, "end": end}
            for state, start, end in [("off", 0, 420), ("warming", 420, 440), ("printing", 440, 450),
                                      ("waiting_job", 450, 960), ("off", 960, WEEK)]
        ],
        metres=[
            {"at": 420, "fabric": 0, "cause": METRE_CAUSE["bought"], "metres": 100, "m2": 100},
            web | {"cause": METRE_CAUSE["printed"], "metres": 10, "m2": 10, "pieces_m2": 8},
            web | {"cause": METRE_CAUSE["leader"], "metres": 4, "m2": 4},
            web | {"cause": METRE_CAUSE["tail_blank"], "metres": 3, "m2": 3},
        ],
        ink=[{"at": 450, "printer": 0, "cause": INK_CAUSES.index("printed"), "ml": 80},
             {"at": 460, "printer": 0, "cause": INK_CAUSES.index("cleaning"), "ml": 20}],
        remakes=[{"at": 500, "order": 1, "product": 0, "cause": REMAKE_CAUSES.index("print_fault"),
                  "found_at": KIND["inspect"], "m2": 1}],
        overtime=[{"crew": 1, "start": 930, "end": 990, "people": 2}],
        absences=[{"person": 1, "day": 3}],
        bought_in=[{"at": 700, "back": 3000, "order": 3, "pieces": 1, "cost": 15}],
    )  # fmt: skip
