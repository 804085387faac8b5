"""Cautions: each appears where it applies, none where it does not, and none calls anything safe."""

import datetime
from typing import Any

import pytest

from shopsim.cautions import STANDING_TEXT, Caution, cautions
from shopsim.shop.lone_work import lone_hot_hours_a_week, lone_hours_a_week
from shopsim.shop.rest_times import shift_findings
from shopsim.shop.rough_cut import rough_cut
from shopsim.shop.scenario import Scenario

WEEKDAYS = ["mon", "tue", "wed", "thu", "fri"]


def shop(**parts: Any) -> Scenario:
    """A packing shop of two people on days: nothing to be cautious about."""
    base = {
        "shop": {"name": "Packers", "starts": datetime.date(2026, 1, 5)},
        "work_centres": [{"id": "bench", "kind": "packing", "seats": 2}],
        "shifts": [shift("day", "07:00-15:00")],
        "crews": [{"id": "packers", "count": 2, "skills": {"packing": 3, "printing": 3, "sewing": 3}, "shift": "day"}],
        "products": [{"id": "box", "route": [{"op": "work", "at": "bench", "minutes": 1}]}],
        "demand": {"forecast": {"orders_per_week": 1, "mix": [{"product": "box", "share_pct": 1}]}},
    }
    return Scenario.model_validate({**base, **parts})


def shift(name: str, hours: str, days: list[str] = WEEKDAYS) -> dict[str, Any]:
    return {"id": name, "weeks": [{"blocks": [{"days": days, "hours": hours}]}]}


def found(scenario: Scenario) -> dict[str, Caution]:
    return {each.row: each for each in cautions(scenario, rough_cut(scenario))}


PRINTER = {"id": "p1", "modes": [{"id": "std", "passes": 4}]}
KNIT = {"id": "knit", "family": "front_lit"}


def test_a_harmless_shop_has_none() -> None:
    assert found(shop()) == {}


def test_a_printer_brings_its_own() -> None:
    here = found(shop(printers=[PRINTER], fabrics=[KNIT]))
    assert sorted(here) == ["SAF-01", "SAF-03", "SAF-04", "SAF-13"]
    assert here["SAF-01"].where == "heat plate of p1, up to 190 °C, bare metal burns within 1 s of touch"
    # MAT-01: 205 g/m2 x 3.1 m x 100 m and a core of 6 kg.
    assert here["SAF-03"].where == "knit 70 kg"
    assert here["SAF-03"].advice == (
        "use lift or trolley, see your risk assessment; guidelines name about 25 kg for men, 16 kg for women and 23 kg "
        "at best, which are no limits"
    )


@pytest.mark.parametrize(("length_m", "where"), [
    # 205 g/m2 x 3.1 m and a core of 6 kg: 0.6355 kg a metre.
    (15.7, None), (15.8, "knit 16 kg, above 16 kg"), (29.8, "knit 25 kg, above 16 kg"), (29.9, "knit 25 kg"),
])  # fmt: skip
def test_rolls_are_named_from_the_lower_guideline_figure_on(length_m: float, where: str | None) -> None:
    here = found(shop(printers=[PRINTER], fabrics=[KNIT | {"roll_length_m": length_m}]))
    assert (here["SAF-03"].where if "SAF-03" in here else None) == where


@pytest.mark.parametrize(("parts", "row", "where"), [
    ({"printers": [PRINTER | {"unattended_running": True}]}, "SAF-08", "p1 may run with nobody there"),
    ({"printers": [PRINTER | {"hot_overnight": True}]}, "SAF-08", "p1 stays hot when nobody is there"),
    ({"printers": [PRINTER | {"roll_change": {"needs_lift": False}}]}, "SAF-03",
     "roll change by one person without a lift at p1"),
    ({"work_centres": [{"id": "laser_1", "kind": "cutting", "method": "laser"}]}, "SAF-06", "laser_1"),
    ({"work_centres": [{"id": "knife", "kind": "cutting", "method": "hot_knife"}]}, "SAF-07", "knife (hot knife)"),
    ({"work_centres": [{"id": "knife", "kind": "cutting", "method": "hot_knife"}]}, "SAF-01", "hot knife at knife"),
    ({"work_centres": [{"id": "seats", "kind": "sewing", "seats": 3, "allowance_pct": 15}]}, "SAF-10",
     "3 sewing seats"),
    ({"work_centres": [{"id": "seats", "kind": "sewing", "seats": 2}], "printers": [PRINTER]}, "SAF-10",
     "2 sewing seats and 1 printer"),
    ({"work_centres": [{"id": "seats", "kind": "sewing", "allowance_pct": 11}]}, "SAF-11",
     "seats: allowance for rest 11 %, below 12 %"),
    ({"shifts": [shift("day", "22:00-06:00")]}, "SAF-09", "shift day: night work, 5 nights in a row"),
    ({"shifts": [shift("day", "07:00-15:00", ["sat"])]}, "SAF-12", "weekend work in shift day"),
])  # fmt: skip
def test_each_appears_where_it_applies(parts: dict[str, Any], row: str, where: str) -> None:
    base = {"products": [{"id": "box", "route": [{"op": "rest", "minutes": 1}]}]} if "work_centres" in parts else {}
    assert found(shop(**base, **parts))[row].where == where


