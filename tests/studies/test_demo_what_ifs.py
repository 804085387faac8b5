"""Each ready what-if runs: a few weeks of one replication, with balanced books; hot machines left alone are told."""

from functools import cache
from pathlib import Path

import pytest

from shopsim.cautions import cautions
from shopsim.shop.rough_cut import rough_cut
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import Change, WhatIf, apply, base_path, load_what_if
from shopsim.studies.replication import one_replication

FILES = sorted((Path(__file__).parents[2] / "demo_scenarios" / "what_ifs").glob("*.yaml"))
SHORT = WhatIf("short", (Change("set", "study.weeks", 2), Change("set", "study.warm_up_weeks", 1)), "any")


@cache
def _base(path: Path) -> Shop:
    return load_shop(path)


def _changed(path: Path) -> Shop:
    what_if = load_what_if(path)
    return apply(_base(base_path(path, what_if)), what_if)


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_it_runs_with_balanced_books(path: Path) -> None:
    shop = apply(_changed(path), SHORT)
    # The books of every replication are audited.
    found = one_replication(shop.scenario, shop.order_lines)
    assert found.measures["printed_m2_per_week"] > 0
    ids = {printer.id for printer in shop.scenario.printers} | {centre.id for centre in shop.scenario.work_centres}
    assert {name for kind, name, _ in found.states if kind in ("printer", "place")} >= ids


def test_unattended_printing_is_pointed_out() -> None:
    shop = _changed(next(path for path in FILES if path.stem == "flag_banner_unattended_evening"))
    told = {each.row: each for each in cautions(shop.scenario, rough_cut(shop.scenario, shop.order_lines))}
    assert told["SAF-08"].where == "printer_1 may run with nobody there"
    assert told["SAF-08"].advice == "maker's manual, fire risk assessment, insurer and local code decide"
