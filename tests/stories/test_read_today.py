"""What a floor in the middle of its work looks like as the file of a morning: where every piece is."""

from __future__ import annotations

from typing import Any

from shopsim.floor.read_today import read_today
from shopsim.floor.run import Floor
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_model import Today
from tests.stories.shops import centre, crew, minute, moment, order, print_shop, product, shop, step
from tests.stories.test_calender import offline


def told_at(scenario: Scenario, at: str, *orders: Any) -> Today:
    floor = Floor(scenario, orders, 0)
    floor.env.run(until=minute(at))
    return read_today(floor)


def where(told: Today) -> list[list[tuple[str, int]]]:
    """Step and pieces of the first line of each order."""
    return [[(part.at, part.pieces) for part in each.lines[0].where] for each in told.orders]


def sewing(**changes: Any) -> Scenario:
    """Ann sews 20 min a piece at one seat, cem packs 6."""
    sewn = product("sewn", step("sew", "sewing", 20.0), step("pack", "packing", 6.0), bundle_pieces=1)
    base = {"work_centres": [centre("sewing", "sewing"), centre("packing", "packing")], "products": [sewn],
            "crews": [crew("ann", "sewing"), crew("cem", "packing")]}  # fmt: skip
    return shop(**{**base, **changes})


def test_a_sewing_room_without_printers_has_no_cloth_to_tell_of() -> None:
    # 07:00 to 07:20 the first, packed until 07:26; the second has 15 of its 20 minutes to do at 07:25.
    told = told_at(sewing(), "Mon 07:25", order("Mon 07:00", "sewn", 3))
    assert (told.printers, told.cloth) == ((), ())
    (line,) = told.orders[0].lines
    assert {(part.at, part.in_work, part.minutes_left, part.pieces) for part in line.where} == {
        ("pack", True, 1.0, 1), ("sew", True, 15.0, 1), ("sew", False, None, 1),
    }  # fmt: skip


def test_overtime_that_is_agreed_and_what_is_left_of_work_in_it() -> None:
    # Ann has 10 h waiting for her at 15:00 and stays an hour: piece 24 ends at 15:00, the 25th at 15:20.
    stays = {"policies": {"overtime": [{"crews": ["ann"], "when_queue_h": 1, "minutes": 60}]}}
    told = told_at(sewing(**stays), "Mon 15:05", order("Mon 07:00", "sewn", 54))
    assert [part.minutes_left for part in told.orders[0].lines[0].where if part.in_work and part.at == "sew"] == [15.0]
    # After the end of her shift nobody has to be told: it is over, and the hour goes on by itself.
    assert told.overtime == ()
    told = told_at(sewing(**stays), "Mon 14:55", order("Mon 07:00", "sewn", 54))
    assert [(each.crew, each.on, each.minutes) for each in told.overtime] == [("ann", moment("Mon 07:00").date(), 60.0)]


def test_pieces_on_a_printer_are_in_print_until_their_run_is_and_printed_until_they_are_off() -> None:
    # On the printer 07:40 to 08:00, off it after 3 m of tail at 08:03.
    banners = order("Mon 07:00", pieces=20)
    for at, there, left_m in (("Mon 07:50", "printing", 96.0), ("Mon 08:01", "printed", 73.0)):
        told = told_at(print_shop(), at, banners)
        assert where(told) == [[(there, 20)]]
        assert told.orders[0].lines[0].where[0].printer == "p1"
        # The metres of a stretch, and of its tail, are taken off the roll at once: before, all of it is still to come.
        assert (told.printers[0].fabric, told.printers[0].metres_left) == ("knit", left_m)
    assert told_at(print_shop(), "Mon 08:04", banners).orders == ()


def test_pieces_that_dry_or_lie_before_a_calender_or_go_over_it() -> None:
    # Wet on the take-up at 07:32, dry at 07:47, on the drum 08:30 to 08:50; bundles of eight.
    for at in ("Mon 07:40", "Mon 08:00", "Mon 08:40"):
        assert where(told_at(offline(), at, order("Mon 07:00", pieces=10))) == [[("calender", 8), ("calender", 2)]], at
