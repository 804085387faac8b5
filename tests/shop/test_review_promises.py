"""The review by hand: promised days against an empty shop, with the usual waits, and the dates of an order book."""

from __future__ import annotations

from typing import Any

import pytest

from shopsim.craft.waits import wait_in_line_min
from shopsim.shop.review.finding import Finding
from tests.shop.reviewed import BANNER, calm, hand, ids, machine, reviewed, the
from tests.stories.shops import centre, order, product, step, to_print

TEN_HOURS = [product("job", step("work", "bench", 600), price_per_piece=20)]


def promised(lead_days: float, orders_per_week: float = 0.01, **changes: Any) -> list[Finding]:
    """Jobs of ten hours that come at any hour of the week, collected at 16:00; people are there 8 h a day."""
    forecast = {
        "orders_per_week": orders_per_week, "evenly_spread": True, "lines_per_order": 1, "lead_days": lead_days,
        "rush_pct": 0, "mix": [{"product": "job", "share_pct": 1, "pieces": 1}],
    }  # fmt: skip
    base: dict[str, Any] = {"products": TEN_HOURS, "demand": {"forecast": forecast}}
    return reviewed(calm(**{**base, **changes}))


def test_a_promise_that_an_empty_shop_cannot_keep() -> None:
    # Ten hours need two days of eight: at best the job leaves with the second collection after it came. It misses one
    # more if it comes after 13:30 and before 16:00 on a working day, as fewer than two hours of that day are left: at
    # 14:30 and 15:30 of 24 hours, five days of seven, so 1 + 10/168 days on average.
    found = the("promise_impossible", promised(0))
    assert found.where == "promises for job"
    assert found.found == (
        "job, 1 piece, promised in 0 working days on average: an empty shop needs 1 at best, 1.1 on average over the "
        "hours of receipt; 100 % would leave late"
    )
    assert "shorten the slowest step, bench" in found.do


def test_the_slowest_step_is_where_a_line_stays_longest_with_its_wait() -> None:
    # Six jobs a week: ten hours at the bench and 13 in line (60 h of 80), six at the table and 54 in line (36 of 40).
    route = [product("job", step("work", "bench", 600), step("work", "table", 360), price_per_piece=20)]
    centres = [centre("bench", "general", skill="bench", seats=2), centre("table", "general", skill="table")]
    crews = [hand("op", "printing bench"), hand("desk", "table", count=1)]
    found = promised(4, orders_per_week=6, products=route, work_centres=centres, crews=crews)
    assert "shorten the slowest step, table" in the("promise_tight", found).do


def test_a_promise_that_is_too_short_for_some_hours() -> None:
    found = the("promise_short", promised(1))
    assert found.found.endswith("; 6 % would leave late")  # 10 of 168 hours
    assert promised(2) == []


def test_rest_and_approval_take_their_time() -> None:
    # 24 h of rest behind the work put every job off by a day, so that nearly all miss a promise of one day; with the
    # promise counted from receipt a whole day until approval does the same.
    rest = [product("job", step("work", "bench", 600), {"op": "rest", "minutes": 1440}, price_per_piece=20)]
    assert ids(promised(1, products=rest)) == ["promise_impossible"]
    assert promised(3, products=rest) == []
    forecast = {
        "orders_per_week": 0.01, "evenly_spread": True, "lines_per_order": 1, "lead_days": 1, "rush_pct": 0,
        "mix": [{"product": "job", "share_pct": 1, "pieces": 1}],
    }  # fmt: skip
    art = {"new_file_pct": 100, "sent_back_pct": 0, "approval_after_h": 24}
    late = {"forecast": forecast, "artwork": art, "lead_from_approval": False}
    assert the("promise_short", promised(1, demand=late)).size > 0.5
    assert the("promise_short", promised(1, demand={**late, "lead_from_approval": True})).size == pytest.approx(
        10 / 168
    )


def test_the_usual_wait_in_line() -> None:
    # Hopp & Spearman's and Sakasegawa's figure for three machines of 20 min at 23/24 of their capacity (case A-14).
    assert wait_in_line_min(20, 3, 23 / 24) / 60 == pytest.approx(2.467, abs=5e-4)
    # One seat at 90 %: nine jobs' time; none from 100 % on.
    assert wait_in_line_min(600, 1, 0.9) == pytest.approx(5400)
    assert wait_in_line_min(600, 1, 1.0) == float("inf")
    assert wait_in_line_min(600, 1, 0.9, 1.0, 0.0) == pytest.approx(2700)


