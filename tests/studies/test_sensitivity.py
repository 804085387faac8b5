"""Sensitivity: bars, doubt, effects and shares of answers made by hand."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import replace
from statistics import fmean

import numpy as np
import pytest

from shopsim.errors import InputError
from shopsim.shop.ranges_file import InputRange, Unsure, check_ranges
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
from shopsim.studies.sensitivity import DOUBT_POINTS, Sensitivity, SensitivityPlan, sensitivity
from tests.studies.given import GivenEngine, option, row

EFFICIENCY, HEADS, FAULTS, SEEN = (
    "crews.new_sewers.efficiency_pct",
    "crews.new_sewers.count",
    "policies.quality.print_fault_pct",
    "policies.quality.seen_at_printer_pct",
)
LUCK = np.random.default_rng(8).normal(0, 0.01, 400)
BASE = option("as it stands", 2)


def values_of(which: Option) -> tuple[float, float, float]:
    """Efficiency, heads and faults of a shop; 100, 2 and 4.7 as it stands."""
    crew = which.scenario.crews[0]
    return crew.efficiency_pct, crew.count, which.scenario.policies.quality.print_fault_pct


def straight(efficiency: float, heads: float, faults: float) -> float:
    return 0.8 + 0.01 * (efficiency - 100) + 0.05 * (heads - 2)


def engine(answer: Callable[[float, float, float], float] = straight, own: float = 0.0) -> GivenEngine:
    def made(which: Option, number: int) -> Replication:
        values = values_of(which)
        mine = np.random.default_rng([number, *(int(1000 * value) for value in values)]).normal(0, own) if own else 0.0
        return row(number, {"on_time_share": answer(*values) + LUCK[number] + mine, "late_orders": 3.0})

    return GivenEngine(made)


def unsure(*ranges: tuple[str, float, float], shape: str = "uniform") -> tuple[Unsure, ...]:
    return check_ranges(
        [InputRange(path=path, low=low, high=high, shape=shape) for path, low, high in ranges],  # type: ignore[arg-type]
        BASE.scenario, "test",
    )  # fmt: skip


TWO = unsure((EFFICIENCY, 90, 105), (HEADS, 1, 4))


def asked(
    ranges: tuple[Unsure, ...] = TWO, made: GivenEngine | None = None, **plan: object
) -> tuple[Sensitivity, GivenEngine]:
    made = made or engine()
    return sensitivity(Runner(made), BASE, ranges, SensitivityPlan(**plan)), made  # type: ignore[arg-type]


def test_bars_are_paired_with_today() -> None:
    found, made = asked()
    assert sum(len(numbers) for _, numbers in made.jobs) == 5 * 6 == found.plan.runs(2)
    efficiency, heads = found.bars
    # The luck of a replication is the same at all points, so nothing of it is left in the differences.
    assert (efficiency.at_low.mean, efficiency.at_high.mean) == pytest.approx((-0.1, 0.05))
    assert (heads.at_low.mean, heads.at_high.mean) == pytest.approx((-0.05, 0.1))
    assert efficiency.swing.half_width == pytest.approx(0, abs=1e-12)
    assert found.without_doubt.mean == pytest.approx(0.8 + LUCK[:6].mean())
    assert found.settled


def test_doubt_adds_the_variance_of_the_ranges() -> None:
    found, _ = asked(unsure((EFFICIENCY, 90, 105)))
    # Uniform from 90 to 105: mean 97.5, variance 15^2 / 12, times 0.01 a per cent.
    deviation = 0.01 * 15 / math.sqrt(12)
    luck = 2.570582 * LUCK[:6].std(ddof=1) / math.sqrt(6)
    assert found.with_doubt.mean == pytest.approx(found.without_doubt.mean - 0.025, abs=1e-6)
    assert found.without_doubt.half_width == pytest.approx(luck)
    assert found.with_doubt.half_width == pytest.approx(math.hypot(luck, 1.959964 * deviation), rel=1e-5)


def test_triangles_doubt_less_than_uniforms() -> None:
    flat, peaked = (asked(unsure((EFFICIENCY, 90, 110), shape=shape))[0] for shape in ("uniform", "triangular"))
    luck = flat.without_doubt.half_width
    assert luck is not None
    for found, variance in ((flat, 20**2 / 12), (peaked, 20**2 / 24)):
        expected = math.hypot(luck, 1.959964 * 0.01 * math.sqrt(variance))
        assert found.with_doubt.half_width == pytest.approx(expected, rel=1e-4)


def test_luck_that_looks_like_an_effect_is_taken_off_the_doubt() -> None:
    """An input that does nothing but make other luck: half of the studies find no doubt in it at all."""

    def widened(seed: int) -> float:
        rng = np.random.default_rng(seed)

        def made(which: Option, number: int) -> Replication:
            return row(number, {"on_time_share": float(rng.normal(0.8, 0.02))})

        found, _ = asked(unsure((EFFICIENCY, 90, 110)), GivenEngine(made))
        assert found.with_doubt.half_width is not None
        assert found.without_doubt.half_width is not None
        return found.with_doubt.half_width / found.without_doubt.half_width

    # With the luck left in it would be 1.07.
    assert np.median([widened(seed) for seed in range(200)]) == pytest.approx(1.0, abs=0.02)


def test_an_input_whose_value_now_lies_outside_its_range() -> None:
    found, _ = asked(unsure((EFFICIENCY, 110, 120)))
    assert found.with_doubt.mean == pytest.approx(found.without_doubt.mean + 0.15, abs=1e-6)


def test_whole_inputs_stay_whole() -> None:
    heads = []

    def made(which: Option, number: int) -> Replication:
        heads.append(which.scenario.crews[0].count)
        return row(number, {"on_time_share": 0.8})

    asked(unsure((HEADS, 1, 4), (EFFICIENCY, 90, 105)), GivenEngine(made), method="sobol", base_samples=32)
    assert set(heads) == {1, 2, 3, 4}


def test_ranking_and_what_cannot_be_told() -> None:
    ranges = unsure((FAULTS, 2, 7), (EFFICIENCY, 98, 102), (HEADS, 1, 4))
    found, _ = asked(ranges, engine(own=0.001))
    assert found.ranking() == [2, 1, 0]
    assert [found.matters(i) for i in range(3)] == [False, True, True]
    assert found.rivals() == []
    close, _ = asked(unsure((EFFICIENCY, 93, 107), (HEADS, 1, 4)), engine(own=0.02))
    assert close.rivals() == [close.ranking()[1]]
    nothing, _ = asked(unsure((FAULTS, 2, 7)), engine(own=0.01))
    assert not nothing.settled


def test_elementary_effects_are_changes_over_the_whole_range() -> None:
    ranges = unsure((EFFICIENCY, 90, 105), (FAULTS, 2, 7))
    found, made = asked(ranges, method="morris", count=3, trajectories=5)
    assert [one.mean for one in found.screened] == pytest.approx([0.15, 0])
    assert found.screened[0].deviation == pytest.approx(0, abs=1e-12)
    assert found.plan.points(2) == 16 + DOUBT_POINTS
    assert sum(len(numbers) for _, numbers in made.jobs) == 10 + (15 + DOUBT_POINTS) * 3 == found.plan.runs(2)
    assert [found.matters(i) for i in range(2)] == [True, False]
    assert found.screened[0].luck == pytest.approx(0, abs=1e-12)


def test_each_trajectory_and_each_base_sample_meets_luck_of_its_own() -> None:
    for method, blocks in (("morris", 5 + DOUBT_POINTS), ("sobol", 8)):
        _, made = asked(TWO, method=method, count=2, trajectories=5, base_samples=8)
        numbers = sorted({k for name, each in made.jobs for k in each if name == "at a point"})
        assert numbers == list(range(2 * blocks))


def test_inputs_that_do_no_more_than_luck_are_not_ranked() -> None:
    ranges = unsure((FAULTS, 2, 7), (EFFICIENCY, 90, 105), (HEADS, 1, 4))
    for method in ("morris", "sobol"):
        found, _ = asked(ranges, engine(own=0.02), method=method, count=2)
        assert [found.matters(i) for i in range(3)] == [False, True, True]
        assert found.ranking()[2] == 0
        assert 0 not in found.rivals()
        one, _ = asked(ranges, engine(own=0.02), method=method, count=1)
        assert not one.settled
        assert one.ranking() == [0, 1, 2]


def test_luck_is_taken_off_the_spread_of_points() -> None:
    """Uniform from 90 to 105 at 0.01 a per cent: the middle 95 % are 0.1425 wide, whatever luck the points have."""
    ranges, own = unsure((EFFICIENCY, 90, 105)), 0.06
    found, _ = asked(ranges, engine(own=own), method="sobol", count=2, base_samples=128)
    luck = found.without_doubt.half_width
    assert luck is not None
    # With the luck left in, 0.06 / sqrt(2) and 0.01 / sqrt(2) beside a deviation of 0.0433, it would be 0.09 above.
    assert found.with_doubt.half_width == pytest.approx(math.hypot(0.1425 / 2, luck), abs=0.012)


# The middle 95 % of one input over its range, and of the sum of three that do as much as one another, over the range of
# the sum: a uniform lacks 2.5 % at each end, a triangle sqrt(0.025 / 2); for three uniforms the ends follow from the
# tail s^3 / 6 of their sum, three triangles are drawn.
MIDDLE = {
    ("uniform", 1): 0.95,
    ("uniform", 3): 1 - 2 * (6 * 0.025) ** (1 / 3) / 3,
    ("triangular", 1): 1 - 2 * math.sqrt(0.025 / 2),
    ("triangular", 3): float(
        np.ptp(np.quantile(np.random.default_rng(1).triangular(0, 0.5, 1, (200_000, 3)).sum(axis=1), [0.025, 0.975]))
    ) / 3,
}  # fmt: skip


@pytest.mark.parametrize(("shape", "inputs"), list(MIDDLE))
@pytest.mark.parametrize("method", ["morris", "sobol"])
def test_the_interval_with_doubt_is_as_wide_as_the_ranges_make_it(method: str, shape: str, inputs: int) -> None:
    ranges = unsure((EFFICIENCY, 90, 110), (FAULTS, 2, 7), (SEEN, 30, 40), shape=shape)[:inputs]

    def made(which: Option, number: int) -> Replication:
        efficiency, _, faults = values_of(which)
        seen = which.scenario.policies.quality.seen_at_printer_pct
        used = [(efficiency - 90) / 20, (faults - 2) / 5, (seen - 30) / 10][:inputs]
        return row(number, {"on_time_share": sum(used)})

    def width(seed: int) -> float:
        study = BASE.scenario.study.model_copy(update={"seed": seed})
        base = replace(BASE, scenario=BASE.scenario.model_copy(update={"study": study}))
        plan = SensitivityPlan(method, count=1, trajectories=4, base_samples=32)  # type: ignore[arg-type]
        found = sensitivity(Runner(GivenEngine(made)), base, ranges, plan).with_doubt
        assert found.high is not None
        assert found.low is not None
        return (found.high - found.low) / inputs

    widths = [width(seed) for seed in range(8)]
    # 40 points tell a width to some 12 %, eight studies its mean to 4 %; trajectories alone made it up to 62 % wider.
    assert fmean(widths) == pytest.approx(MIDDLE[shape, inputs], rel=0.1)


def test_shares_of_the_variance() -> None:
    ranges = unsure((EFFICIENCY, 85, 115), (FAULTS, 2, 7))
    found, made = asked(ranges, engine(lambda e, h, f: 0.01 * e + 0.08 * f), method="sobol", count=2, base_samples=128)
    # Variances 30^2 and (8 x 5)^2, over 12 and by 1e-4.
    assert [one.total.estimate for one in found.shares] == pytest.approx([0.36, 0.64], abs=0.03)
    assert found.ranking() == [1, 0]
    assert found.rivals() == []
    assert sum(len(numbers) for _, numbers in made.jobs) == 10 + 4 * 128 * 2 == found.plan.runs(2)
    # The middle 95 % of the sum of the two, by its trapezium: half the range of 0.7 less what 2.5 % leave of a corner.
    corner = math.sqrt(2 * 0.025 * 0.3 * 0.4)
    assert found.with_doubt.low == pytest.approx(1.01 + corner, abs=0.02)
    assert found.with_doubt.high == pytest.approx(1.71 - corner, abs=0.02)


def test_answers_all_alike_have_no_shares() -> None:
    found, _ = asked(method="sobol", count=2, base_samples=8, measure="late_orders")
    assert (found.shares, found.no_shares) == ((), "alike")
    assert not found.settled


def test_scatter_that_is_all_luck_has_no_shares_and_says_so() -> None:
    ranges = unsure((EFFICIENCY, 99, 101))
    found, _ = asked(ranges, engine(lambda e, h, f: 0.0, own=0.2), method="sobol", count=2, base_samples=8)
    assert (found.shares, found.no_shares) == ((), "luck")
    told, _ = asked(unsure((EFFICIENCY, 85, 115)), engine(own=0.001), method="sobol", count=2, base_samples=8)
    assert (len(told.shares), told.no_shares) == (1, None)


def test_a_measure_nobody_has_and_no_range() -> None:
    with pytest.raises(InputError) as error:
        asked(measure="wait_mean_h.nowhere")
    assert str(error.value) == "measure: there is no measure 'wait_mean_h.nowhere'"
    with pytest.raises(ValueError, match="there must be at least one range"):
        asked(())


def test_how_many_runs_it_takes() -> None:
    assert [SensitivityPlan(method, count=2).runs(8) for method in ("bars", "morris", "sobol")] == [34, 270, 1290]  # type: ignore[arg-type]
