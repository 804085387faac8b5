"""Payback: worth, payback and break-even demand by hand, spread of runs beside the interval of the mean, doubt."""

from __future__ import annotations

import math
from dataclasses import replace

import numpy as np
import pytest

from shopsim.craft.finance import irr, npv_cu
from shopsim.studies.cash_flow import Spending
from shopsim.studies.input_ranges import Range
from shopsim.studies.option import Option
from shopsim.studies.payback import Payback, payback
from shopsim.studies.payback_inputs import PaybackPlan, usual_ranges
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
from shopsim.studies.worth import SAMPLES
from tests.studies.given import GivenEngine, option, row

WEEKS = 365.25 / 7
LUCK = np.random.default_rng(4).normal(0, 40, 10)
SPENDING = Spending(50_000, 5, 5000, per_year_cu=1000)
# Worth today of 1 a year for five years at 8 %, and of 1 at their end.
ANNUITY, END = (1 - 1.08**-5) / 0.08, 1.08**-5


def sold(which: Option, number: int) -> Replication:
    """At today's demand two heads more sell 500 CU more a week ± luck, and cost 200 CU in wages."""
    forecast = which.scenario.demand.forecast
    assert forecast is not None
    extra = (which.scenario.crews[0].count - 1) / 2
    money = {
        "revenue": 1000 * forecast.orders_per_week + extra * (500 * forecast.orders_per_week + LUCK[number]),
        "wages": 300 + 200 * extra, "write_off": 5000 * extra,
    }  # fmt: skip
    return row(number, {"on_time_share": 1 - 0.1 * forecast.orders_per_week}, money_per_week=money)


def worked_out(spending: Spending = SPENDING, count: int = 10, **plan: object) -> Payback:
    made = PaybackPlan(count, spending, **plan)  # type: ignore[arg-type]
    return payback(Runner(GivenEngine(sold)), option("as it stands"), option("more heads", 3), made)


def worth_of(gain_per_week: float) -> float:
    return -50_000 + (gain_per_week * WEEKS - 1000) * ANNUITY + 5000 * END


def test_each_run_is_worth_what_its_own_flows_are() -> None:
    found = worked_out()
    assert found.runs.npv_cu == pytest.approx([worth_of(300 + luck) for luck in LUCK])
    yearly = (300 + LUCK[3]) * WEEKS - 1000
    assert found.runs.flows_cu[3] == pytest.approx([-50_000, *[yearly] * 4, yearly + 5000])
    assert found.runs.payback_years[3] == pytest.approx(50_000 / yearly)
    assert found.runs.irr_pct[3] == pytest.approx(100 * irr(found.runs.flows_cu[3].tolist()))
    assert npv_cu(found.runs.irr_pct[3] / 100, found.runs.flows_cu[3].tolist()) == pytest.approx(0, abs=1e-6)
    assert found.runs.share_paid_back == 1.0
    assert all(a > b for a, b in zip(found.runs.discounted_payback_years, found.runs.payback_years, strict=True))


def test_the_mean_has_an_interval_of_its_own() -> None:
    found = worked_out()
    half_width = 2.262157 * LUCK.std(ddof=1) / math.sqrt(10)
    assert found.gain_per_year.half_width == pytest.approx(half_width * WEEKS, rel=1e-6)
    assert found.npv.mean == pytest.approx(worth_of(300 + LUCK.mean()))
    assert found.npv.half_width == pytest.approx(half_width * WEEKS * ANNUITY, rel=1e-6)
    assert found.settled
    # The year by which the mean has come back is that of the mean's gain, at both ends of its interval.
    root = found.pays_back_after
    ends = [50_000 / ((300 + LUCK.mean() + step) * WEEKS - 1000) for step in (half_width, 0, -half_width)]
    assert (root.low, root.estimate, root.high) == pytest.approx(tuple(ends), abs=0.01)


def test_from_what_demand_on_it_pays() -> None:
    found = worked_out()
    needed_per_week = ((50_000 - 5000 * END) / ANNUITY + 1000) / WEEKS
    expected = (needed_per_week + 200 - LUCK.mean()) / 500
    half_width = 2.262157 * LUCK.std(ddof=1) / math.sqrt(10) / 500
    even = found.breaks_even_at
    assert (even.low, even.estimate, even.high) == pytest.approx(
        (expected - half_width, expected, expected + half_width), abs=1e-3
    )


