"""What parts of a shop are called: names where the file gives them, and one place that puts them where ids stand."""

from __future__ import annotations

from typing import Any

import pytest

from shopsim.shop.changes import Change
from shopsim.shop.names import by_name, name_of, names_in, names_of, shop_by_name, told
from shopsim.shop.review.shop_review import shop_review
from shopsim.shop.scenario_dump import plain
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import WhatIf, apply, differences_in_words

DEMOS = ("flag_banner_shop", "frame_fabric_shop", "exhibition_supplier")


@pytest.fixture(params=DEMOS, scope="module")
def shop(request: Any) -> Shop:
    return load_shop(f"demo_scenarios/{request.param}.yaml")


@pytest.fixture(scope="module")
def frames() -> Shop:
    return load_shop("demo_scenarios/frame_fabric_shop.yaml")


def test_a_part_is_called_by_its_name_or_by_its_id_in_words(frames: Shop) -> None:
    bare = frames.scenario.printers[1].model_copy(update={"name": ""})
    scenario = frames.scenario.model_copy(update={"printers": (frames.scenario.printers[0], bare)})
    assert [name_of(scenario, each) for each in ("printer_1", "printer_2")] == ["Printer by the window", "printer 2"]
    assert [told(scenario, each) for each in ("printer_1", "printer_2")] == ["“Printer by the window”", "printer 2"]
    assert names_in(scenario, ["printer_1", "packing_tables 2", "print room"]) == [
        "Printer by the window", "Packing, 2", "print room",
    ]  # fmt: skip


def test_two_places_of_one_name_keep_apart(frames: Shop) -> None:
    second = frames.scenario.printers[1].model_copy(update={"name": "Printer by the window"})
    scenario = frames.scenario.model_copy(update={"printers": (frames.scenario.printers[0], second)})
    found = names_of(scenario)
    assert found["printer_1"] == "Printer by the window (printer_1)"
    assert found["printer_2"] == "Printer by the window (printer_2)"


def test_names_stand_wherever_a_part_is_meant_and_nothing_else_moves(shop: Shop) -> None:
    before, after = dict(_leaves(plain(shop.scenario))), dict(_leaves(plain(by_name(shop.scenario))))
    called = {part: f"“{name}”" for part, name in names_of(shop.scenario).items()}
    moved = {path: (value, after[path]) for path, value in before.items() if after[path] != value}
    assert before.keys() == after.keys()
    assert {called[value] for value, _ in moved.values()} == {value for _, value in moved.values()}
    assert {path[-1] for path in moved if isinstance(path[-1], str)} <= {
        "id", "shift", "fabric", "at", "product", "calender", "repair_at", "check_at", "order_check_at",
    }  # fmt: skip
    # Skills, modes and the shop's own words are no parts.
    assert all(path[0] != "shop" and "skills" not in path and "modes" not in path for path in moved)


def _leaves(value: Any, path: tuple[str | int, ...] = ()) -> Any:
    steps = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list | tuple) else ()
    if not isinstance(value, dict | list | tuple):
        yield path, value
    for step, inside in steps:
        yield from _leaves(inside, (*path, step))


def test_the_review_by_name_is_the_review(shop: Shop) -> None:
    by_id, named = shop_review(shop), shop_review(shop_by_name(shop))
    assert [each.id for each in named] == [each.id for each in by_id]
    assert [each.size for each in named] == [each.size for each in by_id]
    words = {part: told(shop.scenario, part) for part in names_of(shop.scenario)}
    for each, other in zip(by_id, named, strict=True):
        for part in (part for part in words if each.where == part):
            assert other.where == words[part]


def test_the_load_by_name_is_that_of_the_named_shop(frames: Shop) -> None:
    named = shop_by_name(frames)
    found, anew = named.rough_cut, Shop(named.scenario, named.order_lines).rough_cut
    assert [(each.id, each.places) for each in found.loads] == [(each.id, each.places) for each in anew.loads]
    assert [each.share for each in found.loads] == pytest.approx([each.share for each in anew.loads], rel=1e-9)
    assert [each.by_week for each in found.loads] == [each.by_week for each in frames.rough_cut.loads]
    assert found.loads[0].id == "“Printer by the window”"


def test_changes_are_told_by_name(frames: Shop) -> None:
    copied = Change("copy", "printers.printer_2", {"id": "printer_3", "name": "Printer by the door"})
    more = Change("set", "crews.sewers.count", 5)
    what_if = WhatIf("both", (copied, more), "base.yaml")
    assert differences_in_words(frames.scenario, apply(frames, what_if).scenario, [what_if]) == [
        "printers: “Printer by the door” added (like “Printer by the wall”)",
        "crew “Sewer”: 5 people instead of 2",
    ]
    # A copy that keeps its like's name: both are told with their ids.
    same = WhatIf("same", (Change("copy", "printers.printer_2", {"id": "printer_3"}),), "base.yaml")
    assert differences_in_words(frames.scenario, apply(frames, same).scenario, [same]) == [
        "printers: “Printer by the wall (printer_3)” added (like “Printer by the wall (printer_2)”)"
    ]
