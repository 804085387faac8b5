"""Starts from a morning: each kind of thing that can be told of it, and what follows. Tuesday 07:00 unless said."""

from __future__ import annotations

import datetime
from typing import Any

from shopsim.floor.record import RunLog
from shopsim.floor.start_from_today import simulate_from
from shopsim.measures.audit import audit
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_checks import check_today
from shopsim.shop.today_model import OpenOrder, Today
from shopsim.shop.today_start import Start
from tests.stories.shops import (
    STARTS,
    centre,
    clock,
    crew,
    endings,
    fabric,
    machine,
    metres,
    minute,
    moment,
    order,
    print_shop,
    printed,
    printer,
    product,
    rows,
    shop,
    step,
    story,
    to_print,
)

SEWN = product("sewn", step("sew", "sewing", 30.0), step("pack", "packing", 6.0))


def open_order(name: str, *where: dict[str, Any], what: str = "sewn", pieces: int = 1, **more: Any) -> dict[str, Any]:
    """An order received on Monday, due on Friday."""
    line = {"product": what, "pieces": pieces, "where": list(where)}
    return {"order": name, "received": moment("Mon 09:00"), "due": STARTS + datetime.timedelta(days=4),
            "lines": [line], **more}  # fmt: skip


def room(**changes: Any) -> Scenario:
    """Ann and ben sew on two seats, cem packs."""
    crews = [crew("ann", "sewing"), crew("ben", "sewing"), crew("cem", "packing")]
    places = [centre("sewing", "sewing", seats=2), centre("packing", "packing")]
    return shop(**{"work_centres": places, "crews": crews, "products": [SEWN], **changes})


def begin(scenario: Scenario, *orders: dict[str, Any], at: str = "Tue 07:00", book: tuple = (), **told: Any) -> RunLog:
    """One future of a sound morning, audited."""
    today = Today.model_validate({"now": moment(at), "orders": list(orders), **told})
    assert check_today(today, scenario) == []
    log = simulate_from(scenario, book, 0, Start(today))
    assert audit(log, scenario) == []
    return log


def test_pieces_go_on_where_they_are():
    # Two of A's four are packed, one waits for packing, one is under the needle with 12 of its 30 minutes to do. B has
    # not been started. Ann and ben come at 07:00: ann goes on with A, ben begins B, cem packs.
    log = begin(
        room(),
        open_order("A", {"at": "done", "pieces": 2}, {"at": "pack", "pieces": 1},
                   {"at": "sew", "pieces": 1, "in_work": True, "minutes_left": 12.0}, pieces=4),
        open_order("B"),
    )  # fmt: skip
    assert story(log) == [
        ("sew A", "ann", "Tue 07:00", "Tue 07:12"),
        ("sew B", "ben", "Tue 07:00", "Tue 07:30"),
        ("pack A", "cem", "Tue 07:00", "Tue 07:06"),
        ("pack A", "cem", "Tue 07:12", "Tue 07:18"),
        ("pack B", "cem", "Tue 07:30", "Tue 07:36"),
    ]
    assert endings(log) == [
        ("dispatched", "A", "Tue 07:18", "Tue 16:00"),
        ("dispatched", "B", "Tue 07:36", "Tue 16:00"),
    ]
    # The run ends half a minute after the last order has left.
    assert log.horizon_min == minute("Tue 16:00") + 0.5
    assert log.warm_up_min == minute("Tue 07:00")


def test_work_in_hand_is_half_done_unless_told_and_may_be_told_in_pieces():
    # A: 2 pieces of 30 min in one bundle, half of 60. B: 4 pieces, one of which is still to be sewn: 30 of 120.
    log = begin(
        room(),
        open_order("A", {"at": "sew", "pieces": 2, "in_work": True}, pieces=2),
        open_order("B", {"at": "sew", "pieces": 4, "in_work": True, "pieces_left": 1}, pieces=4),
    )
    assert story(log, "sew") == [
        ("sew A", "ann", "Tue 07:00", "Tue 07:30"),
        ("sew B", "ben", "Tue 07:00", "Tue 07:30"),
    ]


