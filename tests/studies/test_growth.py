"""Growth: breaks of curves made by hand, and the break of a queue known from theory, on the real engine."""

from __future__ import annotations

import math
from dataclasses import replace
from importlib.resources import files

import numpy as np
import pytest

from shopsim.shop.changes import Change, changed_values
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values, parse_scenario
from shopsim.studies.demand_scaling import DemandSize
from shopsim.studies.engine import LocalEngine
from shopsim.studies.growth import Growth, GrowthPlan, growth
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
from tests.studies.given import GivenEngine, option, row


def on_time_falls(which: Option, number: int) -> Replication:
    """95 % on time at 1.1 of today's demand for one head, 0.2 more for each further one, ± what luck does."""
    forecast = which.scenario.demand.forecast
    assert forecast is not None
    heads = which.scenario.crews[0].count
    luck = np.random.default_rng(number).normal(0, 0.01)
    share = 0.95 - 0.2 * (forecast.orders_per_week - (0.9 + 0.2 * heads)) + luck
    return row(number, {"on_time_share": share}, constraint={"sewing_room": 0.6})


def asked(count: int = 10, **plan: object) -> tuple[Growth, GivenEngine]:
    engine = GivenEngine(on_time_falls)
    return growth(Runner(engine), option("as it stands"), [option("more heads", 3)], GrowthPlan(count, **plan)), engine  # type: ignore[arg-type]


def test_breaks_of_base_and_option_with_bonferroni_intervals() -> None:
    found, _ = asked()
    luck = np.array([np.random.default_rng(k).normal(0, 0.01) for k in range(10)])
    # The curves are straight and parallel: the interval is that of the mean's luck over the slope, t(9, 0.9875).
    half_width = 2.68501 * luck.std(ddof=1) / math.sqrt(10) / 0.2
    for each, root in zip(found.all, (1.1, 1.5), strict=True):
        expected = root + luck.mean() / 0.2
        breaks_at = each.breaks_at
        assert (breaks_at.estimate, breaks_at.low, breaks_at.high) == pytest.approx(
            (expected, expected - half_width, expected + half_width), abs=1e-4
        )
        assert each.headroom_pct(1.1) == pytest.approx(10)
        assert each.held_back_by() == "sewing_room"
    assert found.settled


def test_headroom_in_m2_is_that_of_today_s_demand() -> None:
    found, _ = asked()
    each = replace(found.base, today=DemandSize(100, 2000))
    assert each.headroom_m2_per_week(1.1) == pytest.approx(200)
    assert each.headroom_m2_per_week(None) is None


def test_base_and_option_are_asked_at_the_same_demands_in_one_round() -> None:
    found, engine = asked(count=4)
    assert list(found.base.by_factor)[:1] == [0.85]
    first = {name for name, _ in engine.jobs[:6]}
    assert first <= {"as it stands", "more heads"}
    assert {0.85, 1.0, 1.15} <= set(found.base.by_factor)
    assert {0.85, 1.0, 1.15} <= set(found.options[0].by_factor)


def test_a_wanted_precision_is_reached() -> None:
    found, _ = asked(precision_pct=1.5)
    assert [each.breaks_at.half_width <= 0.015 for each in found.all if each.breaks_at.half_width] == [True, True]
    assert found.base.breaks_at.n > 10


def test_a_wanted_precision_that_is_missed_is_not_settled() -> None:
    reached, _ = asked(precision_pct=1.5)
    assert reached.settled
    missed, _ = asked(precision_pct=0.1, at_most=12)
    widths = [each.breaks_at.half_width for each in missed.all]
    assert [width is not None and width > 0.001 for width in widths] == [True, True]
    assert not missed.settled
    # Without a wanted precision the same breaks are known.
    assert replace(missed, plan=GrowthPlan(10)).settled


def test_more_runs_at_a_demand_do_not_begin_anew() -> None:
    ran: list[tuple[str, int]] = []

    def made(which: Option, number: int) -> Replication:
        ran.append((which.key, number))
        return on_time_falls(which, number)

    found = growth(Runner(GivenEngine(made)), option("as it stands"), [], GrowthPlan(4, precision_pct=1.5))
    assert max(len(runs.rows) for runs in found.base.by_factor.values()) > 4
    assert len(ran) == len(set(ran)) == sum(len(runs.rows) for runs in found.base.by_factor.values())


def test_options_of_one_name_are_refused() -> None:
    with pytest.raises(ValueError, match="options need names of their own, found a, a"):
        growth(Runner(GivenEngine(on_time_falls)), option("a"), [option("a", 2)], GrowthPlan(4))


def test_what_never_breaks_is_settled_and_what_cannot_be_told_is_not() -> None:
    def never(which: Option, number: int) -> Replication:
        return row(number, {"on_time_share": 0.99 + 0.001 * number})

    def open_end(which: Option, number: int) -> Replication:
        return row(number, {"on_time_share": 0.951 + (0.05 if number % 2 else -0.05)})

    plan = GrowthPlan(4)
    assert growth(Runner(GivenEngine(never)), option("a"), [], plan).settled
    assert not growth(Runner(GivenEngine(open_end)), option("a"), [], plan).settled


def test_a_single_server_breaks_where_theory_says() -> None:
    """M/M/1, first come: an order is done within L with probability 1 - exp(-(mu - lambda) L).

    D. Gross, J. F. Shortle, J. M. Thompson, C. M. Harris, Fundamentals of Queueing Theory, 4th ed., section 2.2.5. With
    mu = 3 an hour and L such that the share is 95 % at lambda = 2.4, today's 2 an hour may grow by 20 %.
    """
    text = (files("shopsim.published") / "systems" / "m_m_1.yaml").read_text(encoding="utf-8")
    values = scenario_values(parse_scenario(text, "m_m_1"))
    limit_h = -math.log(0.05) / (3 - 2.4)
    for path, value in (("demand.forecast.lead_days", limit_h / 24), ("study.weeks", 12)):
        values = changed_values(values, Change("set", path, value))
    server = Option("M/M/1", check_values(values, "m_m_1"))
    root = growth(Runner(LocalEngine(1)), server, [], GrowthPlan(8)).base.breaks_at
    assert root.low is not None
    assert root.high is not None
    assert root.low <= 1.2 <= root.high
    assert root.estimate == pytest.approx(1.2, abs=0.05)
    assert root.high - root.low < 0.12