def test_what_never_comes_back_is_infinite_and_has_no_rate() -> None:
    found = worked_out(replace(SPENDING, per_year_cu=40_000, resale_cu=0))
    assert set(found.runs.payback_years) == {math.inf}
    assert set(found.runs.irr_pct) == {-math.inf}
    assert found.runs.share_paid_back == 0
    assert found.pays_back_after.estimate is None
    assert found.settled


def test_a_worth_too_near_0_to_tell_is_not_settled() -> None:
    level = (300 + LUCK.mean()) * WEEKS * ANNUITY + 5000 * END - 1000 * ANNUITY
    assert not worked_out(replace(SPENDING, once_cu=level)).settled


def test_growth_earns_more_each_year_at_demands_that_were_run() -> None:
    found = worked_out(growth_pct_per_year=10.0)
    # 1.1 to the fourth: the last of five years.
    assert max(found.curves.same.factors) == pytest.approx(1.4641)
    weekly = [500 * 1.1**year - 200 + LUCK[0] for year in range(5)]
    expected = [-50_000, *(gain * WEEKS - 1000 for gain in weekly)]
    expected[-1] += 5000
    assert found.runs.flows_cu[0] == pytest.approx(expected)
    assert found.cut_off_share == 0


def test_beyond_three_times_todays_demand_the_gain_stays_as_there() -> None:
    found = worked_out(growth_pct_per_year=50.0)
    assert max(found.curves.same.factors) == 3.0
    # 1.5, 2.25, 3.375 and 5.06 of today's.
    assert found.runs.flows_cu[0][3:5] == pytest.approx([(500 * each - 200 + LUCK[0]) * WEEKS - 1000 for each in
                                                         (2.25, 3.0)])  # fmt: skip
    assert found.cut_off_share == 1


def test_doubt_that_leaves_the_demands_run_is_counted() -> None:
    # Four years of growth from -10 to 10 %: below 0.8 from -5.43 %, above 1.2 from 4.66 % on.
    found = worked_out(ranges=(Range("growth_pct_per_year", -10, 10),))
    assert found.cut_off_share == pytest.approx((4.57 + 5.34) / 20, abs=0.002)


def test_tornado_bars_by_hand_longest_first() -> None:
    ranges = (Range("wages_pct", 90, 120), Range("once_cu", 45_000, 60_000), Range("discount_pct", 8, 10))
    found = worked_out(ranges=ranges)
    assert [bar.doubt.name for bar in found.tornado] == ["once_cu", "wages_pct", "discount_pct"]
    mean = worth_of(300 + LUCK.mean())
    price, wages, rate = found.tornado
    assert (price.at_low_cu, price.at_high_cu) == pytest.approx((mean + 5000, mean - 10_000))
    per_pct = 2 * WEEKS * ANNUITY
    assert (wages.at_low_cu, wages.at_high_cu) == pytest.approx((mean + 10 * per_pct, mean - 20 * per_pct))
    assert rate.at_low_cu == pytest.approx(mean)
    assert rate.swing_cu > 0