def test_who_waits_longest_is_first_and_made_again_comes_before():
    # First come by the time told: B waits since Monday 10:00, A since 11:00. C is made again and goes before both.
    places = [centre("sewing", "sewing", seats=1, queue_rule="first_come"), centre("packing", "packing")]
    log = begin(
        room(work_centres=places, crews=[crew("ann", "sewing"), crew("cem", "packing")]),
        open_order("A", {"at": "sew", "pieces": 1, "since": moment("Mon 11:00")}),
        open_order("B", {"at": "sew", "pieces": 1, "since": moment("Mon 10:00")}),
        open_order("C", {"at": "sew", "pieces": 1, "made_again": True}),
    )
    assert [line[0] for line in story(log, "sew")] == ["sew C", "sew B", "sew A"]


def test_absent_down_and_overtime():
    # Ben is back on Wednesday and one of the two seats is down until 09:00; ann stays two hours longer. She sews A's 8
    # pieces, then the first bundle of 8 of B and, from 15:00 on, the other 4.
    log = begin(
        room(),
        open_order("A", pieces=8, due=STARTS + datetime.timedelta(days=3)),
        open_order("B", pieces=12),
        absent=[{"crew": "ben", "back": STARTS + datetime.timedelta(days=2)}],
        down=[{"place": "sewing", "until": moment("Tue 09:00")}],
        overtime=[{"crew": "ann", "on": STARTS + datetime.timedelta(days=1), "minutes": 120.0}],
    )
    assert story(log, "sew")[:3] == [
        ("sew A", "ann", "Tue 07:00", "Tue 11:00"),
        ("sew B", "ann", "Tue 11:00", "Tue 15:00"),
        ("sew B", "ann", "Tue 15:00", "Tue 17:00"),
    ]
    assert [(row["start"], row["end"], row["people"]) for row in rows(log, "overtime")] == [
        (minute("Tue 15:00"), minute("Tue 17:00"), 1.0)
    ]
    assert [row["day"] for row in rows(log, "absences")] == [1.0]


def test_a_seat_told_to_be_down_is_free_again():
    log = begin(room(), open_order("A"), open_order("B"), down=[{"place": "sewing", "until": moment("Tue 07:20")}])
    assert story(log, "sew") == [
        ("sew A", "ann", "Tue 07:00", "Tue 07:30"),
        ("sew B", "ben", "Tue 07:20", "Tue 07:50"),
    ]


def test_outside_until_then_and_approval_as_expected():
    # A's sewing comes back on Tuesday at 10:00; B's customer answers at 08:00.
    log = begin(
        room(),
        open_order("A", {"at": "sew", "pieces": 1, "outside_until": moment("Tue 10:00")}),
        open_order("B", stage="approval", expected=moment("Tue 08:00")),
    )
    assert story(log) == [
        ("bought_in A", "outside", "Tue 07:00", "Tue 10:00"),
        ("sew B", "ann", "Tue 08:00", "Tue 08:30"),
        ("pack B", "cem", "Tue 08:30", "Tue 08:36"),
        ("pack A", "cem", "Tue 10:00", "Tue 10:06"),
    ]


def test_complete_orders_leave_and_checks_are_done():
    scenario = room(policies={"dispatch": {"order_check_at": "packing", "order_check_min": 4.0}})
    log = begin(scenario, open_order("A", stage="complete"), open_order("B", stage="order_check"))
    assert story(log) == [("order_check B", "cem", "Tue 07:00", "Tue 07:04")]
    assert [line[3] for line in endings(log)] == ["Tue 16:00", "Tue 16:00"]


def test_the_book_brings_what_is_received_later_and_nothing_else():
    # X was received on Monday and is not told of: it has left. Y comes at 08:00 and is behind A.
    book = (order("Mon 08:00", "sewn", order_id="X"), order("Tue 07:10", "sewn", order_id="Y"))
    log = begin(room(crews=[crew("ann", "sewing"), crew("cem", "packing")]), open_order("A"), book=book)
    assert story(log, "sew") == [
        ("sew A", "ann", "Tue 07:00", "Tue 07:30"),
        ("sew B", "ann", "Tue 07:30", "Tue 08:00"),
    ]
    # Y, number 1, has not left when the run ends with A's collection; both leave then.
    assert [row["received"] for row in rows(log, "orders")] == [minute("Mon 09:00"), minute("Tue 07:10")]


