"""What a change adds to the cautions: less time at hot surfaces, rolls joined, longer days by overtime."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from shopsim.answers.care import cautions_added
from shopsim.answers.crew_notes import crew_notes
from shopsim.answers.growth import more_demand_notes
from shopsim.answers.question import changed, notes_of
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import Change, WhatIf
from tests.doors.tiny import write_shop

DEMO = Path(__file__).resolve().parents[2] / "demo_scenarios" / "flag_banner_shop.yaml"


@pytest.fixture(scope="module")
def demo() -> Shop:
    return load_shop(DEMO)


def added(base: Shop, *changes: tuple[str, Any]) -> dict[str, str]:
    """Rows and places that the changes add."""
    what_if = WhatIf("Quicker", tuple(Change("set", path, to) for path, to in changes), "shop.yaml")
    return {each.row: each.where for each in cautions_added(base, changed(base, [what_if]).shop)}


@pytest.mark.parametrize(("path", "to", "where"), [
    # The file's 20 to 38 min, most often 26, are 28 on average (triangle); 6 to 18, most often 10, are 11.3.
    ("printers.printer_1.roll_change.full_min", 4, "full roll change at {} in 4 min instead of 28 min"),
    ("printers.printer_1.roll_change.join_min", 2, "joining a new roll at {} in 2 min instead of 11.3 min"),
    ("printers.printer_1.fixation.warm_up_min", 5, "warm-up of the plate at {} in 5 min instead of 25 min"),
    ("policies.printing.roll_change", "join",
     "new rolls joined to the old web beside the hot plate instead of a full roll change"),
])  # fmt: skip
def test_less_time_at_a_hot_surface_is_cautioned(demo: Shop, path: str, to: Any, where: str) -> None:
    name = f"“{demo.scenario.printers[0].name}”"
    assert added(demo, (path, to)) == {"SAF-01": where.format(name)}


@pytest.mark.parametrize(("path", "to"), [
    ("printers.printer_1.roll_change.full_min", 40), ("printers.printer_1.roll_change.full_min", [20, 26, 38]),
    ("printers.printer_1.fixation.warm_up_min", 25), ("printers.printer_1.name", "Old faithful"),
])  # fmt: skip
def test_more_time_the_same_time_and_another_name_add_nothing(demo: Shop, path: str, to: Any) -> None:
    assert added(demo, (path, to)) == {}


def test_going_back_to_full_roll_changes_adds_nothing(demo: Shop) -> None:
    joined = changed(demo, [WhatIf("Joined", (Change("set", "policies.printing.roll_change", "join"),), "s.yaml")]).shop
    assert added(joined, ("policies.printing.roll_change", "full")) == {}


def test_several_reasons_for_one_caution_are_one_line(demo: Shop) -> None:
    where = added(demo, ("printers.printer_1.roll_change.full_min", 4), ("policies.printing.roll_change", "join"),
                  (f"fabrics.{demo.scenario.fabrics[0].id}.plate_c", 214))["SAF-01"]  # fmt: skip
    hot, *_, full, joined = where.split("; ")
    assert hot.startswith("heat plate of “") and ", up to 214 °C, " in hot
    assert full.startswith("full roll change at “") and joined.startswith("new rolls joined ")


def test_a_drum_that_is_set_up_sooner_is_cautioned(tmp_path: Path) -> None:
    path = write_shop(tmp_path)
    text = path.read_text(encoding="utf-8").replace(
        "work_centres:", "calenders:\n  - {id: drum, people: 1}\nwork_centres:", 1
    )
    shop = load_shop(write_shop(tmp_path, text))
    # CAL-07: 6 to 18 min, most often 10.
    assert added(shop, ("calenders.drum.set_up_min", 5), ("calenders.drum.warm_up_min", 30)) == {
        "SAF-01": "set-up of the drum at drum in 5 min instead of 11.3 min; "
                  "warm-up of the drum at drum in 30 min instead of 90 min"
    }  # fmt: skip


def test_days_made_long_by_overtime_are_cautioned(tmp_path: Path) -> None:
    shop = load_shop(write_shop(tmp_path))
    overtime = [{"crews": ["sewer"], "when_queue_h": 1, "minutes": 240}]
    # 07:00 to 15:00 and four hours more, five days a week: 12 h a day, and 57.5 h less breaks of half an hour a week.
    assert added(shop, ("policies.overtime", overtime))["SAF-09"] == (
        "shift day with break of “Sewer”, if all overtime is worked: 12 h from start to end, 58 h a week on average "
        "(48 h is the usual most)"
    )
    assert added(shop, ("policies.overtime", [overtime[0] | {"minutes": 60}])) == {}


def test_a_note_reads_as_one_sentence(tmp_path: Path) -> None:
    shop = load_shop(write_shop(tmp_path))
    what_if = WhatIf("Quick", (Change("set", "printers.p1.roll_change.full_min", 4),), "tiny.yaml", "trained twice")
    assert notes_of(shop, changed(shop, [what_if])) == [
        "trained twice",
        ("Burns: full roll change at p1 in 4 min instead of 20 min. Hot surface: threading only as the maker's manual "
         "says (SAF-01)."),
    ]  # fmt: skip


def test_more_demand_brings_more_fumes_and_full_hands(tmp_path: Path) -> None:
    shop = load_shop(write_shop(tmp_path))
    assert more_demand_notes(shop, 0.85) == more_demand_notes(shop, 1.0) == []
    told = [line.split(". ")[0] for line in more_demand_notes(shop, 5.0)]
    assert told == ["At 500 % of today's demand: Fumes and vapour: p1: printing and fixing about 11 h a week"]


def test_a_crew_without_seats_and_one_with_full_hands_are_cautioned() -> None:
    shop = load_shop(DEMO.with_name("exhibition_supplier.yaml"))
    assert crew_notes(shop, {"edge_line_sewers": 2}) == []
    (full,) = crew_notes(shop, {"edge_line_sewers": 1})
    assert "“Semi-automatic line for silicone edges, two places”: load 106 % on average" in full
    (seats,) = crew_notes(shop, {"frame_sewers": 10})
    assert "17 sewing seats, 3 more so that everybody has one. Measure it before adding machines" in seats
