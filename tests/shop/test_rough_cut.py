"""Load against capacity by hand, against the simulated shop, and with people who serve several places."""

import datetime
from pathlib import Path
from typing import Any

import pytest

from shopsim.floor.record import STATE
from shopsim.floor.run import simulate
from shopsim.shop.order_book import OrderLine
from shopsim.shop.people import Absence
from shopsim.shop.rough_cut import Load, RoughCut, rough_cut
from shopsim.shop.rough_demand import arrivals, study_weeks
from shopsim.shop.rough_hours import absent_share
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import load_shop
from tests.stories.shops import centre, crew, order, print_shop, product, step, to_print

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"
START = datetime.date(2026, 1, 5)


def shop(**parts: Any) -> Scenario:
    """A bench with two seats and one packer of 40 h; 60 boxes a week of 10 min each, evenly."""
    base = {
        "shop": {"name": "Packers", "starts": START},
        "work_centres": [{"id": "bench", "kind": "packing", "seats": 2}],
        "shifts": [{"id": "day", "weeks": [{"blocks": [
            {"days": ["mon", "tue", "wed", "thu", "fri"], "hours": "07:00-15:30", "breaks": ["12:00-12:30"]}]}]}],
        "crews": [{"id": "packer", "skills": {"packing": 3}, "shift": "day"}],
        "products": [{"id": "box", "route": [{"op": "work", "at": "bench", "minutes": 10}]}],
        "demand": {"forecast": {"orders_per_week": 60, "evenly_spread": True, "lines_per_order": 1,
                                "mix": [{"product": "box", "share_pct": 1, "pieces": 1}]}},
        "study": {"weeks": 4, "opening": "empty"},
    }  # fmt: skip
    return Scenario.model_validate({**base, **parts})


def by_id(cut: RoughCut) -> dict[str, Load]:
    return {load.id: load for load in cut.loads}


def test_one_place_by_hand() -> None:
    bench = by_id(rough_cut(shop()))["bench"]
    # 60 boxes of 10 min against one person's 40 h; the two seats would give 80 h.
    assert bench.limit == "people"
    assert bench.asked_h == pytest.approx((10.0,) * 4)
    assert bench.there_h == pytest.approx((40.0,) * 4)
    assert bench.share == pytest.approx(0.25)


def test_efficiency_level_absence_and_closures_shorten_the_hours() -> None:
    crew = {"id": "packer", "skills": {"packing": 2}, "shift": "day", "efficiency_pct": 80, "absence": {}}
    closed = [{"first": datetime.date(2026, 1, 12), "last": datetime.date(2026, 1, 13)}]
    bench = by_id(rough_cut(shop(crews=[crew], closed=closed)))["bench"]
    there = 40 * 0.75 * 0.8 * (1 - absent_share(Absence()))
    assert bench.there_h == pytest.approx((there, there * 3 / 5, there, there))
    assert bench.peak == 1


def test_the_usual_absence_is_about_four_per_cent() -> None:
    # PPL-13 says 0.9 % x 4.5 days = 4 %; spells here are whole days, weekends among them.
    assert 0.03 < absent_share(Absence()) < 0.045
    assert absent_share(None) == 0


def test_seats_can_be_what_is_short() -> None:
    centre = [{"id": "bench", "kind": "packing", "seats": 1}]
    fast = {"id": "fast", "skills": {"packing": 4}, "shift": "day"}
    slow = {"id": "slow", "skills": {"packing": 2}, "count": 3, "shift": "day"}
    bench = by_id(rough_cut(shop(work_centres=centre, crews=[slow, fast])))["bench"]
    # The one seat is best used by the fast one, 1.1 of the standard; that is what can be earned at most.
    assert (bench.limit, bench.there_h[0]) == ("seats", pytest.approx(44.0))


def test_what_can_never_keep_up_is_named() -> None:
    forecast = {"orders_per_week": 300, "evenly_spread": True, "lines_per_order": 1,
                "mix": [{"product": "box", "share_pct": 1, "pieces": 1}]}  # fmt: skip
    cut = rough_cut(shop(demand={"forecast": forecast}))
    assert [load.id for load in cut.hopeless] == ["bench"]
    assert rough_cut(shop()).hopeless == ()


def test_people_of_two_places_can_be_short_together() -> None:
    # Each place alone asks 30 of 40 h; the one person who serves both is asked for 60.
    route = [{"op": "work", "at": place, "minutes": 30} for place in ("bench", "table")]
    centres = [{"id": "bench", "kind": "packing"}, {"id": "table", "kind": "general"}]
    crew = {"id": "packer", "skills": {"packing": 3, "general": 3}, "shift": "day"}
    cut = rough_cut(shop(products=[{"id": "box", "route": route}], work_centres=centres, crews=[crew]))
    people = by_id(cut)["people"]
    assert people.places == ("bench", "table")
    assert (people.asked_h[0], people.there_h[0]) == (pytest.approx(60.0), pytest.approx(40.0))
    assert [load.id for load in cut.hopeless] == ["people"]