def test_a_run_that_watches_the_request_alone_ends_with_it():
    # B's customer answers on Wednesday; C is requested and leaves on Tuesday at 16:00.
    told = {"now": moment("Tue 07:00"), "orders": [open_order("B", stage="approval", expected=moment("Wed 08:00"))]}
    today, request = Today.model_validate(told), OpenOrder.model_validate(open_order("C"))
    for alone, end in ((True, "Tue 16:00"), (False, "Wed 16:00")):
        log = simulate_from(room(), (), 0, Start(today, (request,), requests_alone=alone))
        assert minute(end) < log.horizon_min < minute(end) + 60
        assert end in [line[3] for line in endings(log)]


def test_a_hot_printer_with_its_roll_goes_on_printing():
    # 10:00, plate hot, 60 m of knit on the printer: A's run of 8 m goes on at once and is off after its tail of 3 m.
    log = begin(
        print_shop(),
        open_order("A", {"at": "printing", "pieces": 8, "printer": "p1"}, what="banner", pieces=8),
        at="Tue 10:00",
        printers=[{"printer": "p1", "fabric": "knit", "metres_left": 60.0, "plate": "hot", "mode": "std"}],
    )
    assert printed(log) == [("8 of A", "p1", "Tue 10:00", "Tue 10:11")]
    assert machine(log, start="Tue 10:00", end="Tue 10:30") == [
        ("printing", "p1", "Tue 10:00", "Tue 10:08"),
        ("tail", "p1", "Tue 10:08", "Tue 10:11"),
        ("waiting_job", "p1", "Tue 10:11", "Tue 10:30"),
    ]
    assert metres(log) == {"printed": 8.0, "tail_blank": 3.0}
    assert log.leftover.opening_m == {0: 60.0}


def test_a_cold_printer_in_the_morning_warms_up_with_its_roll_on():
    # Warm-up until 07:20; the roll of yesterday has 60 m left: no change.
    log = begin(
        print_shop(), open_order("A", what="banner", pieces=8),
        printers=[{"printer": "p1", "fabric": "knit", "metres_left": 60.0}],
    )  # fmt: skip
    assert printed(log) == [("8 of A", "p1", "Tue 07:20", "Tue 07:31")]


def test_a_printer_that_is_down_comes_back_cold():
    # Repaired at 09:00: warm-up, then the roll is changed because none is told of: 09:20 to 09:40.
    log = begin(
        print_shop(), open_order("A", what="banner", pieces=10),
        printers=[{"printer": "p1", "down_until": moment("Tue 09:00")}],
    )  # fmt: skip
    assert machine(log, start="Tue 07:00", end="Tue 09:00") == [("breakdown", "p1", "Tue 07:00", "Tue 09:00")]
    assert printed(log)[0][2:] == ("Tue 09:40", "Tue 09:53")


def test_counted_cloth_and_rolls_on_their_way():
    # No roll is here; two come on Tuesday (at 08:00). Reordering counts them, so no more are bought.
    scenario = print_shop(fabrics=[fabric(stock={"rolls": 9, "reorder_at_rolls": 1, "order_rolls": 5,
                                                 "supply_days": 3.0})])  # fmt: skip
    log = begin(
        scenario, open_order("A", what="banner", pieces=10),
        cloth=[{"fabric": "knit", "full_rolls": 0, "arriving": [{"rolls": 2, "on": STARTS + datetime.timedelta(1)}]}],
    )  # fmt: skip
    # 08:00 the rolls, 20 min to change one, then 10 min of print.
    assert printed(log)[0][2:] == ("Tue 08:20", "Tue 08:33")
    assert metres(log)["bought"] == 200.0
    assert log.leftover.opening_m == {0: 0.0}


