"""Chances, dates and ways from futures: by hand where numbers are made up, pair by pair where a shop is run."""

from __future__ import annotations

import datetime
import math
from collections.abc import Sequence
from pathlib import Path

import pytest

from shopsim.clock import MINUTES_PER_DAY
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.today_file import load_today
from shopsim.shop.today_model import OpenLine, OpenOrder, Today
from shopsim.shop.today_start import Start
from shopsim.studies.engine import LocalEngine
from shopsim.studies.futures import Future, MorningOption, morning_option
from shopsim.studies.promise import PromisePlan, promise
from shopsim.studies.promise_outlook import date_at, futures_needed
from shopsim.studies.promise_ways import agreed_overtime, regular_wages, ways_of
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Ask, Runner
from shopsim.studies.shares import chance_of_no_change, share_of, shifted
from shopsim.studies.store import Store

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"


def test_the_exact_interval_of_a_share() -> None:
    # All of 20: the lower end is 0.025 to the power of 1/20; none: one less the same. 8 of 10 as tabled, e.g. by
    # L. D. Brown, T. T. Cai, A. DasGupta, Statistical Science 16 (2001) 101-133 (from memory): 0.4439 to 0.9748.
    assert (share_of(20, 20).low, share_of(20, 20).high) == (pytest.approx(0.025 ** (1 / 20)), 1.0)
    assert (share_of(0, 20).low, share_of(0, 20).high) == (0.0, pytest.approx(1 - 0.025 ** (1 / 20)))
    found = share_of(8, 10)
    assert (found.mean, round(found.low, 4), round(found.high, 4)) == (0.8, 0.4439, 0.9748)
    assert math.isnan(share_of(0, 0).mean)
    with pytest.raises(ValueError, match="hits must be from 0 to 3, found 4"):
        share_of(4, 3)


def test_pairs_that_differ() -> None:
    # Of 5 pairs that differ all went one way: 1 in 32 by luck; 4 of 5: 6 in 32.
    assert shifted([True, False, False], [False, True, True]) == (2, 1)
    assert chance_of_no_change(5, 0) == pytest.approx(1 / 32)
    assert chance_of_no_change(4, 1) == pytest.approx(6 / 32)
    assert chance_of_no_change(0, 3) == 1.0


def test_dates_at_a_chance_are_order_statistics() -> None:
    # Of 19 futures the 16th keeps 16/20 = 80 %, the 19th 95 %; 18 are too few for 95 %.
    outs = [float(day) for day in range(1, 20)]
    assert (date_at(outs, 50, 95).at, date_at(outs, 80, 95).at, date_at(outs, 95, 95).at) == (10.0, 16.0, 19.0)
    assert date_at(outs[:18], 95, 95).at is None
    late = [*outs[:16], math.inf, math.inf, math.inf]
    assert (date_at(late, 80, 95).at, date_at(late, 95, 95).at) == (16.0, None)
    # Between the ranks of Conover for the median of 19: 5 and 15.
    assert (date_at(outs, 50, 95).low, date_at(outs, 50, 95).high) == (5.0, 15.0)


@pytest.fixture(scope="module")
def frames() -> Shop:
    return load_shop(DEMOS / "frame_fabric_shop.yaml")


@pytest.fixture(scope="module")
def morning(frames: Shop) -> Today:
    """A dozen of the demo's open orders."""
    today, _ = load_today(DEMOS / "mornings" / "frame_fabric_2026_09_22.yaml", frames.scenario)
    return today.model_copy(update={"orders": today.orders[6:18]})


@pytest.fixture(scope="module")
def request_(morning: Today) -> OpenOrder:
    line = OpenLine(product="front_frame", pieces=9, width_m=3.0, height_m=2.5)
    return OpenOrder(order="request", received=morning.now, due=datetime.date(2026, 9, 25), lines=(line,))


def test_a_request_moves_nobody_elses_luck(frames: Shop, morning: Today, request_: OpenOrder) -> None:
    # Where the request is planned for last it gets what is left: the others leave as without it.
    plain = Start(morning)
    last = request_.model_copy(update={"due": datetime.date(2026, 12, 23), "priority": 9})
    options = [
        morning_option("x", frames.scenario, (), plain),
        morning_option("x", frames.scenario, (), Start(morning, (last,))),
    ]
    without, with_it = (option.replication(0) for option in options)
    outs = [[Future(row).out_min(order) for order in range(12)] for row in (without, with_it)]
    assert sum(one == other for one, other in zip(*outs, strict=True)) >= 11
    assert Future(with_it).out_min(12) > max(outs[1]) - 3 * MINUTES_PER_DAY
    assert options[0].key != options[1].key


def test_promises_are_kept_in_the_store_and_equal_on_any_engine(
    frames: Shop, morning: Today, request_: OpenOrder, tmp_path: Path
) -> None:  # fmt: skip
    plan = PromisePlan(2)
    with Store(tmp_path / "kept.sqlite") as store:
        first = promise(Runner(LocalEngine(1), store), frames, morning, request_, plan)
        counted: list[int] = []
        runner = Runner(LocalEngine(1), store, lambda progress: counted.append(progress.finished))
        again = promise(runner, frames, morning, request_, plan)
    assert counted == [2 * (1 + len(first.ways))]
    assert [[f.row for f in way.outlook.futures] for way in again.ways] == [
        [f.row for f in way.outlook.futures] for way in first.ways
    ]
    option = first.base.option
    assert isinstance(option, MorningOption)
    (rows,) = Runner(LocalEngine(2)).run([Ask(option, 2)])
    assert list(rows) == [future.row for future in first.base.futures]


