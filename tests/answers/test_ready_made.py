"""What-ifs made from a few numbers: another printer, another crew."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from shopsim.answers.question import changed
from shopsim.answers.ready_made import adds_printer, another_printer, crew_of, free_id, like
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import Change, Spends

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"
SPENDS = Spends(once=120_000, life_years=7, resale=20_000)


@pytest.fixture(scope="module")
def shop() -> Shop:
    return load_shop(DEMOS / "frame_fabric_shop.yaml")


def test_the_like_of_a_printer_prints_all_it_prints(shop: Shop) -> None:
    printer = shop.scenario.by_id("printers")["printer_2"]
    what_if = another_printer(shop.scenario, like(printer), SPENDS, "base.yaml")
    made = changed(shop, [what_if]).shop.scenario
    new = made.by_id("printers")["printer_3"]
    assert new.model_dump(exclude={"id", "name"}) == printer.model_dump(exclude={"id", "name"})
    assert what_if.spends == SPENDS
    assert adds_printer(what_if)
    assert not adds_printer(crew_of(shop.scenario, {"sewers": 3}, "base.yaml"))
    before = {product.id: product.route[0].printers for product in shop.scenario.products}
    after = {product.id: product.route[0].printers for product in made.products}
    assert after == {
        name: allowed if allowed is None or "printer_2" not in allowed else (*allowed, "printer_3")
        for name, allowed in before.items()
    }
    assert after != before


def test_numbers_of_another_printer_go_where_the_file_has_them(shop: Shop) -> None:
    wanted = replace(like(shop.scenario.printers[0]), name="Large one", speed_pct=150, plate_m=1.0, tail_m=3.0,
                     attention_pct=20, price=300_000, floor_m2=60)  # fmt: skip
    made = changed(shop, [another_printer(shop.scenario, wanted, SPENDS, "base.yaml")]).shop.scenario
    new = made.by_id("printers")["printer_3"]
    assert (new.name, new.head.swath_m, new.attention_pct) == ("Large one", pytest.approx(0.162), 20)
    assert (new.fixation.plate_m, new.fixation.tail_m) == (1.0, 3.0)
    assert (new.money.price, new.money.floor_m2) == (300_000, 60)


def test_the_speed_of_a_printer_given_by_area_is_that_of_its_modes() -> None:
    shop = load_shop(DEMOS.parent / "shopsim" / "published" / "systems" / "printers.yaml")
    printer = shop.scenario.printers[0]
    wanted = replace(like(printer), speed_pct=50)
    made = changed(shop, [another_printer(shop.scenario, wanted, SPENDS, "base.yaml")]).shop.scenario
    assert [mode.area_rate_m2_per_h for mode in made.printers[-1].modes] == [
        mode.area_rate_m2_per_h / 2 for mode in printer.modes
    ]


def test_a_printer_that_is_not_there(shop: Shop) -> None:
    wanted = replace(like(shop.scenario.printers[0]), like="printer_9")
    with pytest.raises(ValueError, match="there is no printer 'printer_9'"):
        another_printer(shop.scenario, wanted, SPENDS, "base.yaml")


def test_a_crew_is_named_by_its_heads(shop: Shop) -> None:
    what_if = crew_of(shop.scenario, {"sewers": 3, "new_sewer": 1}, "base.yaml")
    assert what_if.name == "Sewer: 3, Sewer new to silicone edges: 1"
    assert what_if.changes == (Change("set", "crews.sewers.count", 3), Change("set", "crews.new_sewer.count", 1))


def test_an_id_that_is_taken_gets_a_number(shop: Shop) -> None:
    assert [free_id(wanted, shop.scenario) for wanted in ("printer_9", "sewers")] == ["printer_9", "sewers_2"]
    taken = changed(shop, [crew_of(shop.scenario, {"sewers": 3}, "base.yaml")]).shop.scenario
    printer = taken.printers[0].model_copy(update={"id": "sewers_2"})
    more = taken.model_copy(update={"printers": (*taken.printers, printer)})
    assert free_id("sewers", more) == "sewers_3"