def test_trainees_at_the_needle_are_named() -> None:
    crews = [
        {"id": "old", "skills": {"sewing": 3}, "shift": "day"},
        {"id": "trainee", "skills": {"sewing": 1}, "shift": "day"},
        {"id": "beginner", "skills": {"sewing": 3}, "shift": "day", "learning": {}},
        {"id": "packer", "skills": {"packing": 1}, "shift": "day"},
    ]
    centres = [{"id": "bench", "kind": "packing"}, {"id": "seats", "kind": "sewing"}]
    here = found(shop(crews=crews, work_centres=centres))
    assert here["SAF-05"].where == "seats, with trainees or beginners (trainee and beginner)"


@pytest.mark.parametrize(("shifts", "text"), [
    ([shift("day", "06:00-16:30", WEEKDAYS[:4])], ["shift day: 10.5 h from start to end"]),
    ([shift("day", "06:00-14:00"), shift("late", "14:00-22:00")], []),
    # 05:00 to 21:00 and eight hours of rest, 80 h a week.
    ([shift("day", "05:00-21:00")], [("shift day: 16 h from start to end, only 8 h of rest between two shifts "
                                     "(11 h is the usual least), 80 h a week on average (48 h is the usual most)")]),
    ([{"id": "day", "round_the_clock": True}], []),
])  # fmt: skip
def test_what_shifts_mean(shifts: list[dict[str, Any]], text: list[str]) -> None:
    assert list(shift_findings(shop(shifts=shifts))) == text


def test_three_nights_in_a_row_are_within_the_guidance() -> None:
    assert list(shift_findings(shop(shifts=[shift("day", "22:00-06:00", ["mon", "tue", "wed"])]))) == [
        "shift day: night work"
    ]


def test_nights_without_end_are_not_counted() -> None:
    every = shop(shifts=[shift("day", "22:00-04:00", [*WEEKDAYS, "sat", "sun"])])
    assert list(shift_findings(every)) == ["shift day: night work, every night"]


def test_hours_with_one_person() -> None:
    one = {"id": "early", "skills": {"packing": 3}, "shift": "early"}
    other = {"id": "late", "skills": {"packing": 3}, "shift": "late"}
    both = shop(crews=[one, other], shifts=[shift("early", "06:00-14:00"), shift("late", "08:00-16:00")])
    # 06:00-08:00 and 14:00-16:00 on five days.
    assert lone_hours_a_week(both) == pytest.approx(20)
    assert lone_hours_a_week(shop()) == 0


@pytest.mark.parametrize(("skills", "parts", "hours"), [
    # One alone from 06:00 to 08:00, one from 14:00 to 16:00, five days; who cannot print is not alone with the plate.
    (("printing", "packing"), {"printers": [PRINTER]}, 10),
    (("printing", "printing"), {"printers": [PRINTER]}, 20),
    (("sewing", "packing"), {"printers": [PRINTER]}, 0),
    (("sewing", "packing"), {"printers": [PRINTER | {"unattended_running": True}]}, 20),
    (("sewing", "packing"), {"printers": [PRINTER | {"hot_overnight": True}]}, 20),
    (("printing", "packing"), {"printers": [PRINTER | {"fixation": {"kind": "offline", "calender": "drum"}}]}, 0),
    (("calender", "packing"), {"calenders": [{"id": "drum"}]}, 10),
    (("printing", "packing"), {"calenders": [{"id": "drum"}]}, 10),
    (("cutting", "packing"), {"work_centres": [
        {"id": "bench", "kind": "packing"}, {"id": "knife", "kind": "cutting", "method": "hot_knife"},
    ]}, 10),
    (("printing", "packing"), {}, 0),
])  # fmt: skip
def test_hours_alone_with_a_hot_machine(skills: tuple[str, str], parts: dict[str, Any], hours: float) -> None:
    crews = [
        {"id": each, "skills": {skill: 3}, "shift": each} for each, skill in zip(("early", "late"), skills, strict=True)
    ]
    both = shop(crews=crews, shifts=[shift("early", "06:00-14:00"), shift("late", "08:00-16:00")], **parts)
    assert lone_hot_hours_a_week(both) == pytest.approx(hours)


def test_no_caution_calls_anything_safe_or_allowed() -> None:
    here = found(shop(printers=[PRINTER | {"unattended_running": True}], fabrics=[KNIT]))
    for caution in here.values():
        assert not {"safe", "allowed", "legal"} & set(f"{caution.where} {caution.advice}".split())
    assert STANDING_TEXT.startswith("Planning aid only. The maker's manual, local codes")