def test_an_order_book_counts_in_the_week_of_approval() -> None:
    def at(day: int) -> datetime.datetime:
        return datetime.datetime(2026, 1, day, 9, 0)

    lines = [
        OrderLine(order_id="A", received=at(5), due=datetime.date(2026, 1, 30), product="box", pieces=6),
        OrderLine(
            order_id="B", received=at(5), due=datetime.date(2026, 1, 30), product="box", pieces=12, approved=at(19)
        ),
    ]
    bench = by_id(rough_cut(shop(demand={"order_book": {"file": "x.csv"}}), lines))["bench"]
    assert bench.asked_h == pytest.approx((1.0, 0.0, 2.0, 0.0))


def test_two_people_at_a_piece_share_its_minutes() -> None:
    # SEW-41: labour 1.7 for two, so 0.85 of the minutes at the seat and twice that in hands, helpers included.
    centre = {"id": "bench", "kind": "packing", "seats": 2, "second_person_above_m": 4}
    products = [{"id": "box", "sizes": [{"width_m": 5, "height_m": 1}],
                 "route": [{"op": "work", "at": "bench", "minutes": 10}]}]  # fmt: skip
    cut = rough_cut(shop(work_centres=[centre], products=products))
    # Nobody else can help: one packer's 40 h against 10 h x 1.7.
    assert by_id(cut)["bench"].asked_h[0] == pytest.approx(17.0)
    helper = {"id": "helper", "skills": {"helper": 3}, "shift": "day"}
    packer = {"id": "packer", "skills": {"packing": 3}, "shift": "day"}
    helped = by_id(rough_cut(shop(work_centres=[centre], products=products, crews=[packer, helper])))["bench"]
    assert (helped.asked_h[0], helped.there_h[0]) == (pytest.approx(8.5), pytest.approx(40.0))


def test_what_is_made_again_asks_for_its_hours_again() -> None:
    # Lost: 10 % at printing, 5 % at cutting and half of 10 % at sewing; so a print is made 1 / 0.8 = 1.25 times. 40 of
    # 6 min each are 4 h, 5 h with the remakes; what is not printed is not made again.
    quality = {"print_fault_pct": 10.0, "cut_loss_pct": 5.0, "sewing_fault_pct": 10.0, "sewing_repaired_pct": 50.0}
    scenario = print_shop(
        work_centres=[centre("bench"), centre("desk")],
        crews=[crew("op", "printing"), crew("packer", "bench"), crew("clerk", "desk")],
        products=[product("flag", to_print(), step("work", "bench", 6.0)), product("job", step("work", "desk", 6.0))],
        policies={"quality": quality},
    )
    loads = by_id(rough_cut(scenario, [order("Mon 07:00", what, pieces=40) for what in ("flag", "job")]))
    assert loads["bench"].asked_h == pytest.approx((5.0,))
    assert loads["desk"].asked_h == pytest.approx((4.0,))


def test_printing_is_shared_so_that_printers_are_evenly_busy() -> None:
    shop_of_two = load_shop(DEMOS / "frame_fabric_shop.yaml")
    loads = by_id(rough_cut(shop_of_two.scenario, shop_of_two.order_lines))
    # Only printer_2 can print two of the fabrics; what both can print evens them out.
    assert loads["printer_1"].share == pytest.approx(loads["printer_2"].share, rel=1e-6)


def test_study_weeks_follow_the_warm_up() -> None:
    assert study_weeks(shop()) == range(4)
    assert study_weeks(shop(study={"weeks": 2.5, "opening": "warm", "warm_up_weeks": 1.5})) == range(2, 4)
    assert study_weeks(shop(study={"weeks": 0.5, "opening": "empty"})) == range(1)


def test_forecasts_follow_the_months_and_start_when_told() -> None:
    forecast = {"orders_per_week": 10, "month_index": [1.0] + [2.0] * 11, "starts": datetime.date(2026, 1, 19),
                "mix": [{"product": "box", "share_pct": 1, "pieces": 1}]}  # fmt: skip
    orders = arrivals(shop(demand={"forecast": forecast}, study={"weeks": 6, "opening": "empty"}), ()).orders
    # January has 1 of a mean of 23/12; the sixth week (from 9 February) has 2; nothing before 19 January.
    assert orders[:3] == pytest.approx([0, 0, 10 * 12 / 23])
    assert orders[5] == pytest.approx(10 * 24 / 23)


@pytest.mark.parametrize("demo", ["flag_banner_shop", "frame_fabric_shop", "exhibition_supplier"])
def test_what_is_asked_is_about_what_is_worked(demo: str) -> None:
    """Printing without the gaps of real gangs must come out below the simulated hours, but not far below."""
    given = load_shop(DEMOS / f"{demo}.yaml")
    scenario = given.scenario
    loads = rough_cut(scenario, given.order_lines).loads
    asked = sum(sum(load.asked_h) for load in loads if load.kind == "printer")
    log = simulate(scenario, given.order_lines)
    table = log.table("printer_states")
    mine = (table[:, 1] == STATE["printing"]) & (table[:, 2] >= log.warm_up_min)
    printed_h = float((table[mine, 3] - table[mine, 2]).sum()) / 60
    assert 0.65 < asked / printed_h < 1.02
