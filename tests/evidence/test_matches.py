"""What the long run of `matches` says, and a short one: true models pass, sewing 20 % slower does not."""

from __future__ import annotations

import numpy as np
import pytest

from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.studies.match_record import PeriodPlan, read_record
from shopsim.studies.replication import one_replication
from tests.evidence.matches import CONFIDENCE_PCT, PERIODS, WRONG, accepted, kept, luck_of_share
from tests.evidence.matching_shop import happened, model_of


@pytest.mark.parametrize("weeks", PERIODS)
@pytest.mark.parametrize("more", ["", " + log"])
def test_the_true_model_is_accepted_as_often_as_said(weeks: int, more: str) -> None:
    hits, n = kept(weeks, f"true{more}")
    assert n >= 80
    low, high = luck_of_share(CONFIDENCE_PCT / 100, n)
    assert low <= hits <= high


def test_wrong_models_are_rejected_with_the_power_that_is_told() -> None:
    power = {(weeks, name): 1 - kept(weeks, name)[0] / kept(weeks, name)[1] for weeks in PERIODS for name in WRONG}
    # More weeks tell more; what is told in DEVELOPERS.md.
    for name in WRONG:
        assert power[4, name] < power[16, name]
    assert power[16, "sewing 20 % slower"] > 0.85
    assert power[16, "no breakdowns"] > 0.85
    assert power[16, "wrong shift"] > 0.5
    hits, n = kept(8, "sewing 20 % slower + log")
    assert 1 - hits / n > 0.9


def test_the_record_is_one_of_the_runs() -> None:
    # The recorded orders under the true shop's own seed leave when they did: record and runs are draws of one law.
    record = read_record(model_of(7, "true"), happened(7, 6).orders, [], [], PeriodPlan(2))
    values = scenario_values(record.scenario)
    values["study"]["seed"] = 7
    run = one_replication(check_values(values, "true"), record.lines, 0, in_detail=True)
    # Seconds are as fine as an order list gets.
    np.testing.assert_allclose(run.out_min, record.outcome.out_min, atol=1 / 60)


def test_a_short_run_of_the_same() -> None:
    found = {(seed, model): accepted(seed, 4, model) for seed in (503, 504) for model in ("true", "sewing 20 % slower")}
    assert all(found[seed, "true"] == (True, True) for seed in (503, 504))
    # Four weeks and the log tell slower sewing in about six records of ten: of these two, of the first.
    assert not found[503, "sewing 20 % slower"][1]