def test_printed_pieces_on_the_take_up_come_off_when_it_is_changed():
    cut = product("banner", to_print(), step("work", "table", 2.0))
    scenario = print_shop(
        printers=[{**print_shop().printers[0].model_dump(), "take_up": {"leaves": "at_run_end", "change_min": 5.0}}],
        products=[cut], work_centres=[centre("table")], crews=[crew("op", "printing"), crew("ann", "table")],
    )  # fmt: skip
    log = begin(
        scenario,
        open_order("A", {"at": "printed", "pieces": 3, "printer": "p1"}, {"at": "printed", "pieces": 1},
                   what="banner", pieces=4),
    )  # fmt: skip
    # One lies before the table; the others come after warm-up until 07:20 and the change of the take-up until 07:25.
    assert story(log, "work") == [
        ("work A", "ann", "Tue 07:00", "Tue 07:02"),
        ("work A", "ann", "Tue 07:25", "Tue 07:31"),
    ]


def test_two_waits_of_a_list_are_over_for_orders_that_have_left():
    # The list says X, A, B. X is not told of: it has left, so A's turn has come; B waits for A.
    # Numbers go by the file, so that the order called B is A in the story.
    listed = {"policies": {"sequences": [{"at": "sewing", "orders": ["X", "A", "B"]}]}}
    book = (order("Mon 08:00", "sewn", order_id="X"),)
    alone = [crew("ann", "sewing"), crew("cem", "packing")]
    log = begin(room(crews=alone, **listed), open_order("B"), open_order("A"), book=book)
    assert [line[0] for line in story(log, "sew")] == ["sew B", "sew A"]


def test_the_house_limit_counts_orders_told_of():
    # At most one order at a time: A has been released and has the place; B's approval comes at 07:10, it waits for A.
    limit = {"policies": {"orders_at_once": {"most": 1, "when_full": "wait"}}}
    log = begin(
        room(**limit), open_order("A"), open_order("B", stage="approval", expected=moment("Tue 07:10"))
    )  # fmt: skip
    assert story(log, "sew") == [
        ("sew A", "ann", "Tue 07:00", "Tue 07:30"),
        ("sew B", "ann", "Tue 07:36", "Tue 08:06"),
    ]


def tight(**changes: Any) -> Scenario:
    """No room before cem's table but on its one seat."""
    places = [centre("sewing", "sewing", seats=2), centre("packing", "packing", room_before_bundles=0)]
    return room(work_centres=places, **changes)


def room_waits(log: RunLog) -> list[tuple[float, str, float]]:
    """Order, when there was room, and the seat it kept till then (-1: none)."""
    return [(each["order"], clock(each["end"]), each["kept_seat"]) for each in rows(log, "room_waits")]


def test_what_finds_no_room_in_the_morning_waits_outside_and_keeps_nobodys_seat():
    # One lies on cem's seat, two before it where there is no room; D is sewn until 07:30 and finds the place free.
    lying = [open_order(name, {"at": "pack", "pieces": 1}) for name in "ABC"]
    log = begin(tight(), *lying, open_order("D"))
    assert story(log, "pack") == [
        ("pack A", "cem", "Tue 07:00", "Tue 07:06"), ("pack B", "cem", "Tue 07:06", "Tue 07:12"),
        ("pack C", "cem", "Tue 07:12", "Tue 07:18"), ("pack D", "cem", "Tue 07:30", "Tue 07:36"),
    ]  # fmt: skip
    assert room_waits(log) == [(1, "Tue 07:06", -1), (2, "Tue 07:12", -1)]


def test_work_at_a_desk_needs_no_room():
    # A is to be checked at cem's table before it leaves; B takes the room, C waits for it.
    checked = {"policies": {"dispatch": {"order_check_at": "packing", "order_check_min": 4.0}}}
    lying = [open_order(name, {"at": "pack", "pieces": 1}) for name in "BC"]
    log = begin(tight(**checked), open_order("A", stage="order_check"), *lying)
    assert [line[0] for line in story(log)] == [
        "order_check A", "pack B", "order_check B", "pack C", "order_check C",
    ]  # fmt: skip
    assert room_waits(log) == [(2, "Tue 07:10", -1)]


