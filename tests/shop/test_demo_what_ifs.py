"""The ready what-ifs of the demo shops: sound, of usual values, and all that people ask about (handbook section 13)."""

import json
from functools import cache
from pathlib import Path

import pytest

from shopsim.shop.shift_facts import shift_facts
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import WhatIf, apply, base_path, differences, load_what_if, what_if_schema

DEMOS = Path(__file__).parents[2] / "demo_scenarios"
FILES = sorted((DEMOS / "what_ifs").glob("*.yaml"))
BASES = {"flag_banner": "flag_banner_shop", "frame_fabric": "frame_fabric_shop", "exhibition": "exhibition_supplier"}

# What each is about, as the trade asks it; one of each demo for the three uses printer, crew and shifts.
ABOUT = {
    "flag_banner_second_printer": "printer",
    "flag_banner_joined_rolls": "joined rolls",
    "flag_banner_second_sewer": "crew",
    "flag_banner_staggered_start": "shifts",
    "flag_banner_unattended_evening": "unattended printing",
    "flag_banner_due_date_first": "due date against fabric changes",
    "flag_banner_cross_trained_people": "cross-training",
    "flag_banner_early_late": "early and late",
    "flag_banner_four_tens": "4 x 10",
    "flag_banner_weekend_shift": "weekend",
    "frame_fabric_third_printer": "printer",
    "frame_fabric_printer_for_more_orders": "printer for orders won",
    "frame_fabric_one_more_sewer": "crew",
    "frame_fabric_edge_line": "semi-automatic edge line",
    "frame_fabric_cross_trained_packers": "cross-training",
    "frame_fabric_early_late": "shifts",
    "frame_fabric_four_tens": "4 x 10",
    "frame_fabric_bought_in_sewing": "bought-in sewing",
    "frame_fabric_joined_rolls": "joined rolls",
    "frame_fabric_due_date_first": "due date against fabric changes",
    "frame_fabric_staggered_start": "staggered start",
    "frame_fabric_weekend_shift": "weekend",
    "frame_fabric_unattended_evening": "unattended printing",
    "exhibition_sixth_printer": "printer",
    "exhibition_one_more_sewer": "crew",
    "exhibition_edge_line_early_late": "shifts",
    "exhibition_weekend_shift": "weekend",
    "exhibition_inline_flags": "calender against inline",
    "exhibition_due_date_first": "due date against fabric changes",
    "exhibition_joined_rolls": "joined rolls",
    "exhibition_cross_trained_packers": "cross-training",
    "exhibition_four_tens": "4 x 10",
    "exhibition_staggered_start": "staggered start",
    "exhibition_unattended_evening": "unattended printing",
}