def test_doubt_widens_the_spread_around_the_same_middle() -> None:
    ranges = (Range("once_cu", 20_000, 80_000), Range("life_years", 4, 6))
    found = worked_out(ranges=ranges)
    doubt = np.array(found.with_doubt.npv_cu)
    assert len(doubt) == SAMPLES
    assert doubt.std() > 2 * np.std(found.runs.npv_cu)
    assert doubt.mean() == pytest.approx(found.npv.mean, abs=2500)
    # Doubt alone is without luck: a price that is anywhere in its range leaves the middle of the worths as far apart.
    sure = worked_out(ranges=(Range("once_cu", 20_000, 80_000),)).doubt
    assert max(sure.npv_cu) - min(sure.npv_cu) == pytest.approx(60_000, rel=2e-3)
    assert sorted(sure.npv_cu)[SAMPLES // 2] == pytest.approx(found.npv.mean, abs=100)


def test_luck_is_drawn_anew_for_each_year() -> None:
    """The sum of five years' luck, discounted, and not five times that of one season."""
    found = worked_out()
    luck, alike = np.array(found.luck.npv_cu), np.array(found.runs.npv_cu)
    assert len(luck) == SAMPLES
    # The variance of one replication's gain a year, and the discounts squared of five independent years.
    of_a_year = LUCK.std() * WEEKS
    expected = of_a_year * math.sqrt(sum(1.08 ** (-2 * year) for year in range(1, 6)))
    assert luck.std() == pytest.approx(expected, rel=4 / math.sqrt(2 * SAMPLES))
    assert luck.mean() == pytest.approx(found.npv.mean, abs=4 * expected / math.sqrt(SAMPLES))
    assert alike.std() == pytest.approx(of_a_year * ANNUITY)
    # The year's flows are those of replications, and years differ within one life.
    yearly = {round((300 + one) * WEEKS - 1000, 6) for one in LUCK}
    assert set(np.round(found.luck.flows_cu[:, 1:5], 6).ravel()) == yearly
    assert len(set(found.luck.flows_cu[0, 1:5])) > 1


def test_break_even_of_each_run_by_hand() -> None:
    """At d of today's demand two heads more leave 500 d - 200 CU a week and the luck of the run."""
    found = worked_out()
    needed_per_week = ((50_000 - 5000 * END) / ANNUITY + 1000) / WEEKS
    expected = [(needed_per_week + 200 - luck) / 500 for luck in LUCK]
    inside = [0.8 <= one <= 1.2 for one in expected]
    assert sum(inside) >= 8
    assert found.runs.breaks_even_at == pytest.approx([
        one if within else math.copysign(math.inf, one - 1)
        for one, within in zip(expected, inside, strict=True)
    ])  # fmt: skip
    # A case of luck breaks even where the discounted mean of its years' luck does.
    weights = 1.08 ** -np.arange(1.0, 6.0) / ANNUITY
    first = found.luck.flows_cu[0, 1:] - np.array([0, 0, 0, 0, 5000])
    luck = float(weights @ ((first + 1000) / WEEKS - 300))
    assert found.luck.breaks_even_at[0] == pytest.approx((needed_per_week + 200 - luck) / 500)


def test_break_even_and_internal_rate_with_doubt_by_hand() -> None:
    found = worked_out(ranges=(Range("once_cu", 50_000, 60_000),))
    assert len(found.doubt.irr_pct) == SAMPLES
    for flows, rate, even in zip(found.doubt.flows_cu[:20], found.doubt.irr_pct, found.doubt.breaks_even_at,
                                 strict=False):  # fmt: skip
        assert npv_cu(rate / 100, flows.tolist()) == pytest.approx(0, abs=1e-6)
        needed_per_week = ((-flows[0] - 5000 * END) / ANNUITY + 1000) / WEEKS
        assert even == pytest.approx((needed_per_week + 200 - LUCK.mean()) / 500)


def test_orders_won_by_hand() -> None:
    """A fifth more orders sell as much more as the option's books show: 1500 CU a week for each of today's."""
    found = worked_out(orders_won_pct=20.0)
    won_per_week = 0.2 * 1500
    assert found.runs.npv_cu == pytest.approx([worth_of(300 + luck + won_per_week) for luck in LUCK])
    assert found.without_won is not None
    assert found.without_won.mean == pytest.approx(worth_of(300 + LUCK.mean()))
    assert found.gain_per_year.mean == pytest.approx((300 + LUCK.mean() + won_per_week) * WEEKS)
    # The base has 0.9 of its orders on time today; with a fifth more 0.88, whoever takes them.
    assert (found.on_time_now.mean, found.on_time_then.mean) == pytest.approx((0.9, 0.88))
    assert found.taken_anyway is not None
    assert found.taken_anyway.on_time.mean == pytest.approx(0.88)
    # Against a shop that takes them anyway only the 500 CU for each of 1.2 is the option's.
    assert found.taken_anyway.npv.mean == pytest.approx(worth_of(500 * 1.2 - 200 + LUCK.mean()))


def test_so_many_orders_must_be_won() -> None:
    dear = replace(SPENDING, once_cu=90_000, resale_cu=0)
    needed_per_week = (90_000 / ANNUITY + 1000) / WEEKS
    expected = (needed_per_week - 300 - LUCK.mean()) / 1500
    half_width = 2.262157 * LUCK.std(ddof=1) / math.sqrt(10) / 1500
    for won_pct in (0.0, 5.0):
        root = worked_out(dear, orders_won_pct=won_pct).orders_won_needed
        assert (root.low, root.estimate, root.high) == pytest.approx(
            (expected - half_width, expected, expected + half_width), abs=1e-3
        )
    runs = worked_out(dear).runs.orders_won_needed_pct
    assert runs == pytest.approx([100 * (needed_per_week - 300 - luck) / 1500 for luck in LUCK])


def test_won_orders_that_come_slowly_earn_less_at_first() -> None:
    found = worked_out(orders_won_pct=20.0, orders_won_weeks=WEEKS)
    gains = [300 + LUCK[0] + 300 * share for share in (0.5, 1, 1, 1, 1)]
    expected = [-50_000, *(gain * WEEKS - 1000 for gain in gains)]
    expected[-1] += 5000
    assert found.runs.flows_cu[0] == pytest.approx(expected)


def test_orders_won_in_doubt_are_a_bar_of_their_own() -> None:
    found = worked_out(orders_won_pct=20.0, ranges=(Range("orders_won_pct", 10, 30), Range("gain_pct", 50, 100)))
    won, gain = found.tornado
    assert won.doubt.name == "orders_won_pct"
    assert (won.at_low_cu, won.at_high_cu) == pytest.approx(
        [worth_of(300 + LUCK.mean() + 1500 * share) for share in (0.1, 0.3)]
    )
    # How much of the gain on the same orders comes true says nothing of orders won.
    assert gain.at_low_cu == pytest.approx(worth_of((500 + LUCK.mean()) * 0.5 - 200 + 300))
    assert found.cut_off_share == 0
    assert worked_out(orders_won_pct=20.0, ranges=(Range("growth_pct_per_year", 4, 6),)).cut_off_share > 0.3


def test_the_same_seed_gives_the_same_doubt() -> None:
    ranges = (Range("once_cu", 20_000, 80_000),)
    assert worked_out(ranges=ranges).with_doubt.npv_cu == worked_out(ranges=ranges).with_doubt.npv_cu


def test_gains_that_only_partly_come_true_leave_the_wages_as_they_are() -> None:
    found = worked_out(ranges=(Range("gain_pct", 50, 100),))
    (bar,) = found.tornado
    assert bar.at_low_cu == pytest.approx(worth_of((500 + LUCK.mean()) * 0.5 - 200))


def test_cloth_that_is_wasted_is_wasted_whether_or_not_sales_come_true() -> None:
    """Two heads more sell for 500 CU more a week at 0.2 CU of cloth each, and waste 150 CU of cloth besides."""

    def wasting(which: Option, number: int) -> Replication:
        extra = (which.scenario.crews[0].count - 1) / 2
        sales = 1000 + 500 * extra
        return row(number, {"on_time_share": 0.9}, money_per_week={
            "revenue": sales, "fabric": 0.15 * sales, "ink": 0.05 * sales + 150 * extra, "bought_in": 0.1 * sales,
            "late_penalties": 100 - 80 * extra, "wages": 300 + 200 * extra,
        })  # fmt: skip

    plan = PaybackPlan(10, SPENDING, ranges=(Range("gain_pct", 50, 100),))
    found = payback(Runner(GivenEngine(wasting)), option("as it stands"), option("more heads", 3), plan)
    (bar,) = found.tornado
    assert bar.at_high_cu == pytest.approx(worth_of(500 * 0.7 - 150 + 80 - 200))
    assert bar.at_low_cu == pytest.approx(worth_of(250 * 0.7 - 150 + 40 - 200))


def test_usual_doubts_surround_the_plan() -> None:
    plan = PaybackPlan(10, SPENDING, discount_pct=2.0, growth_pct_per_year=1.0)
    found = {one.name: (one.low, one.high) for one in usual_ranges(plan)}
    assert found["once_cu"] == pytest.approx((45_000, 55_000))
    assert found["resale_cu"] == pytest.approx((2500, 8750))
    assert (found["discount_pct"], found["growth_pct_per_year"]) == ((0, 5), (-2, 4))
    won = {one.name: one for one in usual_ranges(replace(plan, orders_won_pct=20.0))}["orders_won_pct"]
    assert (won.low, won.high) == (10, 25)
    assert "orders_won_pct" not in found
    assert "once_cu" not in {one.name for one in usual_ranges(PaybackPlan(10, Spending(0)))}


@pytest.mark.parametrize(("plan", "message"), [
    ({"orders_won_pct": -1}, "orders_won_pct must be at least 0, found -1"),
    ({"orders_won_weeks": -1}, "orders_won_weeks must be at least 0, found -1"),
    ({"ranges": (Range("orders_won_pct", 10, 30),)},
     "orders_won_pct must be at least 0 and its range hold the value planned, 0, found 10 to 30"),
])  # fmt: skip
def test_impossible_orders_won_are_refused(plan: dict[str, object], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        worked_out(**plan)  # type: ignore[arg-type]


def test_unknown_inputs_are_refused() -> None:
    with pytest.raises(ValueError, match="no input of the payback: prize; known: once_cu, resale_cu"):
        worked_out(ranges=(Range("prize", 1, 2),))
