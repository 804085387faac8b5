"""The review by hand: cloth in time, in lots and on the roll; what printers can and cannot do."""

from __future__ import annotations

from typing import Any

from shopsim.shop.review.finding import Finding
from tests.shop.reviewed import BANNER, DAY, calm, hand, ids, machine, reviewed, the
from tests.stories.shops import fabric, order, product, shift, to_print

MONDAY = order("Mon 07:00")


def weekly(pieces: int, supply_days: Any, **stock: Any) -> list[Finding]:
    """A shop that prints so many pieces of 1 m x 1 m a week on rolls of 100 m."""
    demand = {"forecast": {"orders_per_week": pieces, "evenly_spread": True, "lines_per_order": 1,
                           "mix": [{"product": "banner", "share_pct": 1, "pieces": 1}]}}  # fmt: skip
    return reviewed(calm(fabrics=[fabric(stock={"supply_days": supply_days, "rolls": 9, **stock})], demand=demand))


def test_cloth_that_is_used_up_before_it_comes() -> None:
    # A piece takes 1 m of web; with the usual loss of 20 % (MAT-37) 1.25 m, so 100 pieces take 125 m in five days.
    found = the("runs_out_of_cloth", weekly(100, 5, reorder_at_rolls=1))
    assert (found.where, found.grade_text) == ("knit", "cannot go on as it stands")
    assert found.found == (
        "125 m a week; 125 m in the 5 working days of a usual supply, but reordered when 100 m are left (1 roll)"
    )
    assert found.do == "reorder at 2 rolls instead of 1, or agree a shorter supply"


def test_cloth_that_is_short_only_when_it_comes_late() -> None:
    # Three days as usual take 75 m, five at most 125 m.
    found = the("runs_short_in_worst_week", weekly(100, [1, 3, 5], reorder_at_rolls=1))
    assert found.found == (
        "125 m in the worst week; 125 m in 5 working days of supply, but reordered when 100 m are left (1 roll)"
    )
    assert weekly(100, [1, 3, 5], reorder_at_rolls=2) == []
    assert weekly(100, 50) == []  # without a reorder level the shelf never runs empty


def test_a_shop_that_opens_with_too_little() -> None:
    found = the("opening_stock_short", weekly(100, 5, reorder_at_rolls=2, rolls=1))
    assert found.found == (
        "100 m at the start (1 roll); the first week's orders take 125 m in the 5 working days of a usual supply"
    )
    assert found.do == "2 rolls in stock on the first day (stock.rolls)"


def test_pieces_that_lie_badly_take_more_than_the_usual_loss() -> None:
    # 0.6 m pieces on a 1 m web leave 40 %: a metre each, and more than 0.6 m2 / 0.8.
    small = {**BANNER, "sizes": [{"width_m": 0.6, "height_m": 1.0}]}
    stock = {"reorder_at_rolls": 1, "supply_days": 5, "order_rolls": 5}
    scenario = calm(fabrics=[fabric(stock=stock)], products=[small])
    found = the("runs_out_of_cloth", reviewed(scenario, order("Mon 07:00", pieces=130)))
    assert found.found.startswith("130 m a week; 130 m in the 5 working days")


def test_an_order_that_is_larger_than_a_lot() -> None:
    # 120 m of one lot; a delivery of one roll has 96 m behind its leader.
    stock = {"reorder_at_rolls": 5, "order_rolls": 1}
    scenario = calm(fabrics=[fabric(stock=stock)], products=[{**BANNER, "one_lot": True}])
    found = the("lot_too_small", reviewed(scenario, order("Mon 07:00", pieces=120, order_id="big"), MONDAY))
    assert found.found == "order big of 120 pieces takes 120 m of knit; a delivery of 1 roll has 96 m of one lot"
    assert found.do.startswith("order 2 rolls at a time (stock.order_rolls)")


def test_a_roll_out_that_is_larger_than_a_lot() -> None:
    forecast = {"orders_per_week": 5, "evenly_spread": True, "lines_per_order": 1,
                "mix": [{"product": "banner", "share_pct": 1, "pieces": 1}],
                "campaigns": [{"product": "banner", "per_month": 1, "pieces": 200}]}  # fmt: skip
    fabrics = [fabric(stock={"reorder_at_rolls": 5, "order_rolls": 2})]
    scenario = calm(fabrics=fabrics, products=[{**BANNER, "one_lot": True}], demand={"forecast": forecast})
    found = the("lot_too_small", reviewed(scenario))
    assert (
        found.found == "a usual roll-out of 200 pieces takes 200 m of knit; a delivery of 2 rolls has 192 m of one lot"
    )


def test_pieces_too_narrow_for_the_web_and_too_long_for_the_roll() -> None:
    # One piece of 1.2 m on 2.4 m of cloth is half of it (a second does not fit beside the first and its gap); of 96 m
    # behind the leader a piece of 50 m leaves 46 m.
    long = {**BANNER, "sizes": [{"width_m": 1.2, "height_m": 50.0}]}
    scenario = calm(
        fabrics=[fabric(roll_width_m=2.4)], products=[long], supplies={"gap_m": 0.01},
        printers=[machine(print_width_m=2.4), machine("p2", print_width_m=2.4)],
    )  # fmt: skip
    findings = reviewed(scenario, order("Mon 07:00"))
    assert ids(findings) == ["narrow_on_the_web", "roll_ends_left"]
    assert findings[0].found.startswith(
        "its pieces, as many of a size as fit side by side, take 50 % of the 2.4 m of knit"
    )
    assert findings[0].do.startswith("let pieces turn if the cloth allows it (may_turn)")
    assert findings[1].found == "its longest piece takes 50.0 m: 1 piece on a roll of 100 m, 46.0 m stay over"


