"""What differs between two scenarios: the values, and the exact words for a person."""

from pathlib import Path

import pytest

from shopsim.shop.shop_file import load_shop
from shopsim.shop.what_if import Change, Difference, WhatIf, apply, differences

BASE = load_shop(Path(__file__).parent / "what_if_base" / "shop.yaml")
LATE = {"crews": ["late_sewer"], "when_queue_h": 4}
FORECAST = {"orders_per_week": 5, "starts": BASE.scenario.shop.starts, "mix": [{"product": "flag", "share_pct": 1}],
            "campaigns": [{"product": "flag", "per_month": 2}]}  # fmt: skip
SIZES = Change("set", "products.banner.sizes", [{"width_m": 2.0, "height_m": 1.0}])
OFFLINE = (
    Change("set", "calenders", [{"id": "drum"}]),
    Change("set", "printers.p2.fixation", {"kind": "offline", "calender": "drum", "drying_min": 30}),
    Change("set", "crews.print_crew.skills.calender", 3),
    Change("set", "crews.print_crew.count", 2),
)


def found(*changes: Change) -> list[Difference]:
    return differences(BASE.scenario, apply(BASE, WhatIf("mine", changes, "shop.yaml")).scenario)


def sentences(*changes: Change) -> list[str]:
    return [each.sentence for each in found(*changes)]


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (Change("set", "crews.sewers.count", 3), "crew sewers: 3 people instead of 2"),
        (Change("set", "crews.sewers.count", 1), "crew sewers: 1 person instead of 2"),
        (Change("set", "crews.sewers.wage_per_h", 29.5), "crew sewers: wage 29.5 CU/h instead of 28 CU/h"),
        (Change("set", "crews.sewers.shift", "late"), "crew sewers: shift late instead of day"),
        (Change("set", "crews.sewers.absence", {}),
         "crew sewers: with absence (new spell 0.9 % a day, spell log-normal, median 2, 90 % below 10 days)"),
        (Change("set", "crews.sewers.skills.cutting", 2), "crew sewers: also skilled in cutting at level 2"),
        (Change("set", "crews.sewers.skills.sewing", 4), "crew sewers: skill in sewing at level 4 instead of 3"),
        (Change("set", "crews.sewers.skills", {"packing": 2, "sewing": 3}),
         "crew sewers: packing comes first instead of sewing"),
        (Change("set", "crews.sewers.name", "Sewers"), "crew sewers: name 'Sewers' instead of ''"),
        (Change("set", "work_centres.machines.seats", 3), "work centre machines: 3 seats instead of 2"),
        (Change("set", "work_centres.machines.set_up_min", [1, 2.5, 8]),
         "work centre machines: set up 1–2.5–8 min instead of 0 min"),
        (Change("set", "printers.p1.fixation.plate_m", 1.2), "printer p1: fixation plate 1.2 m instead of 0.8 m"),
        (Change("set", "printers.p1.minor_stops", None), "printer p1: without minor stops"),
        (Change("set", "printers.p1.unattended_running", True), "printer p1: unattended running yes instead of no"),
        (Change("set", "printers.p1.modes.dense.passes", 6), "printer p1: mode dense, passes 6 instead of 8"),
        (Change("set", "printers.p1.modes.dense.both_ways", False),
         "printer p1: mode dense, both ways no instead of yes"),
        (Change("set", "printers.p1.money.price", 120_000), "printer p1: price 120,000 CU instead of 100,000 CU"),
        (Change("set", "policies.printing.roll_change", "join"), "printing: roll change join instead of full"),
        (Change("set", "policies.lifts", 2), "house rules: lifts 2 instead of 1"),
        (Change("set", "policies.dispatch.days", ["mon"]),
         "dispatch: days mon instead of mon, tue, wed, thu, fri"),
        (Change("set", "policies.overtime[0].minutes", 60), "overtime of sewers: 60 min instead of 120 min"),
        (Change("add", "policies.overtime", LATE),
         "overtime: late_sewer added (crews late_sewer, from a queue of 4 h)"),
        (Change("remove", "policies.overtime[0]"), "overtime: sewers removed"),
        (Change("add", "closed", {"first": BASE.scenario.shop.starts, "last": BASE.scenario.shop.starts}),
         "closed: 2026-01-05 added (last 2026-01-05)"),
        (Change("add", "policies.bought_in", {"at": "machines", "when_queue_h": 8}),
         "bought in: machines added (from a queue of 8 h, back after 2–3–5 days)"),
        (Change("set", "products.flag.route[1].all_edges", "hem_webbing"),
         "product flag: step sew, all edges hem webbing instead of flag"),
        (Change("set", "products.flag.price_per_m2", 24), "product flag: price 24 CU/m² instead of 30 CU/m²"),
        (Change("add", "products.flag.route", {"op": "rest", "minutes": 30}),
         "product flag: route rest added (30 min)"),
        (Change("set", "money.currency", "EUR"), "money: currency EUR instead of CU"),
        (Change("set", "shop.note", "x"), "shop: note 'x' instead of ''"),
        (Change("set", "study.weeks", 3), "study: weeks 3 instead of 2"),
        (Change("set", "shifts.day.weeks", [{"blocks": [{"days": ["mon", "wed"], "hours": "22:00-06:00"}]}]),
         "shift day: hours mon, wed 22:00-06:00 instead of mon to fri 06:00-14:30 with 30 min of breaks"),
        (Change("copy", "printers.p2", {"id": "p3", "print_width_m": 3.2}),
         "printers: p3 added (like p2, but print width 3.2 m instead of 1.8 m)"),
        (Change("copy", "printers.p1", {"id": "p1_b", "name": "Another"}), "printers: p1_b added (like p1)"),
        (Change("copy", "crews.sewers", {"id": "n", "count": 1, "learning": {"weeks_to_full": 8}}),
         "crews: n added (like sewers, but 1 person instead of 2; with learning (start speed 50 %, weeks to full 8))"),
        (Change("remove", "printers.p2"), "printers: p2 removed"),
    ],
)  # fmt: skip
def test_one_change_is_one_sentence(change: Change, sentence: str) -> None:
    assert sentences(change) == [sentence]