# All that each changes, by path.
CHANGED = {
    "flag_banner_second_printer": ("printers.printer_2",),
    "flag_banner_joined_rolls": ("policies.printing.roll_change",),
    "flag_banner_second_sewer": ("crews.second_sewer",),
    "flag_banner_staggered_start": (
        "shifts.early",
        "shifts.late",
        "crews.owner.shift",
        "crews.printer_operator.shift",
    ),
    "flag_banner_unattended_evening": ("printers.printer_1.unattended_running",),
    "flag_banner_due_date_first": ("policies.printing.fabric_choice",),
    "flag_banner_cross_trained_people": (
        "crews.printer_operator.skills.sewing",
        "crews.sewer.skills.cutting",
        "crews.sewer.skills.printing",
    ),
    "flag_banner_early_late": (
        "shifts.early_late_a",
        "shifts.early_late_b",
        "crews.printer_operator.shift",
        "crews.second_operator",
    ),
    "flag_banner_four_tens": (
        "shifts.four_tens_a",
        "shifts.four_tens_b",
        "crews.owner.shift",
        "crews.printer_operator.shift",
        "crews.sewer.shift",
    ),
    "flag_banner_weekend_shift": (
        "shifts.weekend",
        "crews.sewer.at_shift_end",
        "crews.weekend_operator",
        "crews.weekend_sewer",
    ),
    "frame_fabric_third_printer": (
        "printers.printer_3",
        "products.back_frame.route[0].printers",
    ),
    "frame_fabric_printer_for_more_orders": (
        "printers.printer_3",
        "work_centres.silicone_seats.seats",
        "work_centres.silicone_seats.money.price",
        "work_centres.silicone_seats.money.floor_m2",
        "crews.fifth_sewer",
        "products.back_frame.route[0].printers",
        "policies.overtime[0].crews",
    ),
    "frame_fabric_one_more_sewer": (
        "work_centres.silicone_seats.seats",
        "work_centres.silicone_seats.money.price",
        "work_centres.silicone_seats.money.floor_m2",
        "crews.fifth_sewer",
        "policies.overtime[0].crews",
    ),
    "frame_fabric_edge_line": (
        "work_centres.edge_line",
        "crews.sewers.skills.edge_line",
        "crews.sewers.skills",
        "products.front_frame.route[2].at",
        "products.front_frame.route[2].all_edges",
    ),
    "frame_fabric_cross_trained_packers": ("crews.packers.skills.hemming",),
    "frame_fabric_early_late": (
        "shifts.early_day",
        "shifts.early_late_a",
        "shifts.early_late_b",
        "crews.early_operator.shift",
        "crews.later_operator.shift",
    ),
    "frame_fabric_four_tens": (
        "shifts.four_tens_a",
        "shifts.four_tens_b",
        "crews.sewing_lead.shift",
        "crews.sewers.shift",
        "crews.new_sewer.shift",
        "policies.overtime[0]",
    ),
    "frame_fabric_bought_in_sewing": ("policies.bought_in[0]",),
    "frame_fabric_joined_rolls": ("policies.printing.roll_change",),
    "frame_fabric_due_date_first": ("policies.printing.fabric_choice",),
    "frame_fabric_staggered_start": (
        "shifts.from_ten",
        "crews.later_operator.shift",
        "crews.sewers.shift",
        "crews.new_sewer.shift",
    ),
    "frame_fabric_weekend_shift": (
        "shifts.weekend",
        "crews.sewers.at_shift_end",
        "crews.weekend_sewers",
        "crews.weekend_helper",
    ),
    "frame_fabric_unattended_evening": ("printers.printer_1.unattended_running",),
    "exhibition_sixth_printer": (
        "printers.printer_6",
        "products.light_box.route[0].printers",
    ),
    "exhibition_one_more_sewer": ("crews.frame_sewers.count",),
    "exhibition_edge_line_early_late": (
        "crews.edge_line_sewers.shift",
        "crews.edge_line_sewers.at_shift_end",
        "crews.edge_line_sewers_b",
        "policies.overtime[0]",
    ),
    "exhibition_weekend_shift": (
        "shifts.weekend",
        "crews.edge_line_sewers.at_shift_end",
        "crews.weekend_sewers",
        "crews.weekend_helper",
    ),
    "exhibition_inline_flags": (
        "printers.printer_5.name",
        "printers.printer_5.modes.flag.passes",
        "printers.printer_5.fixation",
        "printers.printer_5.money.price",
        "printers.printer_5.money.floor_m2",
        "calenders.calender_1",
        "crews.printing_a.skills.calender",
        "crews.printing_b.skills.calender",
    ),
    "exhibition_due_date_first": ("policies.printing.fabric_choice",),
    "exhibition_joined_rolls": ("policies.printing.roll_change",),
    "exhibition_cross_trained_packers": (
        "crews.packers.count",
        "crews.hemming_packers",
        "policies.overtime[1].crews",
    ),
    "exhibition_four_tens": (
        "shifts.four_tens_a",
        "shifts.four_tens_b",
        "crews.edge_line_sewers.shift",
        "crews.edge_line_sewers.at_shift_end",
        "crews.frame_sewers.count",
        "crews.frame_sewers.shift",
        "crews.hem_sewers.shift",
        "crews.tube_sewer.shift",
        "crews.new_sewer.shift",
        "crews.frame_sewers_b",
        "policies.overtime[0]",
    ),
    "exhibition_staggered_start": (
        "shifts.from_six",
        "shifts.from_ten",
        "crews.edge_line_sewers.shift",
        "crews.edge_line_sewers.at_shift_end",
        "crews.frame_sewers.count",
        "crews.late_frame_sewers",
        "policies.overtime[0]",
    ),
    "exhibition_unattended_evening": ("printers.printer_1.unattended_running",),
}


@cache
def _base(path: Path) -> Shop:
    return load_shop(path)


def _read(name: str) -> tuple[WhatIf, Shop, Shop]:
    path = DEMOS / "what_ifs" / f"{name}.yaml"
    demo = next(base for start, base in BASES.items() if name.startswith(start))
    what_if = load_what_if(path, DEMOS / f"{demo}.yaml")
    base = _base(base_path(path, what_if))
    return what_if, base, apply(base, what_if)


def test_each_of_them_is_in_the_list() -> None:
    assert [file.stem for file in FILES] == sorted(ABOUT)
    for start in BASES:
        uses = [about for name, about in ABOUT.items() if name.startswith(start)]
        assert {"printer", "crew", "shifts"} <= set(uses)


@pytest.mark.parametrize("name", ABOUT)
def test_it_is_sound_usual_and_changes_something(name: str) -> None:
    what_if, base, changed = _read(name)
    assert changed.warnings == ()
    assert tuple(each.path for each in differences(base.scenario, changed.scenario)) == CHANGED[name]
    assert changed.order_lines == base.order_lines
    # Each is compared on the same orders and weeks.
    assert changed.scenario.study == base.scenario.study
    assert changed.scenario.demand == base.scenario.demand
    assert len(what_if.name) <= 60


@pytest.mark.parametrize("name", ABOUT)
def test_the_file_names_its_schema_and_says_what_it_asks(name: str) -> None:
    lines = (DEMOS / "what_ifs" / f"{name}.yaml").read_text(encoding="utf-8").splitlines()
    assert lines[:2] == ["# yaml-language-server: $schema=../what_if.schema.json", "#"]
    assert " asks" in lines[2]
    assert max(map(len, lines)) <= 120


