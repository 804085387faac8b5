"""A cancelled piece is put away by whoever next looks at it: what comes free then may be work for that very person."""

import pytest

from tests.stories.shops import centre, crew, order, product, run, shift, shop, step, story


@pytest.mark.parametrize("interrupted_by", ["nothing", "rush"])
@pytest.mark.parametrize("at_shift_end", ["hand_over", "keep"])
def test_a_worn_seat_left_by_a_cancelled_piece_is_renewed_by_whoever_put_it_away(interrupted_by, at_shift_end):
    # A is sewn 14:15-15:00, so that the needle bar, to be renewed after 30 minutes, is worn; A is cancelled at night.
    # On Tuesday Ann puts A away and renews the part, 07:00-08:00; only then does she sew B at the other machine.
    stops = {"every_running_h": 100.0, "repairs": [{"share_pct": 100.0, "hours": 1.0}],
             "renew_after_running_h": 0.5, "renewal_h": 1.0, "repair_at": "bench"}  # fmt: skip
    sewing = centre("sewing", "sewing", seats=2, stops=stops, interrupted_by=interrupted_by)
    scenario = shop(
        work_centres=[sewing, centre("bench", "repair")],
        products=[product("job", step("sew", "sewing", 60.0))],
        crews=[crew("ann", "sewing bench", at_shift_end=at_shift_end)],
    )
    log = run(scenario, order("Mon 14:15", "job", cancelled="Mon 20:00"), order("Mon 14:30", "job"))
    assert story(log)[:3] == [
        ("sew A", "ann", "Mon 14:15", "Mon 15:00"),
        ("machine_repair", "ann", "Tue 07:00", "Tue 08:00"),
        ("sew B", "ann", "Tue 08:00", "Tue 09:00"),
    ]


def test_room_left_by_a_cancelled_piece_is_taken_by_whoever_put_it_away():
    # Bob, there on Monday only, makes A until 14:30 and B until 14:40, which finds no room and keeps the seat. Ann is
    # at A from 14:30 to 15:00; A is cancelled at night. On Tuesday she puts it away, B is let in and hers at once; C,
    # for which B has left the seat, waits until she is done with B.
    job = product("job", step("work", "first", 10.0), step("work", "second", 60.0))
    scenario = shop(
        work_centres=[centre("first"), centre("second", room_before_bundles=0)],
        products=[job],
        shifts=[shift("day"), shift("monday", days="mon")],
        crews=[crew("ann", "second first"), crew("bob", "first", shift="monday")],
    )
    log = run(scenario, order("Mon 14:20", "job", cancelled="Mon 20:00"), order("Mon 14:25", "job"),
              order("Mon 14:40", "job"))  # fmt: skip
    assert story(log) == [
        ("work A", "bob", "Mon 14:20", "Mon 14:30"),
        ("work A", "ann", "Mon 14:30", "Mon 15:00"),
        ("work B", "bob", "Mon 14:30", "Mon 14:40"),
        ("work B", "ann", "Tue 07:00", "Tue 08:00"),
        ("work C", "ann", "Tue 08:00", "Tue 08:10"),
        ("work C", "ann", "Tue 08:10", "Tue 09:10"),
    ]