def test_a_plate_slower_than_the_heads() -> None:
    # 0.8 m over 60 s are 48 m an hour on a web 1 m wide; the mode is rated 60 m2/h.
    found = the("plate_caps_speed", reviewed(calm(fabrics=[fabric(dwell_s=60.0)]), MONDAY))
    assert (found.where, found.found) == (
        "p1 and p2", "std on knit: the heads would keep up 60 m² an hour, the plate fixes 48",
    )  # fmt: skip


def test_a_mode_that_never_reaches_its_rating_is_not_held_up_by_the_plate() -> None:
    # Rated 60, kept up 48: as fast as the plate allows.
    slow = {"modes": [{"id": "std", "area_rate_m2_per_h": 60.0, "rated_width_m": 1.0, "achieved_share": 0.8}]}
    scenario = calm(fabrics=[fabric(dwell_s=60.0)], printers=[machine(**slow), machine("p2", **slow)])
    assert reviewed(scenario, MONDAY) == []


def test_what_one_printer_alone_may_print() -> None:
    fails = {"every_running_h": 200, "repairs": [{"share_pct": 75, "hours": 2}, {"share_pct": 25, "hours": 10}]}
    scenario = calm(
        printers=[machine(breakdowns=fails), machine("p2")],
        products=[product("banner", to_print(printers=["p1"]), price_per_m2=20)],
    )  # fmt: skip
    found = the("one_printer_only", reviewed(scenario, MONDAY))
    # 0.75 x 2 h + 0.25 x 10 h.
    assert (found.where, found.found) == (
        "banner", "only p1 may; a breakdown every 200 running hours on average, 4.0 h to mend",
    )  # fmt: skip
    assert found.do.startswith("let another printer have the mode")
    single = the("one_printer_only", reviewed(calm(printers=[machine()]), MONDAY))
    assert single.found == "the shop's only printer; the file lets it never break down"
    assert single.do.startswith("agree who prints for you")


def test_a_plate_that_takes_longer_than_the_roll_change() -> None:
    # Up 30 °C takes 12 min, within the 20 of the roll change; down takes 24, so 4 are waited for: 20 min in five days.
    scenario = calm(
        fabrics=[fabric(plate_c=170.0), fabric("satin", plate_c=200.0)],
        products=[BANNER, product("drape", to_print(), fabric="satin", price_per_m2=20)],
    )  # fmt: skip
    found = [each for each in reviewed(scenario, MONDAY) if each.id == "set_point_waits"]
    assert [each.where for each in found] == ["p1", "p2"]
    assert found[0].found == (
        "knit (170 °C) and satin (200 °C): there and back the plate takes 4 min longer than the roll changes it is set "
        "during; once a day that is 0.3 h in five days"
    )


def test_printers_that_may_run_alone() -> None:
    # 168 h less five days of 8.5 h; 100 m at 60 m an hour.
    scenario = calm(printers=[machine(unattended_running=True), machine("p2")])
    found = the("runs_unattended", reviewed(scenario, MONDAY))
    assert (found.where, found.found) == (
        "p1", "126 h a week with nobody at the printers; a full roll lasts 1.7 h in the fastest mode",
    )  # fmt: skip
    assert found.do.startswith("the maker's manual, the fire risk assessment, the insurer and local code decide")


def test_plates_that_stay_hot_overnight() -> None:
    # 168 h less five days of 8.5 h.
    scenario = calm(printers=[machine(hot_overnight=True), machine("p2")])
    found = the("hot_unattended", reviewed(scenario, MONDAY))
    assert (found.headline, found.grade_text) == ("p1 may stay hot with nobody there", "may go wrong")
    assert found.found == "the plate stays hot for 126 h a week with nobody at the printers"
    assert found.do == (
        "the maker's manual, the fire risk assessment, the insurer and local code decide; switched off, the plate "
        "takes 20 min to warm up"
    )
    assert "hot_unattended" not in ids(reviewed(calm(printers=[machine(), machine("p2")]), MONDAY))


def test_roll_changes_that_take_two_where_one_is_there() -> None:
    # One from 07:00 to 15:30, one from 11:30 to 20:00: alone 4.5 h before and 4.5 h after, of 13 h a day.
    late = shift("late", "11:30-20:00", ("16:00-16:30",))
    pair = machine(roll_change={"people": 2})
    crews = [hand("op", "printing bench", count=1), hand("second", "printing bench", count=1, shift="late")]
    found = the(
        "two_for_roll_change", reviewed(calm(shifts=[DAY, late], printers=[pair, machine("p2")], crews=crews), MONDAY)
    )
    assert found.where == "p1"
    assert found.found == "a roll change takes two; in 45 of 65 attended hours a week one person is there who could"
    helped = [*crews, hand("helpers", "helper", shift="late"), hand("early", "helper")]
    calmer = reviewed(calm(shifts=[DAY, late], printers=[pair, machine("p2")], crews=helped), MONDAY)
    assert "two_for_roll_change" not in ids(calmer)


def test_heavy_rolls_changed_by_hand() -> None:
    # 300 g/m2 x 1 m x 100 m and a core of 6 kg.
    by_hand = machine(roll_change={"needs_lift": False})
    scenario = calm(printers=[by_hand, machine("p2")], fabrics=[fabric(mass_g_per_m2=300.0)])
    found = the("roll_change_by_hand", reviewed(scenario, MONDAY))
    assert (found.where, found.found) == ("p1", "one person, no lift, and 1 fabric above 25 kg a roll, knit 36 kg")
    assert "see your risk assessment" in found.do
