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
from shopsim.studies.payback import SAMPLES, Payback, PaybackPlan, payback, usual_ranges
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
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
    return row(number, {}, money_per_week=money)


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
    assert max(found.curves.factors) == pytest.approx(1.4641)
    weekly = [500 * 1.1**year - 200 + LUCK[0] for year in range(5)]
    expected = [-50_000, *(gain * WEEKS - 1000 for gain in weekly)]
    expected[-1] += 5000
    assert found.runs.flows_cu[0] == pytest.approx(expected)
    assert found.cut_off_share == 0


def test_beyond_three_times_todays_demand_the_gain_stays_as_there() -> None:
    found = worked_out(growth_pct_per_year=50.0)
    assert max(found.curves.factors) == 3.0
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
    # Without ranges each sample is a run.
    alone = worked_out()
    assert alone.with_doubt.npv_cu[:10] == pytest.approx(alone.runs.npv_cu)


def test_the_same_seed_gives_the_same_doubt() -> None:
    ranges = (Range("once_cu", 20_000, 80_000),)
    assert worked_out(ranges=ranges).with_doubt.npv_cu == worked_out(ranges=ranges).with_doubt.npv_cu


def test_gains_that_only_partly_come_true_leave_the_wages_as_they_are() -> None:
    found = worked_out(ranges=(Range("gain_pct", 50, 100),))
    (bar,) = found.tornado
    assert bar.at_low_cu == pytest.approx(worth_of((500 + LUCK.mean()) * 0.5 - 200))


def test_usual_doubts_surround_the_plan() -> None:
    plan = PaybackPlan(10, SPENDING, discount_pct=2.0, growth_pct_per_year=1.0)
    found = {one.name: (one.low, one.high) for one in usual_ranges(plan)}
    assert found["once_cu"] == pytest.approx((45_000, 55_000))
    assert found["resale_cu"] == pytest.approx((2500, 8750))
    assert (found["discount_pct"], found["growth_pct_per_year"]) == ((0, 5), (-2, 4))
    assert "once_cu" not in {one.name for one in usual_ranges(PaybackPlan(10, Spending(0)))}


def test_unknown_inputs_are_refused() -> None:
    with pytest.raises(ValueError, match="no input of the payback: prize; known: once_cu, resale_cu"):
        worked_out(ranges=(Range("prize", 1, 2),))