def test_what_is_bought_is_paid() -> None:
    for name in ABOUT:
        what_if, base, changed = _read(name)
        machines = [len(shop.scenario.printers) + len(shop.scenario.work_centres) for shop in (base, changed)]
        if machines[1] > machines[0]:
            assert what_if.spends is not None
            there = {each.id for each in (*base.scenario.printers, *base.scenario.work_centres)}
            now = (*changed.scenario.printers, *changed.scenario.work_centres)
            added = [each for each in now if each.id not in there]
            assert what_if.spends.once > sum(each.money.price for each in added)


def test_the_words_for_a_second_printer_and_an_edge_line() -> None:
    _, base, changed = _read("flag_banner_second_printer")
    (second,) = differences(base.scenario, changed.scenario)
    assert second.sentence == (
        "printers: printer_2 added (like printer_1, but head swath 0.108 m instead of 0.072 m; fixation plate 0.8 m "
        "instead of 0.5 m; fixation tail 2.5 m instead of 2 m; attention 25 % instead of 30 %; price 220,000 CU "
        "instead of 100,000 CU; floor 45 m² instead of 40 m²)"
    )
    # Copied from printer_2; printer_1 would make a shorter sentence.
    what_if, base, changed = _read("frame_fabric_third_printer")
    third = differences(base.scenario, changed.scenario, [what_if])[0].sentence
    assert third.startswith("printers: printer_3 added (like printer_2, but head swath 0.072 m instead of 0.108 m; ")
    _, base, changed = _read("frame_fabric_edge_line")
    assert [each.sentence for each in differences(base.scenario, changed.scenario)][1:] == [
        "crew sewers: also skilled in edge_line at level 3",
        "crew sewers: edge_line comes first instead of sewing",
        "product front_frame: step sew, place edge_line instead of silicone_seats",
        "product front_frame: step sew, all edges silicone semi instead of silicone hand",
    ]


@pytest.mark.parametrize("demo", BASES)
def test_unattended_printing_carries_its_caution(demo: str) -> None:
    what_if, _, changed = _read(f"{demo}_unattended_evening")
    for words in (
        "CAUTION (SAF-08)",
        "maker's manual",
        "fire risk assessment",
        "insurer",
        "local code",
        "not make the practice safe or legal",
    ):
        assert words in what_if.note
    alone = [printer.id for printer in changed.scenario.printers if printer.unattended_running]
    assert alone == ["printer_1"]


def test_unattended_printing_is_off_in_every_scenario_and_every_other_what_if() -> None:
    read = [_read(name) for name in ABOUT if not name.endswith("unattended_evening")]
    shops = [shop for _, base, changed in read for shop in (base, changed)]
    assert not any(printer.unattended_running for shop in shops for printer in shop.scenario.printers)


def test_nobody_comes_or_goes_where_people_only_change_hours_or_learn() -> None:
    same = ("cross_trained_packers", "cross_trained_people", "early_late", "four_tens", "staggered_start")
    shops = {name: _read(name)[1:] for name in ABOUT if name.endswith(same)}
    more = {name: _people(changed) - _people(base) for name, (base, changed) in shops.items()}
    # A second operator for the late hours; two more sewers for the edge line's.
    hired = {name: people for name, people in more.items() if people}
    assert hired == {"flag_banner_early_late": 1, "exhibition_edge_line_early_late": 2}


def _people(shop: Shop) -> int:
    return sum(crew.count for crew in shop.scenario.crews)


def test_other_hours_of_the_same_people_are_as_many_hours_a_week() -> None:
    more = {
        name: _planned_h(changed) - _planned_h(base)
        for name in ABOUT
        if name.endswith(("four_tens", "staggered_start"))
        for _, base, changed in [_read(name)]
    }
    # Where a day has 45 minutes of breaks, four long ones leave each sewer 1.25 h more at work than five short ones.
    assert more == {
        "flag_banner_four_tens": 0,
        "flag_banner_staggered_start": 0,
        "frame_fabric_four_tens": 4 * 1.25,
        "frame_fabric_staggered_start": 0,
        "exhibition_four_tens": 11 * 1.25,
        "exhibition_staggered_start": 0,
    }


def _planned_h(shop: Shop) -> float:
    weekly_h = {shift.id: shift_facts(shift).work_h for shift in shop.scenario.shifts}
    return sum(crew.count * weekly_h[crew.shift] for crew in shop.scenario.crews)


def test_the_schema_beside_the_demos_is_the_one_the_models_give() -> None:
    written = json.loads((DEMOS / "what_if.schema.json").read_text(encoding="utf-8"))
    assert written == what_if_schema()
    assert list(written["$defs"]) == ["AddItem", "CopyItem", "RemoveItem", "ReplaceItem", "SetValue", "Spends"]
    assert written["additionalProperties"] is False