class MadeUp:
    """A runner whose futures are made up: the request leaves on day 2 as asked, by any other way `gains` times on day
    1; all else is a future of a shop without orders."""

    def __init__(self, gains: int) -> None:
        self.gains = gains
        self.asked: list[tuple[str, int]] = []

    def run(self, asks: Sequence[Ask]) -> list[list[Replication]]:
        self.asked += [(ask.option.name, ask.count) for ask in asks]
        now = asks[0].option.start.now_min(asks[0].option.scenario)  # type: ignore[attr-defined]
        return [[self.future(number, ask, now) for number in ask.numbers] for ask in asks]

    def future(self, number: int, ask: Ask, now: float) -> Replication:
        early = ask.option.name not in ("this morning", "as asked") and number < self.gains
        out = now + (1 if early else 2) * MINUTES_PER_DAY
        return Replication(number, {"out 0": out}, {}, {}, {}, {}, {}, {})


@pytest.mark.parametrize(("further", "sure"), [(1, True), (2, False)])
def test_earlier_is_sure_of_all_ways_at_once(
    frames: Shop, morning: Today, request_: OpenOrder, further: int, sure: bool
) -> None:  # fmt: skip
    # Rush, overtime and further ways. Six pairs of seven differ, all one way: 1 in 64 by luck, less than 5 % / 3 and
    # more than 5 % / 4.
    empty = morning.model_copy(update={"orders": ()})
    ways = [(f"way {number}", frames) for number in range(further)]
    found = promise(MadeUp(6), frames, empty, request_, PromisePlan(7, 50.0), ways)  # type: ignore[arg-type]
    assert [way.earlier for way in found.ways] == [False, *[sure] * (2 + further)]


@pytest.mark.parametrize(
    ("gains", "full", "best"),
    [(21, ["rush order"], "rush order"), (11, ["rush order", "overtime"], None), (1, [], None)],
)
def test_ways_are_looked_at_before_they_are_run_in_full(
    frames: Shop, morning: Today, request_: OpenOrder, gains: int, full: list[str], best: str | None
) -> None:  # fmt: skip
    # 20 of 20 and then 21 of 40 futures are earlier: the first way does it. 11 of 20 seem to be, 11 of 40 leave the
    # date at 50 % where it is: the next one is tried. 1 of 20 is no earlier date.
    runner = MadeUp(gains)
    empty = morning.model_copy(update={"orders": ()})
    found = promise(runner, frames, empty, request_, PromisePlan(40, 50.0))  # type: ignore[arg-type]
    looked = [("this morning", 40), ("as asked", 40), ("rush order", 20), ("overtime", 20)]
    assert runner.asked == [*looked, *((name, 40) for name in full)]
    assert {way.way.name: way.futures for way in found.ways} == dict(looked[1:]) | dict.fromkeys(full, 40)
    way = found.best()
    assert (None if way is None else way.way.name) == best


@pytest.mark.parametrize(("chance_pct", "needed"), [(50.0, 1), (80.0, 4), (95.0, 19), (99.0, 99)])
def test_futures_needed_for_a_date(chance_pct: float, needed: int) -> None:
    assert futures_needed(chance_pct) == needed
    assert date_at([1.0] * needed, chance_pct, 95).at == 1.0
    assert date_at([1.0] * (needed - 1), chance_pct, 95).at is None


def test_ways_are_those_the_house_allows(frames: Shop, morning: Today, request_: OpenOrder) -> None:
    plain = Start(morning)
    now = plain.now_min(frames.scenario)
    until = now + 7 * MINUTES_PER_DAY
    ways = ways_of(frames, plain, request_, until)
    assert [way.kind for way in ways] == ["as asked", "rush", "overtime"]
    # Monday to Thursday, 60 minutes: Tuesday 22nd to the Tuesday after.
    assert [str(each.on) for each in agreed_overtime(frames.scenario, plain, until)] == [
        "2026-09-22", "2026-09-23", "2026-09-24", "2026-09-28", "2026-09-29",
    ]  # fmt: skip
    assert ways[2].words == "overtime of sewers, 60 min a day until 29 September"
    assert [way.kind for way in ways_of(frames, plain, request_.model_copy(update={"rush": True}), until)] == [
        "as asked", "overtime",
    ]  # fmt: skip


def test_regular_wages_by_hand(frames: Shop) -> None:
    # Twelve people, 7 h 45 min a day; the wages an hour add up to 35+39+32+32+29+31+2*28+26+29+2*24 = 357.
    day = frames.scenario.shop.starts.toordinal()
    monday = (datetime.date(2026, 9, 14).toordinal() - day) * MINUTES_PER_DAY
    assert regular_wages(frames.scenario, monday, monday + MINUTES_PER_DAY) == pytest.approx(357 * 7.75)


def test_what_an_order_waits_for(frames: Shop, morning: Today) -> None:
    found = promise(Runner(LocalEngine(1)), frames, morning, None, PromisePlan(3, 99.0))
    waits = [found.base.waits_for(order) for order in range(12)]
    assert {reason for reason, _, _ in filter(None, waits)} <= {
        "approval", "artwork_check", "gang_wait", "printer_wait", "people_wait", "seat_wait",
    }  # fmt: skip
    for order, told in enumerate(waits):
        if told is not None:
            # Hours of one reason cannot be longer than the order is still in the shop.
            longest = max(out for out in found.base.outs(order) if math.isfinite(out))
            assert 0 < told[2] <= (longest - found.now_min) / 60
    assert found.at_risk() == sorted(found.at_risk(), key=lambda order: (found.base.chance(order).mean,
                                                                        found.base.due_min(order)))  # fmt: skip