def test_a_promise_that_waits_may_break() -> None:
    # One person, 3.6 jobs of 10 h a week: 90 % of 40 h. An empty shop keeps two days; the wait of nine jobs is 90 h,
    # so a job takes 100 h, 12.5 days of eight: the 12th collection after the first, or the 13th if it comes from 11:30
    # to 15:30 on a working day with fewer than four hours left, 25 of 168 hours.
    alone = [hand("op", "printing"), hand("packer", "bench", count=1)]
    found = the("promise_tight", promised(2, 3.6, crews=alone))
    assert "12.1 on average with the waits usual at such loads, about 100 % late; a rough figure" in found.found
    assert "Sakasegawa 1977" in found.basis


def test_dates_of_a_book_that_had_passed_before_they_could_be_kept() -> None:
    scenario = calm(products=TEN_HOURS)
    early = order("Mon 07:00", "job", due="Mon", order_id="early")
    # Ten hours from Monday 07:00 end on Tuesday at 09:00: a day late for the first, in time for the second.
    found = the("dates_impossible", reviewed(scenario, early, order("Mon 07:00", "job", due="Tue")))
    assert found.where == "dates of 1 order of the book"
    assert found.found == (
        "of 2 orders these are due before they could leave an empty shop: early; the worst, early, by 1 working day"
    )
    # Approved on Tuesday at 16:00, after the day: Wednesday and two hours of Thursday, two days late.
    held = order("Mon 07:00", "job", due="Tue", approved="Tue 16:00")
    assert the("dates_impossible", reviewed(scenario, held)).found.endswith("by 2 working days")
    gone = order("Mon 07:00", "job", due="Mon", cancelled="Mon 08:00")
    assert reviewed(scenario, gone) == []


def test_a_large_line_is_shared_by_the_seats_and_moves_in_bundles() -> None:
    # 100 jobs of 48 min in bundles of 10 at two seats: 40 h each, a week. Due on Friday at 16:00 it can just leave.
    jobs = [product("job", step("work", "bench", 48), price_per_piece=20, bundle_pieces=10)]
    scenario = calm(products=jobs, printers=[], fabrics=[])
    assert "dates_impossible" not in ids(reviewed(scenario, order("Mon 07:00", "job", pieces=100, due="Fri")))
    late = reviewed(scenario, order("Mon 07:00", "job", pieces=101, due="Fri"))
    assert the("dates_impossible", late).found.endswith("by 1 working day")


def test_the_way_over_the_calender() -> None:
    # 60 m print in an hour, dry 30 min, and pass 0.75 x 3.14 x 0.6 m / 35 s = 145.4 m an hour in 24.8 min after 10 of
    # set-up: from 07:00 until 09:05, from 12:00 (a break of 30 min for the drum alone) until 14:05, in time for 16:00.
    wet = machine()
    wet["fixation"] = {"kind": "offline", "calender": "drum", "drying_min": 30}
    drum = {"id": "drum", "people": 1, "set_up_min": 10, "warm_up_min": 0, "money": {"price": 5, "life_years": 7}}
    scenario = calm(printers=[wet, {**wet, "id": "p2"}], calenders=[drum], products=[BANNER])
    on_time = order("Mon 13:00", pieces=60, due="Mon")
    assert "dates_impossible" not in ids(reviewed(scenario, on_time))
    late = order("Mon 13:30", pieces=60, due="Mon")
    # From 13:30 until 15:35: the people of the drum go home at 15:30.
    assert "dates_impossible" in ids(reviewed(scenario, late))


def test_printing_alone_with_its_tail() -> None:
    # 420 m print in 7 h; the tail of 3 m takes 3 min: received at 08:00 all is off at 15:03, at 08:30 not before 15:30.
    scenario = calm(
        products=[product("banner", to_print(), price_per_m2=20)], policies={"printing": {"gang_max_web_m": 500}}
    )
    assert reviewed(scenario, order("Mon 08:00", pieces=420, due="Mon")) == []
    assert ids(reviewed(scenario, order("Mon 08:30", pieces=420, due="Mon"))) == ["dates_impossible"]
