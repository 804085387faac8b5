"""A week as text: exact for a shop followed by hand, and within its width for any."""

from dataclasses import replace
from pathlib import Path

import pytest

from shopsim.floor.record import KINDS, STATES
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.studies.replication import one_log
from shopsim.terminal.gantt import week_gantt
from shopsim.terminal.week_rows import PERSON_SIGNS, PRINTER_SIGNS, week_rows
from tests.doors.tiny import write_shop

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"

# By hand from the times in `tests.doors.tiny`: in the cell of 07:15 the roll change has 10 minutes and the warm-up 5;
# in that of 11:30 sewing has 2 of 15, so the seat was used, but the sewer was mostly idle.
TWO_DAYS = """\
Week 1, 2026-01-05 to 2026-01-11, replication 0: each sign is what filled most
of 15 minutes

Mon 2026-01-05  07  08  09  10  11  12  13  14
p1              wRRPP.......PPPPPPP.............
sewing_table, 1 ....1111111.......11  1111111111
bench, 1        ........111.....................
operator        .RR.............................
Sewer           ....wwwwww.........w--wwwwwwwwww
packer          ........ppp.....................

Tue 2026-01-06  07  08  09  10  11  12  13  14
p1              w...............................
sewing_table, 1 111111111...........  ..........
bench, 1        ........11111111................
operator        ................................
Sewer           wwwwwwwww...........--..........
packer          .........ppppppp................
"""
WEEKEND_AND_LEGEND = """
Sat 2026-01-10  closed

Sun 2026-01-11  closed

Printers: w warming, . waiting for a job, P printing, R roll change, blank off
Places and their seats: number of seats at work, . open, no seat at work,
  blank closed
People: p pack, w work, R roll change, . no work, - break, blank off"""


@pytest.fixture
def tiny(tmp_path: Path) -> Shop:
    return load_shop(write_shop(tmp_path))


def test_a_week_followed_by_hand(tiny: Shop) -> None:
    text = week_gantt(one_log(tiny.scenario, tiny.order_lines), tiny.scenario, 1, 80)
    assert text.startswith(TWO_DAYS)
    assert text.endswith(WEEKEND_AND_LEGEND)


def test_a_narrow_terminal_gets_half_hours(tiny: Shop) -> None:
    lines = week_gantt(one_log(tiny.scenario, tiny.order_lines), tiny.scenario, 1, 40).splitlines()
    monday = lines.index("Mon 2026-01-05  07  09  11  13")
    # 07:00 warm-up 20 of 30 minutes; 07:30 printing 20; 08:00 printing 10 and tail 3, then waiting 17.
    assert lines[monday + 1] == "p1              wP....PPP......."


@pytest.mark.parametrize("week", [0, 2])
def test_weeks_outside_the_study_are_refused(tiny: Shop, week: int) -> None:
    log = one_log(tiny.scenario, tiny.order_lines)
    with pytest.raises(ValueError) as error:
        week_gantt(log, tiny.scenario, week, 80)
    assert str(error.value) == f"the study has weeks 1 to 1, found {week}"


@pytest.mark.parametrize("demo", ["flag_banner_shop", "frame_fabric_shop", "exhibition_supplier"])
def test_demos_fit_the_width(demo: str) -> None:
    shop = load_shop(DEMOS / f"{demo}.yaml")
    values = scenario_values(shop.scenario)
    values["study"].update(weeks=3, opening="empty")
    shop = replace(shop, scenario=check_values(values, demo))
    log = one_log(shop.scenario, shop.order_lines)
    for width in (80, 120, 160):
        text = week_gantt(log, shop.scenario, 2, width)
        assert max(map(len, text.splitlines())) <= width
        monday = shop.scenario.shop.starts.toordinal() + int(shop.scenario.warm_up_min // 1440) + 7
        assert f"Mon {type(shop.scenario.shop.starts).fromordinal(monday)}" in text


def test_seats_at_work_are_averaged_and_many_are_a_plus(tiny: Shop) -> None:
    log = one_log(tiny.scenario, tiny.order_lines)
    log.place_seats[0] = 12
    assert week_rows(log, tiny.scenario, 0, 60).places[0].label == "sewing_table, 12"


def test_every_state_has_a_sign_of_its_own() -> None:
    assert tuple(PRINTER_SIGNS) == STATES
    assert set(PERSON_SIGNS) == {*KINDS, "idle", "break", "off_shift", "absent"}
    for signs in (PRINTER_SIGNS, PERSON_SIGNS):
        assert len(set(signs.values())) == len(signs)
        assert all(len(sign) == 1 and sign.isascii() for sign in signs.values())
