"""Crews at the edge of the tolerance: the results kept here, and hundreds of studies of the same shops in numbers."""

from __future__ import annotations

from collections.abc import Callable
from statistics import fmean, stdev

import numpy as np
import pytest

from shopsim.studies import feasibility
from shopsim.studies.engine import LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from tests.evidence import crews
from tests.evidence.crew_shops import CASES, LEVELS, ROLES, EdgeCase, shares_in_numbers
from tests.evidence.slices import at_least, rate_between, rate_text, read
from tests.studies.given import GivenEngine, row

STUDIES = 100
_HOURS_A_WEEK = 168


def engine_of(case: EdgeCase, seed: int) -> GivenEngine:
    """Hands out what the shop in numbers gives, paid as the scenario says."""
    shares = shares_in_numbers(case, case.plan.at_most, seed)

    def made(which: Option, number: int) -> Replication:
        staff = [which.scenario.by_id("crews")[role] for role in ROLES[: case.roles]]
        wages = sum(crew.count * crew.wage_per_h for crew in staff) * _HOURS_A_WEEK
        share = float(shares[tuple(crew.count for crew in staff)][number])
        return row(number, {"on_time_share": share}, money_per_week={"wages": wages})

    return GivenEngine(made)


def found_in_numbers(shop: str, engines: list[GivenEngine]) -> int:
    """How many studies name the right crew."""
    return sum(crews.is_right(shop, crews.study(shop, 0, engine)[2]) for engine in engines)


@pytest.mark.parametrize("shop", list(CASES))
def test_the_right_crew_is_named_as_often_as_promised_and_a_bolder_procedure_is_found_out(
    shop: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    engines = [engine_of(CASES[shop], seed) for seed in range(STUDIES)]
    assert found_in_numbers(shop, engines) >= at_least(crews.PROMISED, STUDIES)
    reach: Callable[..., float] = feasibility._reach
    monkeypatch.setattr(feasibility, "_reach", lambda *given: reach(*given) / 10)
    assert found_in_numbers(shop, engines) < at_least(crews.PROMISED, STUDIES)


@pytest.mark.parametrize("shop", ["just enough", "two roles"])
def test_the_shop_in_numbers_is_the_shop_of_the_engine(shop: str) -> None:
    case = CASES[shop]
    option = case.option(seed=5)
    shares = [option.replication(number).measures["on_time_share"] for number in range(60)]
    level = LEVELS[case.within_h][(3,) * case.roles]
    assert abs(fmean(shares) - level) < 3.5 * stdev(shares) / len(shares) ** 0.5
    # The levels kept are those of the shop in numbers: 40 times as many replications made them.
    for heads, found in shares_in_numbers(case, 10_000, seed=991).items():
        assert abs(fmean(found) - LEVELS[case.within_h][heads]) < 3.5 * np.std(found) / 100


@pytest.mark.parametrize("shop", list(CASES))
def test_the_results_kept_here_keep_what_is_promised(shop: str) -> None:
    hits, n = crews.right(shop)
    assert n == 400
    assert len({row["study"] for row in read(crews.RESULTS) if row["shop"] == shop}) == n
    assert hits >= at_least(crews.PROMISED, n)
    assert f"{shop}: {hits} of {n} studies name the right crew; " in crews.summary()
    # Conservative: at least as often as promised, and of two roles surely more often.
    low, high = rate_between(hits, n)
    assert high >= crews.PROMISED
    assert shop != "two roles" or low > crews.PROMISED
    assert rate_text(hits, n, crews.PROMISED) in crews.summary()


def test_a_study_made_again_is_the_one_kept_here() -> None:
    shop = "just too few"
    found = dict(zip(crews.HEADING, map(str, crews.study(shop, 0, LocalEngine(1))), strict=True))
    assert found == next(row for row in read(crews.RESULTS) if row["shop"] == shop)
