"""Tables for pictures from answers and from the shop on paper."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import pandas as pd
import pytest

from shopsim.measures.lead_times import LEAD_SHARES
from shopsim.pictures import answer_tables, run_tables
from shopsim.shop.demand import Forecast
from shopsim.shop.shop_file import load_shop
from shopsim.studies.cash_flow import Spending
from shopsim.studies.payback_inputs import PaybackPlan, usual_ranges
from shopsim.studies.replicate import Replications
from shopsim.studies.replication import Replication

DEMO = Path(__file__).resolve().parents[2] / "demo_scenarios" / "flag_banner_shop.yaml"


def bounds(mean: float, low: float | None = None, high: float | None = None) -> dict[str, float | None]:
    return {"mean": mean, "low": low, "high": high}


def rows_of(table: pd.DataFrame) -> list[tuple[Any, ...]]:
    return [tuple(None if cell != cell else cell for cell in row) for row in table.itertuples(index=False, name=None)]


def test_from_answers() -> None:
    compare = {"differences": {"a": {"x": bounds(1, 0, 2)}, "b": {"y": bounds(3)}}}
    assert rows_of(answer_tables.difference_table(compare, "x")) == [("a", 1, 0, 2)]
    crew = {"target": 0.8, "crews": [
        {"heads": {"sewers": 4}, "pay_per_week": 1200, "on_time_share": bounds(0.81, 0.7, 0.9), "meets": {"": True}},
        {"heads": {"sewers": 3, "cutters": 1}, "pay_per_week": 900, "on_time_share": bounds(0.9), "meets": {"": True}},
        {"heads": {"sewers": 2}, "pay_per_week": 600, "on_time_share": bounds(0.5), "meets": {"w1": True, "w2": False}},
        {"heads": {"sewers": 1}, "pay_per_week": 300, "on_time_share": bounds(0.5), "meets": {"w1": None}},
    ]}  # fmt: skip
    found = answer_tables.crew_table(crew, {"sewers": "Sewer by day"})
    assert found["crew"].tolist() == [
        "Sewer by day: 4",
        "Sewer by day: 3, cutters: 1",
        "Sewer by day: 2",
        "Sewer by day: 1",
    ]
    # An interval that holds the target makes it a close call.
    assert found["meets"].tolist() == ["close", "yes", "no", "open"]
    measures = {"cost_per_week": bounds(10, 9, 11), "on_time_share": bounds(0.9, 0.8, 1)}
    shifts = {"options": {"nights": {"measures": measures}, "days": {"measures": measures}},
              "rest_times": {"nights": [{"rule": True}, {"rule": False}, {"rule": False}]}}  # fmt: skip
    assert rows_of(answer_tables.pattern_table(shifts)) == [
        ("nights", 10, 9, 11, 0.9, 0.8, 1, 1, 2), ("days", 10, 9, 11, 0.9, 0.8, 1, 0, 0)
    ]  # fmt: skip
    growth = {"options": {"base": {"curve": [{"demand": 1.0, "on_time_share": bounds(0.9)}],
                                   "breaks_at": bounds(1.1, 1.0, None)}}}  # fmt: skip
    curves, breaks = answer_tables.growth_tables(growth)
    assert (rows_of(curves), rows_of(breaks)) == ([("base", 1.0, 0.9, None, None)], [("base", 1.1, 1.0, None)])
    bar = {"input": "wages_pct", "low": 97, "high": 108, "npv_at_low_cu": 5, "npv_at_high_cu": 3}
    assert rows_of(answer_tables.payback_tornado_table({"tornado": [bar]}, "CU")) == [
        ("wages", "% of today's", 97, 108, 5, 3)
    ]  # fmt: skip
    doubts = [each.name for each in usual_ranges(PaybackPlan(2, Spending(1000, 7, 100)))]
    bars = [{**bar, "input": name} for name in [*doubts, "per_year_cu"]]
    units = answer_tables.payback_tornado_table({"tornado": bars}, "CU").set_index("input")["unit"].to_dict()
    assert units == {
        "price": "CU", "resale": "CU", "years of use": "years", "yearly extra cost": "CU a year",
        "discount rate": "% a year", "growth of demand": "% a year", "gain that comes true": "% of the gain",
        **dict.fromkeys(("sales prices", "prices of cloth and ink", "price of electricity", "wages"), "% of today's"),
    }  # fmt: skip
    inputs = [
        {"path": "a.b", "low": 1, "high": 2, "at_low": bounds(-3), "at_high": bounds(4)},
        {"path": "c", "low": 1, "high": 2, "at_low": bounds(None), "at_high": bounds(1)},
        {"path": "d", "low": 1, "high": 2, "at_low": bounds(1), "at_high": bounds(math.nan)},
    ]
    by_bars = {"without_doubt": bounds(10), "inputs": inputs}
    assert rows_of(answer_tables.sensitivity_tornado_table(by_bars)) == [("a.b", 1, 2, 7, 14)]
    effects = [{"path": "a", "matters": True, "mean_absolute_effect": bounds(30, 20, 40)},
               {"path": "b", "matters": False, "mean_absolute_effect": bounds(None)}]  # fmt: skip
    by_morris = {"method": "morris", "inputs": effects}
    assert rows_of(answer_tables.weight_table(by_morris)) == [("a", "yes", 30, 20, 40)]
    shares = [
        {"path": "a", "matters": True, "total_order": bounds(0.9, 0.7, 1.2)},
        {"path": "b", "matters": False, "total_order": bounds(-0.01, -0.1, 0.1)},
        {"path": "c", "matters": False},
    ]
    by_sobol = {"method": "sobol", "inputs": shares}
    assert rows_of(answer_tables.weight_table(by_sobol)) == [("a", "yes", 0.9, 0.7, 1), ("b", "no", 0, 0, 0.1)]
    warm_up = {"orders_in_shop_by_day": [1.0, 2.0, 3.0], "smoothed": [1.5]}
    assert rows_of(answer_tables.settling_table(warm_up)) == [(0, 1, 1.5), (1, 2, None), (2, 3, None)]
    check = {"loads": [{"id": "hem", "limit": "people", "share": 0.5, "share_by_week": [0.4, None]}]}
    assert rows_of(answer_tables.loads_table(check)) == [("hem", "people", 0.5, float("inf"))]


def made(number: int, **parts: Any) -> Replication:
    names = ("measures", "states", "unattended", "constraint", "web_per_week", "reasons_h", "money_per_week")
    given: dict[str, Any] = {name: {} for name in names}
    return Replication(number, **{**given, **parts})


def test_from_replications() -> None:
    shop = load_shop(DEMO)
    rows = (
        made(0, states={("printer", "p", "off"): 0.5, ("place", "p", "off"): 0.5}, unattended={("p", "off"): 0.25},
             reasons_h={("all", "work"): 2.0}, web_per_week={("leader", "m"): 3.0, ("leader", "m2"): 6.0},
             in_shop_by_day=(1.0, 2.0), lead_days=tuple(LEAD_SHARES)),
        made(1, states={("printer", "p", "off"): 0.7, ("place", "p", "off"): 0.5}, unattended={("p", "off"): 0.35},
             reasons_h={("all", "work"): 4.0}, web_per_week={("leader", "m"): 3.0, ("leader", "m2"): 6.0},
             in_shop_by_day=(1.0, 4.0), lead_days=tuple(share + 2 for share in LEAD_SHARES)),
    )  # fmt: skip
    found = Replications(shop.scenario, rows)
    assert rows_of(run_tables.split_table(found)) == [
        ("printer", "p", "off", pytest.approx(0.6), pytest.approx(0.3)), ("place", "p", "off", 0.5, 0.0),
    ]  # fmt: skip
    seat = {("place", "hem", state): share for state, share in (("busy", 0.1), ("set_aside", 0.6), ("idle", 0.3))}
    # A fifth of its open hours at work: open for 50 % of the week, of which 40 % are at work or free.
    for busy_share, closed in ((0.2, 0.5), (0.25, 0.6), (0.5, 0.6), (math.nan, 0.6)):
        table = run_tables.split_table(
            Replications(shop.scenario, (made(0, states=seat, measures={"busy_share.hem": busy_share}),))
        )
        assert table["unattended_share"].tolist() == pytest.approx([0, closed, 0])
    assert rows_of(run_tables.why_late_table(found)) == [("all", "work", 3.0)]
    assert rows_of(run_tables.waste_table(found)) == [("leader", 6.0, 6.0, 6.0)]
    inside = run_tables.in_shop_table(found)
    assert inside["orders"].tolist() == [1.0, 3.0]
    # Two values 2 apart: standard error 1, and t(1, 0.975) = 12.706 (tables of Student's t).
    assert inside["high"][1] == pytest.approx(3 + 12.706, abs=1e-3)
    lead = run_tables.lead_table(found)
    assert lead["days"].tolist() == pytest.approx([share + 1 for share in LEAD_SHARES])
    assert run_tables.usual_promise(found) is None
    promised = [made(number, measures={"promised_p50_h": hours}) for number, hours in enumerate((48.0, 96.0))]
    assert run_tables.usual_promise(Replications(shop.scenario, tuple(promised))) == 3.0


def test_forecasts() -> None:
    demand = Forecast.model_validate({
        "orders_per_week": 14.0, "mix": [{"product": "flag", "share_pct": 1.0}],
        "month_index": [2.0] + [1.0] * 10 + [0.0],
        "weekday_shares": [3.0, 1.0, 0, 0, 0, 0, 0], "hour_shares": [0.0] * 8 + [1.0] + [0.0] * 15,
    })  # fmt: skip
    assert run_tables.forecast_table(demand, "year")["orders"].tolist() == [28.0] + [14.0] * 10 + [0.0]
    assert run_tables.forecast_table(demand, "week")["orders"].tolist() == [10.5, 3.5, 0, 0, 0, 0, 0]
    assert run_tables.forecast_table(demand, "day")["orders"].tolist()[8] == 2.0
    even = demand.model_copy(update={"evenly_spread": True})
    assert run_tables.forecast_table(even, "week")["orders"].tolist() == [2.0] * 7
    with pytest.raises(ValueError) as fault:
        run_tables.forecast_table(demand, "century")
    assert str(fault.value) == "over must be year, week or day, found 'century'"