def test_what_rests_goes_on_when_told_or_after_its_usual_time():
    drying = product("sewn", step("sew", "sewing", 30.0), {"op": "rest", "minutes": 60.0}, step("pack", "packing", 6.0))
    rests = {"at": "rest", "pieces": 1}
    log = begin(
        room(products=[drying]), open_order("A", {**rests, "until": moment("Tue 09:00")}), open_order("B", rests)
    )
    assert story(log) == [("pack B", "cem", "Tue 08:00", "Tue 08:06"), ("pack A", "cem", "Tue 09:00", "Tue 09:06")]


def test_who_is_away_without_a_day_to_come_back_is_away_today():
    log = begin(room(), open_order("A"), absent=[{"crew": "ann"}, {"crew": "ben"}])
    assert story(log, "sew") == [("sew A", "ann", "Wed 07:00", "Wed 07:30")]


def print_on(told: dict[str, Any], at: str = "Tue 07:00", **parts: Any) -> list[tuple[str, str, str, str]]:
    """What the printer does with 60 m to print on a roll that is on, tail left out."""
    log = begin(
        print_shop(printers=[printer(**parts)]), open_order("A", what="banner", pieces=60), at=at,
        printers=[{"printer": "p1", "fabric": "knit", "metres_left": 90, **told}],
    )  # fmt: skip
    return [line for line in machine(log, start=at, end=f"{at[:3]} 15:00") if line[0] not in ("tail", "waiting_job")]


def test_a_printer_with_blocked_nozzles_goes_on_slowly_and_is_serviced_at_its_next_start():
    heads = {"nozzle_check": {"every_running_h": None, "at_shift_start": False, "after_roll_change": False,
                              "slow_speed_share": 0.75, "service_min": 60.0}}  # fmt: skip
    # In the middle of a shift: 60 m at three quarters of 1 m a minute.
    assert print_on({"slow": True}, "Tue 10:00", **heads) == [("printing", "p1", "Tue 10:00", "Tue 11:20")]
    # In the morning it is serviced while it warms up, then as fast as ever.
    assert print_on({"slow": True}, **heads) == [
        ("cleaning", "p1", "Tue 07:00", "Tue 08:00"), ("printing", "p1", "Tue 08:00", "Tue 09:00"),
    ]  # fmt: skip
    assert print_on({"slow": False}, "Tue 10:00", **heads) == [("printing", "p1", "Tue 10:00", "Tue 11:00")]


def test_a_printer_has_lived_the_hours_it_is_told_to_have_run():
    worn = {"breakdowns": {"every_running_h": {"empirical": [10]}, "repairs": [{"share_pct": 100, "hours": 1.0}]}}
    assert print_on({"ran_h": 9.5}, "Tue 10:00", **worn) == [
        ("printing", "p1", "Tue 10:00", "Tue 10:30"), ("breakdown", "p1", "Tue 10:30", "Tue 11:30"),
        ("printing", "p1", "Tue 11:30", "Tue 12:00"),
    ]  # fmt: skip
    assert print_on({}, "Tue 10:00", **worn) == [("printing", "p1", "Tue 10:00", "Tue 11:00")]


def test_service_keeps_the_rhythm_it_has_since_the_scenarios_start():
    every_other_day = {"care": {"service_every_days": 2, "service_h": 1.0}}
    scenario = print_shop(printers=[printer(**every_other_day)])
    log = begin(scenario, open_order("A", what="banner", pieces=60), at="Tue 15:30")
    assert machine(log, start="Wed 07:00", end="Wed 08:20") == [
        ("service", "p1", "Wed 07:00", "Wed 08:00"), ("warming", "p1", "Wed 08:00", "Wed 08:20"),
    ]  # fmt: skip
    assert print_on({}, "Tue 07:00", **every_other_day)[0] == ("warming", "p1", "Tue 07:00", "Tue 07:20")
    told = {"service_on": STARTS + datetime.timedelta(days=1)}
    assert print_on(told, "Tue 07:00", **every_other_day)[0] == ("service", "p1", "Tue 07:00", "Tue 08:00")
