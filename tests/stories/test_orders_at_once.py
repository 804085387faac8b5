"""At most so many orders in the shop at once: the next is turned away, or held back until one is complete."""

import datetime

import pytest

from shopsim.measures.audit import audit
from shopsim.measures.kpis import measures_of
from shopsim.measures.why_late import order_story
from tests.stories.shops import centre, clock, crew, endings, order, product, rows, run, shift, shop, step, story

HOUR = product("job", step("work", "bench", 60.0), price_per_piece=10.0, price_per_m2=0.0)


def bench(most, when_full="wait", **changes):
    """One person at one bench where each piece takes an hour."""
    policies = {"orders_at_once": {"most": most, "when_full": when_full, **changes.pop("limit", {})},
                **changes.pop("policies", {})}  # fmt: skip
    base = {"work_centres": [centre("bench", queue_rule="first_come")], "products": [HOUR],
            "crews": [crew("ann", "bench")]}  # fmt: skip
    return shop(policies=policies, **{**base, **changes})


def released(log):
    return [clock(row["released"])[4:] for row in sorted(rows(log, "orders"), key=lambda row: row["order"])]


def seconds_later(line, seconds):
    return line.model_copy(update={"received": line.received + datetime.timedelta(seconds=seconds)})


def held_back(log):
    return [(int(row["order"]), clock(row["start"])[4:], clock(row["end"])) for row in rows(log, "release_waits")]


# -- turned away ------------------------------------------------------------------------------------------------------


def test_the_third_order_is_turned_away_where_two_are_the_most():
    # A 07:00-08:00 and B until 09:00 fill the shop. C comes at 07:20. A is complete at 08:00, though it waits for the
    # collection of 16:00, so D is taken at 08:05 and worked at 09:00-10:00; E at 08:10 finds B and D.
    scenario = bench(2, "turn_away")
    log = run(scenario, *(order(f"Mon {at}", "job") for at in ("07:00", "07:10", "07:20", "08:05", "08:10")))
    assert endings(log) == [
        ("dispatched", "A", "Mon 08:00", "Mon 16:00"),
        ("dispatched", "B", "Mon 09:00", "Mon 16:00"),
        ("turned_away", "C", "never", "never"),
        ("dispatched", "D", "Mon 10:00", "Mon 16:00"),
        ("turned_away", "E", "never", "never"),
    ]
    assert [clock(row["ended"]) for row in rows(log, "orders") if row["ending"] == 4] == ["Mon 07:20", "Mon 08:10"]
    assert (log.leftover.pieces_in, log.leftover.pieces_done, log.leftover.pieces_dropped) == (5, 3, 2)
    assert audit(log, scenario) == []
    found = measures_of(log, scenario)
    # All are due on Friday; those turned away are neither on time nor late, and bring no money.
    assert found["orders_received_per_week"] == 5
    assert (found["turned_away_orders"], found["turned_away_share"], found["cancelled_orders"]) == (2, 0.4, 0)
    assert (found["on_time_share"], found["late_orders"]) == (1, 0)
    assert found["revenue_per_week"] == measures_of(run(bench(9), *(order("Mon 07:00", "job") for _ in range(3))),
                                                    bench(9))["revenue_per_week"]  # fmt: skip


def test_an_order_turned_away_ends_at_the_very_minute_of_its_receipt():
    # The clock comes to these seconds by adding waits longer than itself, which loses the last bit here and there. The
    # first order, of 200 hours, fills the shop.
    first, *others = [seconds_later(order("Mon 00:00", "job"), int(11 * 2.7**i)) for i in range(11)]
    log = run(bench(1, "turn_away"), first.model_copy(update={"pieces": 200}), *others)
    turned_away = [row for row in rows(log, "orders") if row["ending"] == 4]
    assert len(turned_away) == 10
    assert all(row["ended"] == row["received"] for row in turned_away)


def test_no_date_is_kept_or_missed_for_an_order_turned_away():
    # Nine hours of work due on the same day are complete on Tuesday at 08:00; B, due then too, is turned away.
    scenario = bench(1, "turn_away", products=[{**HOUR, "bundle_pieces": 9}])
    found = measures_of(run(scenario, order("Mon 07:00", "job", pieces=9, due="Mon"),
                            order("Mon 07:10", "job", due="Mon")), scenario)  # fmt: skip
    assert (found["on_time_share"], found["late_orders"]) == (0, 1)


def test_an_order_still_with_the_customer_has_its_place():
    # A is approved at 09:00; until then nothing is on the floor, yet B is turned away at 08:00.
    log = run(bench(1, "turn_away"), order("Mon 07:00", "job", approved="Mon 09:00"), order("Mon 08:00", "job"))
    assert [line[0] for line in endings(log)] == ["dispatched", "turned_away"]


def test_a_cancelled_order_makes_room_for_the_next():
    # A is cancelled at 07:20 and still under way until 08:00; B is taken at 07:30.
    log = run(bench(1, "turn_away"), order("Mon 07:00", "job", cancelled="Mon 07:20"), order("Mon 07:30", "job"))
    assert [line[0] for line in endings(log)] == ["cancelled_before_print", "dispatched"]
    assert story(log)[1] == ("work B", "ann", "Mon 08:00", "Mon 09:00")


