"""Pick lists: every field of every part of a demo can be picked, and set to what it is without changing the shop."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopsim.errors import ScenarioError
from shopsim.shop.changes import Change, changed_values
from shopsim.shop.pick_list import Part, Pick, fields_of, lists_of, parts_of, read_written, written
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values, load_scenario

DEMO = Path(__file__).resolve().parents[2] / "demo_scenarios" / "frame_fabric_shop.yaml"


@pytest.fixture(scope="module")
def shop() -> Scenario:
    return load_scenario(DEMO)


def pick(shop: Scenario, part: str, path: str) -> Pick:
    (found,) = [one for one in fields_of(shop, Part(part, "", True)) if one.path == f"{part}.{path}"]
    return found


def test_parts_are_named_as_in_the_shop(shop: Scenario) -> None:
    parts = parts_of(shop)
    # A part whose name says what it is needs no word before it, and what is mostly changed comes first.
    assert Part("printers.printer_1", "Printer by the window", True) in parts
    assert Part("crews.prepress", "Crew Pre-press", True) in parts
    assert parts[0].path.startswith("crews.")
    assert parts[-1] == Part("study", "Study", False)
    assert len({part.path for part in parts}) == len(parts)


def test_setting_every_field_to_what_it_is_changes_nothing(shop: Scenario) -> None:
    values = scenario_values(shop)
    picks = [one for part in parts_of(shop) for one in fields_of(shop, part)]
    assert len(picks) > 500
    for one in picks:
        value = read_written(written(one.value)) if one.kind == "written" else one.value
        values = changed_values(values, Change("set", one.path, value))
    assert check_values(values, "same").content_hash == shop.content_hash


def test_a_field_tells_its_unit_its_usual_range_and_how_it_is_entered(shop: Scenario) -> None:
    assert pick(shop, "printers.printer_1", "head.swath_m") == Pick(
        "printers.printer_1.head.swath_m", "Head, swath", "m", 0.108, "number", (),
        "usual 0.054 to 0.22, handbook PRN-01",
    )  # fmt: skip
    assert pick(shop, "crews.packers", "count").kind == "whole"
    assert pick(shop, "crews.packers", "wage_per_h").unit == "CU/h"
    assert pick(shop, "crews.packers", "shift").choices == ("day", "early_day", "later_day")
    assert pick(shop, "fabrics.display_knit", "may_turn").kind == "yes_no"
    assert pick(shop, "work_centres.cutter", "method").kind == "choice"
    assert pick(shop, "printers.printer_1", "roll_change.full_min").value == [20.0, 26.0, 38.0]


def test_what_is_mostly_changed_comes_first_and_names_never(shop: Scenario) -> None:
    parts = ("crews.sewers", "work_centres.cutter", "shifts.day", "products.front_frame")
    first = {part: fields_of(shop, Part(part, "", True))[0].path for part in parts}
    assert first == {
        "crews.sewers": "crews.sewers.count", "work_centres.cutter": "work_centres.cutter.seats",
        "shifts.day": "shifts.day.weeks[0].blocks[0].days", "products.front_frame": "products.front_frame.price_per_m2",
    }  # fmt: skip
    paths = [one.path for part in parts_of(shop) for one in fields_of(shop, part)]
    assert not [path for path in paths if path.endswith((".name", ".note", ".id"))]


def test_lists_that_things_can_be_added_to(shop: Scenario) -> None:
    assert {"printers", "crews", "closed", "policies.overtime"} <= set(lists_of(shop))
    assert "money" not in lists_of(shop)


def test_what_is_written_is_read_as_a_file_would_be() -> None:
    assert read_written("[1, 2, 4]") == [1, 2, 4]
    assert read_written("{day: mon, count: 2}") == {"day": "mon", "count": 2}
    assert read_written("first: 1\nsecond:\n  - a") == {"first": 1, "second": ["a"]}
    with pytest.raises(ScenarioError):
        read_written("[1, 2")
