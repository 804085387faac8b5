"""Each ready what-if runs: a few weeks of one replication, with balanced books; hot machines left alone are told."""

from functools import cache
from pathlib import Path

import pytest

from shopsim.cautions import cautions
from shopsim.shop.rough_cut import rough_cut
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import Change, WhatIf, apply, base_path, load_what_if
from shopsim.studies.replication import Replication, one_replication

FILES = sorted((Path(__file__).parents[2] / "demo_scenarios" / "what_ifs").glob("*.yaml"))
# Which way each must move what within three weeks on the same orders; the others wait for a queue that these weeks do
# not have, or move nothing for sure.
MOVES = {
    "exhibition_cross_trained_packers": ("wait_mean_h.hem_seats", -1),
    "exhibition_edge_line_early_late": ("work_in_process_orders", -1),
    "exhibition_four_tens": ("wait_mean_h.edge_line", -1),
    "exhibition_inline_flags": ("energy_kwh_per_week", -1),
    "exhibition_joined_rolls": ("fabric_waste_share", -1),
    "exhibition_one_more_sewer": ("wages", 1),
    "exhibition_sixth_printer": ("energy_kwh_per_week", 1),
    "exhibition_staggered_start": ("wait_mean_h.edge_line", -1),
    "exhibition_unattended_evening": ("unattended_hot_h_per_week", 1),
    "exhibition_weekend_shift": ("lead_time_p50_h", -1),
    "flag_banner_cross_trained_people": ("work_in_process_orders", -1),
    "flag_banner_early_late": ("energy_kwh_per_week", 1),
    "flag_banner_four_tens": ("energy_kwh_per_week", 1),
    "flag_banner_joined_rolls": ("fabric_waste_share", -1),
    "flag_banner_second_printer": ("energy_kwh_per_week", 1),
    "flag_banner_second_sewer": ("work_in_process_orders", -1),
    "flag_banner_staggered_start": ("energy_kwh_per_week", 1),
    "flag_banner_unattended_evening": ("unattended_hot_h_per_week", 1),
    "flag_banner_weekend_shift": ("work_in_process_orders", -1),
    "frame_fabric_early_late": ("energy_kwh_per_week", 1),
    "frame_fabric_edge_line": ("write_off", 1),
    "frame_fabric_four_tens": ("energy_kwh_per_week", -1),
    "frame_fabric_joined_rolls": ("fabric_waste_share", -1),
    "frame_fabric_one_more_sewer": ("wages", 1),
    "frame_fabric_staggered_start": ("energy_kwh_per_week", 1),
    "frame_fabric_third_printer": ("energy_kwh_per_week", 1),
    "frame_fabric_unattended_evening": ("unattended_hot_h_per_week", 1),
    "frame_fabric_weekend_shift": ("wait_mean_h.silicone_seats", -1),
}
SHORT = WhatIf("short", (Change("set", "study.weeks", 2), Change("set", "study.warm_up_weeks", 1)), "any")


@cache
def _base(path: Path) -> Shop:
    return load_shop(path)


def _changed(path: Path) -> Shop:
    what_if = load_what_if(path)
    return apply(_base(base_path(path, what_if)), what_if)


@cache
def _as_it_stands(path: Path) -> dict[str, float]:
    shop = apply(_base(path), SHORT)
    return _numbers(one_replication(shop.scenario, shop.order_lines))


def _numbers(found: Replication) -> dict[str, float]:
    return found.measures | found.money_per_week


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_it_runs_with_balanced_books_and_moves_what_it_is_made_for(path: Path) -> None:
    shop = apply(_changed(path), SHORT)
    # The books of every replication are audited.
    found = one_replication(shop.scenario, shop.order_lines)
    assert found.measures["printed_m2_per_week"] > 0
    ids = {printer.id for printer in shop.scenario.printers} | {centre.id for centre in shop.scenario.work_centres}
    assert {name for kind, name, _ in found.states if kind in ("printer", "place")} >= ids
    if path.stem in MOVES:
        measure, way = MOVES[path.stem]
        before = _as_it_stands(base_path(path, load_what_if(path)))[measure]
        assert (_numbers(found)[measure] - before) * way > 0.01 * before


@pytest.mark.parametrize("demo", ["flag_banner", "frame_fabric", "exhibition"])
def test_unattended_printing_is_pointed_out(demo: str) -> None:
    shop = _changed(next(path for path in FILES if path.stem == f"{demo}_unattended_evening"))
    told = {each.row: each for each in cautions(shop.scenario, rough_cut(shop.scenario, shop.order_lines))}
    assert told["SAF-08"].where == "printer_1 may run with nobody there"
    assert told["SAF-08"].advice == "maker's manual, fire risk assessment, insurer and local code decide"