# -- held back --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("rule", "rush_first", "turns"),
    [
        # At 08:00 the rush order D, then C, which is due first, then B.
        ("due_date", True, ["07:00", "10:00", "09:00", "08:00"]),
        ("first_come", True, ["07:00", "09:00", "10:00", "08:00"]),
        ("first_come", False, ["07:00", "08:00", "09:00", "10:00"]),
    ],
)
def test_orders_are_released_one_by_one_as_others_are_complete(rule, rush_first, turns):
    scenario = bench(1, limit={"release_rule": rule}, policies={"printing": {"rush_first": rush_first}})
    log = run(scenario, order("Mon 07:00", "job"), order("Mon 07:10", "job", due="Fri"),
              order("Mon 07:20", "job", due="Tue"), order("Mon 07:30", "job", due="Fri", rush=True))  # fmt: skip
    assert released(log) == turns
    assert audit(log, scenario) == []


def test_the_lead_time_of_an_order_held_back():
    # A takes three hours. B is with the customer until 09:30, held back until A is complete at 10:00, worked at until
    # 11:00, collected at 16:00. In the week the shop holds B for 540 min less 30, A for 540 min: 1050 of 10080.
    scenario = bench(1)
    log = run(scenario, order("Mon 07:00", "job", pieces=3), order("Mon 07:00", "job", approved="Mon 09:30"))
    assert held_back(log) == [(1, "09:30", "Mon 10:00")]
    assert order_story(log, scenario, 1) == [
        (420, 570, "approval", ""), (570, 600, "release_wait", ""), (600, 660, "work", "bench"),
        (660, 960, "dispatch_wait", ""),
    ]  # fmt: skip
    found = measures_of(log, scenario)
    assert found["held_back_orders"] == pytest.approx(30 / 10080)
    assert found["work_in_process_orders"] == pytest.approx(1050 / 10080)


def test_a_night_is_waited_through():
    # 90 min from 13:45: 75 until 15:00, the rest on Tuesday until 07:15; only then B, which came at 14:00, is released.
    log = run(bench(1, products=[product("job", step("work", "bench", 90.0))]),
              order("Mon 13:45", "job"), order("Mon 14:00", "job"))  # fmt: skip
    assert held_back(log) == [(1, "14:00", "Tue 07:15")]
    assert story(log)[2] == ("work B", "ann", "Tue 07:15", "Tue 08:45")


def test_breaks_put_the_release_off_too():
    # Break 12:00-12:30. A from 11:30: 30 min before it, 30 after: complete at 13:00.
    log = run(bench(1, shifts=[shift("day", breaks=("12:00-12:30",))]), order("Mon 11:30", "job"),
              order("Mon 11:40", "job"))  # fmt: skip
    assert held_back(log) == [(1, "11:40", "Mon 13:00")]


def test_whoever_is_cancelled_while_held_back_is_passed_over():
    # B is cancelled at 07:30: C comes at 08:00, when A is complete. It has 90 pieces in bundles of 8 h, four of which
    # are done in the 39 h left; D is held back beyond the end of the week.
    log = run(bench(1), order("Mon 07:00", "job"), order("Mon 07:10", "job", cancelled="Mon 07:30"),
              order("Mon 07:20", "job", pieces=90), order("Mon 07:40", "job"))  # fmt: skip
    assert held_back(log) == [(1, "07:10", "Mon 07:30"), (2, "07:20", "Mon 08:00"), (3, "07:40", "never")]
    assert [line[0] for line in endings(log)] == ["dispatched", "cancelled_before_print", "inside", "inside"]
    assert log.leftover.pieces_inside == 90 - 32 + 1


def test_a_cancelled_order_lets_the_next_in():
    # A is cancelled at 07:20: B is released then and waits for the bench until 08:00.
    log = run(bench(1), order("Mon 07:00", "job", cancelled="Mon 07:20"), order("Mon 07:10", "job"))
    assert released(log)[1] == "07:20"
    assert story(log)[1] == ("work B", "ann", "Mon 08:00", "Mon 09:00")


def test_an_order_keeps_its_place_until_its_faults_are_mended():
    # Sewn 07:00-07:10, found faulty at 07:12, mended 07:12-07:27, looked at again until 07:29; then the next.
    job = product("job", step("sew", "sewing", 10.0), step("inspect", "look", 2.0))
    log = run(bench(1, work_centres=[centre("sewing", "sewing"), centre("look", "inspection")], products=[job],
                    crews=[crew("sewer", "sewing"), crew("eye", "look")],
                    policies={"quality": {"sewing_fault_pct": 100.0, "sewing_repaired_pct": 100.0}}),
              order("Mon 07:00", "job"), order("Mon 07:00", "job"))  # fmt: skip
    assert released(log) == ["07:00", "07:29"]


def test_orders_without_work_are_let_through_one_after_the_other():
    # 1,500 orders with nothing to look at are held back behind one of an hour, and gone the minute it is complete.
    idle = product("idle", step("inspect", "bench", 0.0))
    log = run(bench(1, products=[HOUR, idle]), order("Mon 07:00", "job"),
              *(order("Mon 07:00", "idle") for _ in range(1500)))  # fmt: skip
    assert set(released(log)[1:]) == {"08:00"}
    assert {line[2] for line in endings(log)} == {"Mon 08:00"}
