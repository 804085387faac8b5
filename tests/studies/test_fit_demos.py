"""Each demo fitted to its own orders, as anybody tries first, and gone on with to `match`."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path

import pytest

from shopsim.answers.fit import fitted_text
from shopsim.cli import main
from shopsim.floor.run import simulate
from shopsim.measures.facts import Facts
from shopsim.sentences.fitting import fitted_sentence
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values, parse_scenario
from shopsim.shop.shop_file import load_shop
from shopsim.studies.fit_shop import fit_shop
from tests.evidence.matching_shop import Happened, Rows, recorded_orders, write_record

DEMOS = Path(__file__).parents[2] / "demo_scenarios"


@cache
def own_orders(name: str) -> Rows:
    """What the demo's own demand brings, sent out as one run of it tells."""
    shop = load_shop(DEMOS / f"{name}.yaml")
    values = scenario_values(shop.scenario)
    values["study"] |= {"weeks": 16.0 if shop.order_lines else 4.0, "opening": "empty"}
    scenario = check_values(values, name)
    return recorded_orders(scenario, Facts(simulate(scenario, shop.order_lines), scenario), shop.order_lines)


# The third demo has a book of its own, which is fitted below.
@pytest.mark.parametrize("name", ["exhibition_supplier", "flag_banner_shop"])
def test_every_value_of_demand_is_taken(name: str) -> None:
    path = DEMOS / f"{name}.yaml"
    text = path.read_text(encoding="utf-8")
    fit = fit_shop(parse_scenario(text, path.name), orders=own_orders(name))
    assert not [line for line in fit.left if "refuses" in line]
    rate = next(one for one in fit.written if one.path == "demand.forecast.orders_per_week")
    assert fit.history is not None
    assert rate.estimate.n == len(fit.history.orders)
    made = parse_scenario(fitted_text(text, path.name, fit, fitted_sentence(fit)), "fitted")
    assert made.demand.order_book is None
    assert made.demand.forecast is not None
    assert made.demand.forecast.orders_per_week == rate.value
    ordered = {row["product"] for row in own_orders(name)}
    assert {line.product for line in made.demand.forecast.mix} == ordered


def test_sizes_of_a_book_keep_mean_area_and_perimeter() -> None:
    path = DEMOS / "frame_fabric_shop.yaml"
    text = path.read_text(encoding="utf-8")
    scenario = parse_scenario(text, path.name)
    fit = fit_shop(scenario, orders=own_orders("frame_fabric_shop"))
    sizes = {one.path.split(".")[1]: one.value for one in fit.written if one.path.endswith(".sizes")}
    assert fit.history is not None
    lines = [line for order in fit.history.orders for line in order.lines]
    assert set(sizes) == {line.product for line in lines}
    for name, listed in sizes.items():
        sides = [(line.width_m, line.height_m) for line in lines if line.product == name]
        weight = sum(each["share"] for each in listed)
        for of in (lambda w, h: w * h, lambda w, h: 2 * (w + h)):
            kept = sum(each["share"] * of(each["width_m"], each["height_m"]) for each in listed) / weight
            # Grouped sizes and shares have four digits.
            assert kept == pytest.approx(sum(of(w, h) for w, h in sides) / len(sides), rel=1e-3), name
    assert len(sizes["front_frame"]) == 80
    assert any(
        line.startswith("sizes of front_frame: 205 of 1318 lines in 205 rare sizes stand as 20") for line in fit.left
    )


def test_from_a_book_to_a_match(tmp_path: Path) -> None:
    paths = write_record(tmp_path, Happened(own_orders("frame_fabric_shop"), []))
    shop, out, told = str(DEMOS / "frame_fabric_shop.yaml"), tmp_path / "fitted.yaml", tmp_path / "told.json"
    orders = ["--orders", str(paths["orders"]), "--hold-out", "3"]
    assert main(["fit", shop, *orders, "--out", str(out)]) == 0
    runs = ["--run-in", "2", "--replications", "19", "--no-causes", "--no-store", "--workers", "1"]
    main(["match", shop, *orders, *runs, "--json", str(told)])
    answer = json.loads(told.read_text(encoding="utf-8"))
    assert answer["held_out_weeks"] == 3
    assert answer["figures"]["orders_out_per_week"]["happened"] > 100
    fitted = load_shop(out).scenario.demand.forecast
    assert fitted is not None
    assert fitted.orders_per_week > 100
