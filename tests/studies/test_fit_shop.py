"""Shops whose inputs are known, found again from ugly records; the long run of it is `tests/evidence/recovery.py`."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest

from shopsim.shop.changes import changed_values
from shopsim.shop.exports.mapping import load_mapping
from shopsim.shop.exports.reading import read_export
from shopsim.shop.ranges_file import check_ranges
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values, parse_scenario
from shopsim.studies.fit_estimates import Estimate
from shopsim.studies.fit_found import Findings, Fitted
from shopsim.studies.fit_history import order_history
from shopsim.studies.fit_shop import ShopFit, fit_shop
from shopsim.studies.fit_together import put_in
from tests.evidence.recorded_shop import believed_shop
from tests.evidence.recovery import PROMISED, TRUTH, fit_of, inside, kept
from tests.evidence.slices import at_least
from tests.studies.past_orders import order

UGLY = Path(__file__).parents[1] / "shop" / "exports" / "ugly"


@pytest.fixture(scope="module")
def fits() -> list[ShopFit]:
    return [fit_of(seed) for seed in (1001, 1002, 1003)]


def test_true_values_lie_in_their_intervals(fits: list[ShopFit]) -> None:
    held = [inside(fit) for fit in fits]
    assert all(set(each) == set(TRUTH) for each in held)
    hits = sum(sum(each.values()) for each in held)
    assert hits >= at_least(PROMISED, 3 * len(TRUTH))


def test_true_values_lay_inside_in_the_long_run() -> None:
    each = kept()
    for name, (hits, n) in each.items():
        # One in a hundred that any of all the values has so much bad luck.
        assert hits >= at_least(PROMISED, n, 0.01 / len(TRUTH)), name
    hits, n = (sum(column) for column in zip(*each.values(), strict=True))
    # Normal approximations of skewed means cost about a point of the promised 95 %.
    assert n >= 100 * len(TRUTH)
    assert hits >= at_least(PROMISED - 0.01, n)


def test_what_is_not_fitted_is_told(fits: list[ShopFit]) -> None:
    assert "month index: less than a year on record" in fits[0].left
    assert "join at press, mean minutes: 0 on record, too few" in fits[0].left


def test_ranges_fit_the_fitted_scenario(fits: list[ShopFit]) -> None:
    values = scenario_values(believed_shop())
    for change in fits[0].changes:
        values = changed_values(values, change)
    unsure = check_ranges(fits[0].ranges, check_values(values, "fitted"), "fit")
    assert len(unsure) > 30
    assert all(one.given.low <= one.now <= one.given.high for one in unsure)


def test_weeks_only_partly_on_record_do_not_count() -> None:
    wednesday = datetime.date(2026, 1, 7)
    days = [wednesday + datetime.timedelta(days=i) for i in range(28)]
    history = order_history([order(i, day) for i, day in enumerate(days)])
    # From the Monday after to the last whole week: the last day is a Tuesday.
    assert (history.first, history.last, history.weeks) == (datetime.date(2026, 1, 12), datetime.date(2026, 2, 1), 3)
    assert history.outside == 7
    with pytest.raises(ValueError, match="at least two whole weeks, found 2026-01-07 to 2026-01-14"):
        order_history([order(i, day) for i, day in enumerate(days[:8])])


def test_lines_of_one_order_are_one_order() -> None:
    monday = datetime.date(2026, 1, 5)
    rows = [order(i // 2, monday + datetime.timedelta(days=i // 2)) for i in range(40)]
    assert [len(each.lines) for each in order_history(rows).orders][:3] == [2, 2, 2]


def test_products_that_are_not_in_the_scenario_are_told() -> None:
    monday = datetime.date(2026, 1, 5)
    rows = [order(i, monday + datetime.timedelta(days=i)) for i in range(26)]
    rows[3]["product"] = "moon"
    fit = fit_shop(believed_shop(), orders=rows)
    assert "product 'moon': 1 lines, not in the scenario" in fit.left
    assert "product 'light': not ordered in these weeks, left out of the mix" in fit.left


def test_an_order_is_out_when_its_last_part_is(tmp_path: Path) -> None:
    text = (UGLY / "10_doubles_reject.csv").read_text(encoding="utf-8") + "A9,2026-01-30,2026-02-03,flag,1,\n"
    (tmp_path / "list.csv").write_text(text, encoding="utf-8")
    rows = read_export(tmp_path / "list.csv", load_mapping(UGLY / "10_doubles_reject.map.yaml")).usable
    history = order_history(row.values for row in rows)
    (parted,) = [each for each in history.orders if each.order_id == "A3"]
    assert (parted.due, parted.shipped) == (datetime.date(2026, 1, 13), datetime.datetime(2026, 1, 14, 16))


def test_what_the_scenario_does_not_have_is_no_demand_of_it() -> None:
    monday = datetime.date(2026, 1, 5)
    rows = [order(i, monday + datetime.timedelta(days=i)) for i in range(26)]
    strange = [order(100 + i, monday + datetime.timedelta(days=i), product="moon") for i in range(26)]
    mixed = [{**rows[0], "product": "moon"}]
    fit, plain = fit_shop(believed_shop(), orders=[*rows, *strange, *mixed]), fit_shop(believed_shop(), orders=rows)
    assert fit.fitted == plain.fitted
    assert "demand counts what the scenario has only: 27 of 53 lines and 26 of 52 orders are left out" in fit.left
    with pytest.raises(ValueError, match="no order line can be used; product 'moon': 26 lines, not in the scenario"):
        fit_shop(believed_shop(), orders=strange)


def test_a_common_reason_is_told_once_and_demand_stays() -> None:
    scenario = believed_shop()
    found = Findings([
        Fitted("demand.forecast.orders_per_week", 7.0, "orders a week", Estimate(7, 6, 8, 50), "orders", ""),
        Fitted("demand.forecast.mix", [{"product": "moon", "share_pct": 1.0}], "mix", Estimate(1, 1, 1, 9), "", ""),
        Fitted("policies.quality.cut_loss_pct", 3.0, "cut", Estimate(3, 2, 4, 500), "pieces", ""),
    ])  # fmt: skip
    made, changes = put_in(scenario, found, with_orders=True)
    assert [one.about for one in made] == ["cut"]
    assert [change.path for change in changes] == ["policies.quality.cut_loss_pct"]
    assert len(found.left) == 1
    assert found.left[0].startswith("found, but the scenario refuses it: ")
    assert found.left[0].endswith("(orders a week 7, mix 1)")


def test_what_no_roll_can_take_is_no_demand() -> None:
    monday = datetime.date(2026, 1, 5)
    rows = [order(i, monday + datetime.timedelta(days=i), width_m=2.8, height_m=1.0 + i % 2) for i in range(26)]
    far = [order(100 + i, monday + datetime.timedelta(days=i), width_m=55.0, height_m=55.0) for i in range(3)]
    fit, plain = fit_shop(believed_shop(), orders=[*rows, *far]), fit_shop(believed_shop(), orders=rows)
    assert fit.fitted == plain.fitted
    assert fit.left[0].startswith("product 'frame': 3 lines, ")
    assert fit.left[1].endswith("3 of 29 lines and 3 of 29 orders are left out")


def test_a_book_gives_way_to_the_forecast() -> None:
    path = Path(__file__).parents[2] / "demo_scenarios" / "frame_fabric_shop.yaml"
    scenario = parse_scenario(path.read_text(encoding="utf-8"), "demo")
    monday = datetime.date(2026, 1, 5)
    size = {"width_m": 2.0, "height_m": 1.5}
    rows = [order(i, monday + datetime.timedelta(days=i), product=scenario.products[0].id, **size) for i in range(26)]
    fit = fit_shop(scenario, orders=rows)
    assert [(change.action, change.path) for change in fit.changes[:2]] == [
        ("set", "demand.forecast"), ("remove", "demand.order_book"),
    ]  # fmt: skip
