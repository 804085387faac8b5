"""Shops in which something once waited for ever, each with the one thing that had to be seen to."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from shopsim.craft.layout import PieceSize, nest_skyline
from shopsim.floor.run import Floor, simulate
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import check_values

MONDAY = datetime.date(2026, 1, 5)
DAYS = ["mon", "tue", "wed", "thu", "fri"]
DAY = 1440


def shift(name: str, hours: str) -> dict[str, Any]:
    return {"id": name, "weeks": [{"blocks": [{"days": DAYS, "hours": hours}]}]}


def print_shop(**parts: Any) -> Scenario:
    """One printer without checks, stops or care, at 3 m an hour for pieces 3 m wide."""
    return check_values({
        "shop": {"name": "waiting", "starts": MONDAY},
        "fabrics": [{"id": "cloth", "family": "front_lit", "roll_length_m": parts.get("roll_m", 100.0),
                     "shrink_along_pct": 0.0, "shrink_across_pct": 0.0}],
        "printers": [{
            "id": "press",
            "modes": [{"id": "fine", "area_rate_m2_per_h": 9.0, "rated_width_m": 3.0, "achieved_share": 1.0}],
            "nozzle_check": None, "first_article": None, "minor_stops": None, "breakdowns": None, "attention_pct": 0.0,
            "care": {"daily_min": 0.0, "weekly_min": 0.0, "service_every_days": None},
            "fixation": {"kind": "inline", "plate_m": 1000.0, "tail_m": 0.0, "warm_up_min": 0.0},
            "roll_change": {"full_min": 10.0, "leader_m": 4.0, "needs_lift": False},
        }],
        "shifts": [shift("day", parts.get("hours", "08:00-16:00"))],
        "crews": [{"id": "hands", "count": 2, "skills": {"printing": 3}, "shift": "day"}],
        "products": [{"id": "banner", "fabric": "cloth",
                      "route": [{"op": "print", "mode": "fine", "edge_extra_m": 0.0}]}],
        "demand": {"order_book": {"file": "book.csv"}},
        "policies": {"printing": parts.get("printing", {}), "quality": {"print_fault_pct": 0.0},
                     "dispatch": {"at_once": True}},
        "study": {"weeks": 4, "opening": "empty"},
    }, "waiting")  # fmt: skip


def order(name: str, hour: int, **cells: Any) -> OrderLine:
    """An order of Monday for one piece of 3 x 1 m, due on Friday, but for what is said otherwise."""
    (width_m, height_m), due = cells.pop("size", (3.0, 1.0)), cells.pop("due", 4)
    return OrderLine(**{
        "order_id": name, "received": datetime.datetime.combine(MONDAY, datetime.time(hour)), "product": "banner",
        "due": MONDAY + datetime.timedelta(due), "pieces": 1, "width_m": width_m, "height_m": height_m, **cells,
    })  # fmt: skip


def completed(scenario: Scenario, *lines: OrderLine) -> list[float]:
    """When each order, in order of receipt, was complete."""
    log = simulate(scenario, lines)
    return log.column("orders", "complete")[log.column("orders", "order").argsort()].tolist()


def test_what_a_run_leaves_behind_becomes_ready_when_it_has_waited_long_enough() -> None:
    """A rush order makes all ready but takes only what is due in its window: the other, alone again, waits its hours.

    Roll change at 08:00, then a first order to 08:30. At 09:00 A, rush and due on Monday, makes the gang ready; B, due
    on Friday, comes while it is. A is done at 09:20; B has waited 5 hours at 14:00 and takes 20 min.
    """
    printing = {"gang_min_web_m": 50.0, "gang_longest_wait_h": 5.0, "gang_window_days": 0.0}
    first = order("first", 8, due=0, rush=True)
    rush, other = order("A", 9, due=0, rush=True), order("B", 9, due=4)
    found = completed(print_shop(printing=printing), first, rush, other)
    assert found == pytest.approx([8 * 60 + 30, 9 * 60 + 20, 14 * 60 + 20])


def test_a_cancelled_rush_order_does_not_take_the_wait_of_others_with_it() -> None:
    """A big run is on the printer till 11:20; the rush order that makes B ready is cancelled at 10:00."""
    printing = {"gang_min_web_m": 8.0, "gang_longest_wait_h": 5.0}
    rush = order("A", 9, due=0, rush=True, cancelled=datetime.datetime(2026, 1, 5, 10))
    found = completed(print_shop(printing=printing), order("big", 8, pieces=9), rush, order("B", 9, due=4))
    # 08:10 + 9 m at 3 m an hour = 11:10 and the gaps; B at 14:00 + 20 min.
    assert found[1] == -1
    assert found[2] == pytest.approx(14 * 60 + 20)


def test_a_tight_nest_is_no_longer_than_a_roll() -> None:
    """These four interlock to one band of 10.02 m that no shelf parts; a roll of 10 m has 6 behind its leader."""
    sizes = [(1.0, 5.5), (0.5, 4.0), (0.5, 5.0), (2.0, 5.0)]
    band = nest_skyline([PieceSize(*size) for size in sizes], 3.06, 0.02, may_turn=False, effort=0).shelves
    assert [shelf.length_m for shelf in band] == [pytest.approx(10.02)]
    printing = {"nesting": "skyline", "gang_longest_wait_h": 1.0, "gang_min_web_m": 50.0}
    orders = [order(f"order {i}", 8, size=size, due=20) for i, size in enumerate(sizes)]
    found = completed(print_shop(printing=printing, roll_m=10.0), *orders)
    assert min(found) > 0 and max(found) < 3 * DAY


def test_a_piece_that_no_day_is_long_enough_for_is_begun_in_the_morning() -> None:
    """15 m at 3 m an hour take 5 hours; the shop is open for 4. Put off on Monday, begun on Tuesday at 08:00."""
    found = completed(print_shop(hours="08:00-12:00"), order("long", 9, size=(3.0, 15.0)))
    assert found == [DAY + 13 * 60]


def test_a_piece_that_each_morning_s_work_leaves_no_time_for_is_begun_on_the_third_day() -> None:
    """11.7 m take 3 h 54 min of a day of 4 hours, and 10 minutes of care come first: Wednesday, not never."""
    scenario = print_shop(hours="08:00-12:00")
    care = {"daily_min": 10.0, "weekly_min": 0.0, "service_every_days": None}
    values = scenario.printers[0].model_copy(update={"care": type(scenario.printers[0].care).model_validate(care)})
    found = completed(scenario.model_copy(update={"printers": (values,)}), order("long", 9, size=(3.0, 11.7)))
    assert found == pytest.approx([2 * DAY + 8 * 60 + 10 + 234])


def test_a_helper_who_comes_later_goes_on_with_what_two_left_unfinished() -> None:
    """Two people sew one large piece of 10 hours: the sewer from 08:00 to 16:00, the helper from 10:00 to 18:00.

    They are there together from 10:00 to 16:00: 6 hours on Monday, 4 on Tuesday from 10:00, when nothing else happens.
    """
    scenario = check_values({
        "shop": {"name": "pair", "starts": MONDAY},
        "work_centres": [{"id": "desk", "kind": "general", "second_person_above_m": 2.0,
                          "two_person_labour_factor": 2.0}],
        "shifts": [shift("early", "08:00-16:00"), shift("late", "10:00-18:00")],
        "crews": [{"id": "sewer", "skills": {"general": 3}, "shift": "early"},
                  {"id": "helper", "skills": {"helper": 3}, "shift": "late"}],
        "products": [{"id": "banner", "route": [{"op": "work", "at": "desk", "minutes": 600.0}]}],
        "demand": {"order_book": {"file": "book.csv"}},
        "policies": {"dispatch": {"at_once": True}},
        "study": {"weeks": 1, "opening": "empty"},
    }, "pair")  # fmt: skip
    assert completed(scenario, order("large", 9, size=(3.0, 1.0))) == [DAY + 14 * 60]


def test_people_round_the_clock_are_never_away() -> None:
    """A shift without end has one day: whoever fell ill on it would be away for the whole run."""
    scenario = check_values({
        "shop": {"name": "always", "starts": MONDAY},
        "work_centres": [{"id": "desk"}],
        "shifts": [{"id": "always", "round_the_clock": True}],
        "crews": [{"id": "all", "count": 20, "skills": {"general": 3}, "shift": "always",
                   "absence": {"new_spell_pct_per_day": 90.0}}],
        "products": [{"id": "banner", "route": [{"op": "work", "at": "desk", "minutes": 5.0}]}],
        "demand": {"order_book": {"file": "book.csv"}},
        "study": {"weeks": 1, "opening": "empty"},
    }, "always")  # fmt: skip
    (crew,) = Floor(scenario, (), 0).crews
    assert len(crew.members) == 20
    assert not any(crew.absent_days)
