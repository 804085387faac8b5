"""Comparisons with rows made by hand: when they stop, what they tell, and at which confidence."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from shopsim.errors import InputError
from shopsim.studies.comparison import Comparison, Plan, compare_options
from shopsim.studies.option import Option
from shopsim.studies.precision import replications_for
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
from tests.studies.given import GivenEngine, option, row

NOISE = np.random.default_rng(5).normal(0, 0.02, 2000)
OWN = np.random.default_rng(6).normal(0, 0.02, 2000)
# Heads 1: the base at 80 %. 2: ten points more. 3: nearly the same.
LEVEL = {1: 0.80, 2: 0.90, 3: 0.801}


def made(which: Option, number: int) -> Replication:
    heads = which.scenario.crews[0].count
    own = OWN[number] if heads > 1 else 0.0
    return row(number, {"on_time_share": LEVEL[heads] + NOISE[number] + own, "margin_per_week": 100.0 * heads})


def compared(plan: Plan, *heads: int, confidence_pct: float = 95) -> tuple[Comparison, GivenEngine]:
    engine = GivenEngine(made)
    base = option("base", confidence_pct=confidence_pct)
    found = compare_options(Runner(engine), base, [option(f"heads {n}", n) for n in heads], plan)
    return found, engine


def test_a_given_number_of_replications() -> None:
    found, engine = compared(Plan("count", 12, at_most=12), 2)
    step = found.deciding["heads 2"].interval
    values = 0.1 + OWN[:12]
    low, high = stats.t.interval(0.95, 11, values.mean(), stats.sem(values))
    assert (step.mean, step.low, step.high) == pytest.approx((values.mean(), low, high))
    assert found.runs == 12
    assert found.settled
    assert sum(len(numbers) for _, numbers in engine.jobs) == 24
    # What both share cancels out; independent runs would keep it.
    apart = np.var(NOISE[:12], ddof=1) + np.var(NOISE[:12] + OWN[:12], ddof=1)
    assert found.deciding["heads 2"].variance_reduction == pytest.approx(apart / np.var(values, ddof=1))


def test_running_until_a_precision_is_reached() -> None:
    found, _ = compared(Plan("precision", half_width=0.005), 2)
    assert found.settled
    assert found.deciding["heads 2"].interval.half_width <= 0.005
    # The first ten ask for 96, by their standard deviation of 0.0247; by that of all 96, 0.0193, 60 would do.
    assert found.runs == replications_for((0.1 + OWN[:10]).tolist(), 0.005) == 96


def test_a_precision_out_of_reach_is_not_settled() -> None:
    found, _ = compared(Plan("precision", half_width=0.0001, at_most=30), 2)
    assert (found.settled, found.runs) == (False, 30)


def test_running_until_it_is_clear_stops_at_the_first_look_for_ten_points() -> None:
    found, _ = compared(Plan("clear"), 2)
    assert (found.settled, found.runs) == (True, 10)
    # The first look spends half of the chance of error.
    assert found.confidence_pct == pytest.approx(97.5)


def test_what_cannot_be_told_apart_goes_on_to_the_end_at_ever_wider_intervals() -> None:
    found, _ = compared(Plan("clear", at_most=50), 2, 3)
    assert (found.settled, found.runs) == (False, 50)
    # Looks at 10, 15, 23, 35 and 50: the fifth spends 1/30 of the chance of error.
    assert found.confidence_pct == pytest.approx(100 - 5 / 30)


def test_what_is_the_same_in_every_run_is_clear() -> None:
    engine = GivenEngine(lambda which, number: row(number, {"on_time_share": 0.5 + number / 100}))
    found = compare_options(Runner(engine), option("base"), [option("same", 2)], Plan("clear"))
    # Not at the first look: what happens in one run of ten may have been missed.
    assert (found.settled, found.runs) == (True, 35)
    assert found.deciding["same"].variance_reduction is None


@pytest.mark.parametrize("plan", [Plan("clear", at_most=50), Plan("precision", half_width=0.0058)])
def test_looks_on_the_way_run_nothing_twice_even_where_nothing_is_kept(plan: Plan) -> None:
    found, engine = compared(plan, 2, 3)
    assert found.runs > 10
    ran = sorted((name, number) for name, numbers in engine.jobs for number in numbers)
    sizes = {"base": found.runs, **{name: len(each.rows) for name, each in found.options.items()}}
    assert ran == sorted((name, number) for name, count in sizes.items() for number in range(count))


def test_several_looks_keep_the_promised_confidence() -> None:
    """With no difference at all, a false one is told in at most 5 % of studies, however often one looks."""
    rng = np.random.default_rng(17)
    base, same, false = option("base"), option("same", 2), 0
    for _ in range(400):
        noise = rng.normal(0, 0.02, (2, 100))
        engine = GivenEngine(
            lambda which, k, noise=noise: row(k, {"on_time_share": noise[which.scenario.crews[0].count - 1, k]})
        )
        found = compare_options(Runner(engine), base, [same], Plan("clear", at_most=100))
        false += found.settled
    assert false <= stats.binom.ppf(0.99, 400, 0.05)


def test_all_measures_are_compared_at_the_level_of_the_option() -> None:
    found, _ = compared(Plan("clear"), 2, 3, confidence_pct=90)
    margins = found.differences("margin_per_week")
    assert {name: step.interval.mean for name, step in margins.items()} == {"heads 2": 100.0, "heads 3": 200.0}
    step = found.differences("on_time_share")["heads 2"].interval
    # Settled at the first look, which spends half of 10 %; two options, so each interval is one of 97.5 %.
    values = 0.1 + OWN[:10]
    assert step.half_width == pytest.approx(stats.sem(values) * stats.t.ppf(0.9875, 9))


def test_an_option_that_is_settled_gets_no_further_rounds() -> None:
    found, _ = compared(Plan("clear", at_most=50), 2, 3)
    assert {name: len(each.rows) for name, each in found.options.items()} == {"heads 2": 10, "heads 3": 50}
    assert found.levels == pytest.approx({"heads 2": 97.5, "heads 3": 100 - 5 / 30})
    # Its difference stays the one of its last look, beside as many replications of the base.
    assert found.deciding["heads 2"].interval.n == found.differences("margin_per_week")["heads 2"].interval.n == 10
    assert len(found.base_beside("heads 2").rows) == 10
    together, _ = compared(Plan("clear", at_most=50, together=True), 2, 3)
    assert {len(each.rows) for each in together.options.values()} == {50}
    assert together.levels == pytest.approx(dict.fromkeys(together.levels, 100 - 5 / 30))
    narrow, _ = compared(Plan("precision", half_width=0.0058), 2, 3)
    sizes = [len(each.rows) for each in narrow.options.values()]
    assert narrow.settled
    assert narrow.runs == max(sizes)


def test_a_precision_may_be_a_share_of_the_base() -> None:
    found, _ = compared(Plan("precision", share_of_base=0.01), 2)
    base = found.base.interval("measures", "on_time_share").mean
    assert found.settled
    assert found.deciding["heads 2"].interval.half_width <= 0.01 * base
    # 1 % of 0.8 takes fewer than the half-width of 0.005 above.
    assert 30 <= found.runs < 60
    nothing = GivenEngine(lambda which, k: row(k, {"late_orders": float(which.scenario.crews[0].count == 2)}))
    never = compare_options(
        Runner(nothing), option("base"), [option("two", 2)], Plan("precision", share_of_base=0.05, at_most=40),
        "late_orders",
    )  # fmt: skip
    # Of a base of 0 only no width at all is 5 %: the difference is 1 in every run.
    assert (never.settled, never.runs) == (True, 40)


def test_an_unknown_measure_is_refused() -> None:
    with pytest.raises(InputError) as error:
        compare_options(Runner(GivenEngine(made)), option("base"), [option("two", 2)], Plan("count"), "beauty")
    assert str(error.value) == "measure: the shop as it stands has no measure 'beauty'"


def test_a_precision_is_not_taken_from_ten_lucky_runs() -> None:
    engine = GivenEngine(
        lambda which, k: row(k, {"on_time_share": 0.9 - 0.5 * (k == 20) * which.scenario.crews[0].count})
    )
    found = compare_options(Runner(engine), option("base"), [option("two", 2)], Plan("precision", half_width=0.02))
    assert found.runs >= 30
    assert found.deciding["two"].interval.mean < 0
