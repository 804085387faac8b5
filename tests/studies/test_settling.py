"""The warm-up of a shop, from rows made by hand: how long orders pile up before their number stays."""

from __future__ import annotations

import numpy as np
import pytest

from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
from shopsim.studies.settling import settling
from tests.studies.given import GivenEngine, option, row


def in_shop(level: np.ndarray) -> GivenEngine:
    noise = np.random.default_rng(3).normal(0, 0.5, (20, len(level)))

    def made(which: Option, number: int) -> Replication:
        study = which.scenario.study
        assert (study.opening, which.scenario.warm_up_min) == ("empty", 0.0)
        assert study.weeks * 7 == len(level)
        return row(number, {}, in_shop_by_day=tuple((level + noise[number]).tolist()))

    return GivenEngine(made)


def test_a_shop_that_fills_for_three_weeks() -> None:
    level = np.minimum(np.arange(140) / 21, 1) * 30
    found = settling(Runner(in_shop(level)), option("base", weeks=18, warm_up_weeks=2), 20)
    assert found.weeks == 3
    assert len(found.by_day) == 140
    # Welch's curve: the mean of 21 days around day 60, where the level is 30.
    assert found.smoothed[60] == pytest.approx(np.mean(found.by_day[50:71]))
    assert found.smoothed[60] == pytest.approx(30, abs=3 * 0.5 / np.sqrt(20 * 21))


def test_a_shop_that_never_settles() -> None:
    found = settling(Runner(in_shop(np.arange(56.0))), option("base", weeks=4, warm_up_weeks=0), 5)
    # Four weeks are too few for the rule: eight are simulated.
    assert (found.weeks, len(found.by_day)) == (None, 56)