def test_skills_are_told_one_by_one() -> None:
    assert sentences(Change("set", "crews.late_sewer.skills", {"packing": 2})) == [
        "crew late_sewer: no longer skilled in sewing",
        "crew late_sewer: also skilled in packing at level 2",
        "crew late_sewer: packing comes first instead of sewing",
    ]


def test_values_path_and_unit_stand_beside_the_sentence() -> None:
    assert found(Change("set", "printers.p1.fixation.plate_m", 1.2)) == [
        Difference("printers.p1.fixation.plate_m", 0.8, 1.2, "m", "printer p1: fixation plate 1.2 m instead of 0.8 m")
    ]
    (more,) = found(Change("add", "policies.overtime", LATE))
    assert (more.path, more.before, more.after) == ("policies.overtime[1]", None, LATE)
    (less,) = found(Change("remove", "printers.p2"))
    assert (less.path, less.before["id"], less.after) == ("printers.p2", "p2", None)
    (route,) = found(
        Change("set", "products.flag.route[0].printers", ["p1", "p2"]),
        Change("set", "printers.p2.modes", [{"id": "production", "passes": 3}, {"id": "dense", "passes": 8}]),
        Change("set", "fabrics.flag_knit.roll_width_m", 1.6),
    )[2:]
    assert (route.path, route.before, route.after) == ("products.flag.route[0].printers", ["p1"], ["p1", "p2"])


def test_differences_come_in_the_order_of_the_scenario() -> None:
    changes = [Change("set", "study.seed", 2), *OFFLINE, Change("set", "policies.lifts", 3)]
    assert sentences(*changes) == [
        "printer p2: fixation offline (calender drum, drying 30 min, head to take up 1.5 m) instead of inline",
        "calenders: drum added",
        "print_crew: 2 people instead of 1",
        "print_crew: also skilled in calender at level 3",
        "house rules: lifts 3 instead of 1",
        "study: seed 2 instead of 1",
    ]


def test_a_forecast_in_place_of_the_order_book() -> None:
    instead = WhatIf(
        "f", (SIZES, Change("remove", "demand.order_book"), Change("set", "demand.forecast", FORECAST)), "b"
    )
    base = apply(BASE, instead)
    _, forecast, book = differences(BASE.scenario, base.scenario)
    assert forecast.sentence == (
        "demand: with forecast (orders per week 5, starts 2026-01-05, mix product flag, share 1 %, pieces log-normal, "
        "median 2, 90 % below 8, campaigns…)"
    )
    assert book.sentence == "demand: without order book"
    changes = (
        Change("set", "demand.forecast.mix[0].pieces", 3),
        Change("add", "demand.forecast.mix", {"product": "banner", "share_pct": 4}),
        Change("set", "demand.forecast.weekday_shares[5]", 8),
        Change("remove", "demand.forecast.campaigns[0]"),
    )
    more = apply(base, WhatIf("m", changes, "b"))
    assert [each.sentence for each in differences(base.scenario, more.scenario)] == [
        "forecast: weekday shares 21, 22, 21, 19, 14, 8, 1 instead of 21, 22, 21, 19, 14, 2, 1",
        "forecast: mix flag, pieces 3 instead of log-normal, median 2, 90 % below 8",
        "forecast: mix banner added (share 4 %, pieces log-normal, median 2, 90 % below 8)",
        "forecast: campaigns flag removed",
    ]


def test_of_items_without_a_name_equal_ones_belong_together() -> None:
    base = apply(BASE, WhatIf("two", (Change("add", "policies.overtime", LATE),), "b"))
    one = apply(base, WhatIf("one", (Change("remove", "policies.overtime[0]"),), "b"))
    assert [each.sentence for each in differences(base.scenario, one.scenario)] == ["overtime: sewers removed"]


def test_another_order_of_the_same_items_is_told() -> None:
    turned = BASE.scenario.model_copy(update={"printers": BASE.scenario.printers[::-1]})
    (told,) = differences(BASE.scenario, turned)
    assert told == Difference("printers", ["p1", "p2"], ["p2", "p1"], "", "printers: in another order")


def test_equal_scenarios_have_none() -> None:
    assert (
        found(Change("set", "crews.sewers.count", 2), Change("set", "printers.p1.fixation", {"kind": "inline"})) == []
    )
