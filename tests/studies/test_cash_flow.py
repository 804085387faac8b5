"""Cash flows by hand: what is bought, the parts of a gain, ramp-up, part years, tax as in `craft.finance`."""

from __future__ import annotations

import numpy as np
import pytest

from shopsim.craft.finance import after_tax_flows
from shopsim.measures.costs import COST_CATEGORIES
from shopsim.shop.printers import MachineMoney
from shopsim.studies.cash_flow import (
    PARTS,
    GainCurves,
    MoneyCurves,
    Spending,
    cash_flows,
    machines_bought,
    mean_wage_cu_per_h,
    with_won,
    won_share,
    yearly_books,
)
from tests.studies.given import option, row


def gains(per_year: float, years: int = 5, replications: int = 1) -> np.ndarray:
    return np.full((replications, years), per_year)


def test_every_category_of_cost_but_the_write_off_is_a_part_of_the_gain_once() -> None:
    named = [name for _, names in PARTS.values() for name in names]
    assert sorted(named) == sorted({"revenue", "late_penalties", *COST_CATEGORIES} - {"write_off"})


def test_gains_are_option_less_base_a_year_with_costs_negative() -> None:
    base = [row(0, {}, money_per_week={"revenue": 900.0, "ink": 50.0, "write_off": 10.0, "late_penalties": 70.0})]
    other = [row(0, {}, money_per_week={"revenue": 1000.0, "ink": 60.0, "write_off": 99.0, "wages": 30.0})]
    found = dict(zip(PARTS, (yearly_books(other) - yearly_books(base))[0] / (365.25 / 7), strict=True))
    assert found == pytest.approx({
        "sales": 100, "late_penalties": 70, "material": -10, "energy": 0, "labour": -30, "service": 0, "rent": 0,
        "other": 0,
    })  # fmt: skip


def test_what_is_bought_is_what_the_base_has_not() -> None:
    base = option("base").scenario
    (room,) = base.work_centres
    dear = MachineMoney(price=10_000, life_years=10, resale_pct=30)
    cheap = MachineMoney(price=2000, life_years=5, resale_pct=10)
    room = room.model_copy(update={"money": cheap, "seats": 3})
    printer = base.printers[0].model_copy(update={"id": "printer_2", "money": dear})
    other = base.model_copy(update={"work_centres": (room,), "printers": (*base.printers, printer)})
    found = machines_bought(base, other)
    # Two seats more and a printer: 2 x 2000 + 10,000, life (4000 x 5 + 10,000 x 10) / 14,000.
    assert (found.once_cu, found.life_years, found.resale_cu) == pytest.approx((14_000, 120 / 14, 3400))
    assert machines_bought(other, base) == Spending(0.0, 7.0, 0.0)


def test_the_mean_wage_counts_heads() -> None:
    base = option("base", heads=3).scenario
    crew = base.crews[0].model_copy(update={"wage_per_h": 20.0})
    other = crew.model_copy(update={"id": "other", "count": 1, "wage_per_h": 32.0})
    assert mean_wage_cu_per_h(base.model_copy(update={"crews": (crew, other)})) == 23.0


def test_price_yearly_cost_and_resale() -> None:
    spending = Spending(1000, 3, 100, per_year_cu=50, training_h=4, training_cu_per_h=25)
    assert cash_flows(gains(500, 3), spending).tolist() == [[-1100, 450, 450, 550]]


def test_the_first_weeks_earn_less_and_losses_are_not_made_smaller_by_learning() -> None:
    year = 365.25 / 7
    spending = Spending(1000, 2, ramp_up_weeks=year * 1.25, ramp_up_share=0.6)
    # 40 % lost in all of the first year and in a quarter of the second.
    assert cash_flows(gains(500, 2), spending)[0] == pytest.approx([-1000, 300, 450])
    assert cash_flows(gains(-500, 2), spending)[0] == pytest.approx([-1000, -500, -500])


def test_a_life_that_ends_within_a_year_earns_a_part_of_it() -> None:
    spending = Spending(1000, 2.25, 200, per_year_cu=100)
    assert cash_flows(gains(500, 3), spending)[0] == pytest.approx([-1000, 400, 400, 300])
    with pytest.raises(ValueError, match="gains must cover 3 years, found 2"):
        cash_flows(gains(500, 2), spending)


@pytest.mark.parametrize("resale", [0.0, 200.0])
def test_tax_is_that_of_the_craft(resale: float) -> None:
    found = cash_flows(gains(400), Spending(1000, 5, resale), 0.3)[0].tolist()
    assert found == pytest.approx(after_tax_flows(1000, 400, 5, 0.3, resale, resale))


def amounts(sales: list[float], energy: list[float]) -> np.ndarray:
    found = np.zeros((len(sales), 1, len(PARTS)))
    found[:, 0, list(PARTS).index("sales")] = sales
    found[:, 0, list(PARTS).index("energy")] = energy
    return found


def test_gains_between_demands_are_straight_and_beyond_them_level() -> None:
    curves = MoneyCurves((1.0, 1.2), amounts([100, 200], [-10, -20]))
    assert curves.at((0.5, 1.0, 1.05, 1.2, 2.0), {}).tolist() == [pytest.approx([90, 90, 112.5, 180, 180])]
    assert curves.at((1.0,), {"energy": 1.5, "sales": 0.5}).tolist() == [[pytest.approx(35)]]
    assert curves.parts_at(1.2).sum() == 180
    alone = MoneyCurves((1.0,), amounts([100], [-10]))
    assert alone.at((0.5, 1.0, 2.0), {}).tolist() == [[90, 90, 90]]


def test_orders_won_are_counted_on_the_books_of_the_option_alone() -> None:
    same = MoneyCurves((1.0, 1.2), amounts([100, 200], [-10, -20]))
    option = MoneyCurves((1.0, 1.2, 1.44), amounts([1000, 1240, 1480], [-50, -50, -98]))
    curves = GainCurves(same, option)
    # A fifth on top of today's: 240 more sales; of 1.2 of today's: 240 more, and 48 more energy.
    assert curves.at((1.0, 1.2), (0.2, 0.2), {}, {}).tolist() == [pytest.approx([90 + 240, 180 + 240 - 48])]
    assert curves.at((1.0, 1.2), (0.2, 0.0), {"sales": 0.5}, {}).tolist() == [pytest.approx([40 + 240, 80])]
    assert curves.at((1.0,), (0.2,), {}, {"sales": 0.5}).tolist() == [[pytest.approx(90 + 120)]]
    before, won = curves.parts(0.2)
    assert (before.sum(), won.sum()) == pytest.approx((90, 240))
    assert curves.parts(0.0)[1].any() == np.False_
    assert with_won(1.1, 0.1) == 1.21


def test_won_orders_come_evenly() -> None:
    year = 365.25 / 7
    assert [won_share(0, number) for number in (1, 2)] == [1, 1]
    # All after half a year: half of them in the first half, all in the second.
    assert [won_share(year / 2, number) for number in (1, 2)] == pytest.approx([0.75, 1])
    assert [won_share(2 * year, number) for number in (1, 2, 3)] == pytest.approx([0.25, 0.75, 1])


@pytest.mark.parametrize(("wrong", "message"), [
    ({"once_cu": -1}, "once_cu must be at least 0, found -1"),
    ({"life_years": 0}, "life_years must be above 0, found 0"),
    ({"ramp_up_share": 1.5}, "ramp_up_share must be from 0 to 1, found 1.5"),
])  # fmt: skip
def test_impossible_spending_is_refused(wrong: dict[str, float], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        Spending(**{"once_cu": 1.0, **wrong})
