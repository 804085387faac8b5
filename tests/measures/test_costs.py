"""Money of one hand-written week, category by category."""

import numpy as np
import pytest

from shopsim.measures.costs import COST_CATEGORIES, costs_of
from shopsim.measures.intervals import Window
from shopsim.measures.summaries import cost_table
from tests.measures.hand_logs import WEEK, hand_log, hand_shop, operation, shipped
from tests.measures.weeks import full_shop, full_week
from tests.stories.shops import centre, crew

EXPECTED = {
    # 2 banners at 30; one at 30, so the minimum of 40, with the rush surcharge of 25 %.
    "revenue": 60 + 50,
    # A day late: 5 % and 1 % for the day begun, of 50.
    "late_penalties": 3,
    # 10 + 4 + 3 m on a web 1 m wide at 4.
    "fabric": 68,
    # 100 ml at 50 a litre.
    "ink": 5,
    # 39 kWh at 0.20.
    "energy": 7.8,
    # 40 h of the operator, 80 h of the sewers less a day of absence, at 20 and 10 % shift premium.
    "wages": (40 + 80 - 8) * 20 * 1.1,
    # 2 h with 10 % + 30 %.
    "overtime_pay": 2 * 20 * 1.4,
    # A week is 7 / 365.25 of a year: 3652.5 and 5844 a year.
    "service": 70,
    "write_off": 112,
    # 30 + 70 m2.
    "rent": 700,
    "packing_and_freight": 24,
    "bought_in": 15,
}


def test_every_category_of_a_week() -> None:
    scenario = full_shop()
    cost = sum(EXPECTED[name] for name in COST_CATEGORIES)
    expected = EXPECTED | {"cost": cost, "margin": 110 - 3 - cost}
    assert costs_of(full_week(scenario), scenario) == pytest.approx(expected)


def test_a_window_of_its_own() -> None:
    """Monday 07:00 to 07:30: web, ink printed, and half an hour of three people."""
    scenario = full_shop()
    found = costs_of(full_week(scenario), scenario, Window(420, 450 + 1e-9))
    assert found["wages"] == pytest.approx(1.5 * 20 * 1.1)
    assert (found["fabric"], found["ink"], found["revenue"]) == pytest.approx((68, 4, 0))


@pytest.mark.parametrize("days_late", [0.0, 0.5, 1.0, 4.2, 30.0])
def test_penalties_follow_the_rule_of_the_trade(days_late: float) -> None:
    scenario = full_shop()
    log = hand_log(
        scenario,
        orders=[shipped(0, 0, 100, 100 + days_late * 1440)] if days_late < 7 else [shipped(0, -40000, -40000, 3200)],
        lines=[{"order": 0, "pieces": 10, "width_m": 1, "height_m": 1}],
    )
    expected = 300 * min(0.05 + 0.01 * float(np.ceil(days_late)), 0.10) if days_late else 0.0
    assert costs_of(log, scenario)["late_penalties"] == pytest.approx(expected)


def test_a_calender_is_hot_while_its_crew_is_there_and_runs_while_it_is_worked() -> None:
    """5 days of 510 min hot, breaks included, 60 of them running at 28 kW, the rest at 15, nights at 0.1; a sewing
    machine of 3 kW runs 30 min."""
    scenario = hand_shop(
        work_centres=[centre("sewing", running_kw=3.0)],
        calenders=[{"id": "drum", "people": 1, "power": {"running_kw": 28.0, "standby_kw": 15.0, "off_kw": 0.1}}],
        crews=[crew("op", "printing calender"), crew("sewers", "sewing")],
    )  # fmt: skip
    log = hand_log(
        scenario,
        operations=[operation(1, 2, 450, 510, place=1, seat=0, person=0), operation(2, 4, 450, 480, seat=0, person=1)],
    )
    log.places = ["sewing", "drum", "print room"]
    log.place_seats = [1, 1, None]
    log.place_calendars = [log.crew_calendars[0]] * 3
    kwh = 60 / 60 * 28 + (2550 - 60) / 60 * 15 + (WEEK - 2550) / 60 * 0.1 + 0.5 * 3
    assert costs_of(log, scenario)["energy"] == pytest.approx(kwh * 0.2)


def test_the_table_of_costs_adds_up() -> None:
    scenario = full_shop()
    table = cost_table(full_week(scenario), scenario)
    assert table["category"].tolist() == list(COST_CATEGORIES)
    assert table["share"].sum() == pytest.approx(1)
    assert table["per_m2"].sum() == pytest.approx(table["amount"].sum() / 3)
    assert table["per_week"].tolist() == pytest.approx(table["amount"].tolist())
