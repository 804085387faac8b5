"""The results kept here keep what studies promise; each script makes them again, slice by slice."""

from __future__ import annotations

import re
from dataclasses import replace
from statistics import median, stdev

import pytest
from scipy import stats

from shopsim.studies.option import Option
from tests.evidence import common_random_numbers, comparisons, kills, promises, sweep
from tests.evidence.slices import at_least, done_within, rate_between, rate_text, read


def test_erlang_c_by_hand() -> None:
    # One server, 2 an hour of 3: the time in the shop is exponential of 1 an hour (W. J. Stewart, Probability, Markov
    # Chains, Queues, and Simulation, Princeton, 2009, section 11.2; from memory).
    assert round(done_within(1, 2.0, 1.0), 6) == 0.632121
    # 400 chances of 95 %: the first percentile is 369, by the normal with a half 380 - 2.326 x 4.359 - 0.5.
    assert at_least(0.95, 400) == 369


def test_rates_by_hand() -> None:
    # None wrong of 100: the lower end is the 100th root of half a per cent.
    assert rate_between(100, 100) == pytest.approx((0.005**0.01, 1.0))
    assert rate_text(393, 400, 0.95) == "99 % range of the rate 95.8% to 99.5%: more than the 95% promised"
    assert rate_text(380, 400, 0.95).endswith(": which may be the 95% promised")
    assert rate_text(350, 400, 0.95).endswith(": less than the 95% promised")


@pytest.mark.parametrize("stop", list(comparisons.CASES))
def test_a_known_difference_lies_in_the_intervals_as_often_as_told(stop: str) -> None:
    rows = read(comparisons.CASES[stop].results)
    hits, n = comparisons.held(stop)
    assert len({row["study"] for row in rows}) == n >= 400
    assert hits >= at_least(0.95, n)
    assert sum(comparisons.missed(stop)) == n - hits
    low, high = rate_between(hits, n)
    assert low <= 0.95 <= high
    mean, error = comparisons.mean_over_runs(stop)
    assert abs(mean - comparisons.CASES[stop].known) < 3 * error
    assert comparisons.summary(stop).startswith(f"{hits} of {n} intervals hold the true difference of ")


def test_known_differences_by_hand() -> None:
    # One order an hour and a window of a week are 168 orders; 3 and 4 servers lie apart by a share of them.
    case = replace(comparisons.CASES["clear"], orders_per_h=1.0, within_h=0.5, weeks=1.0)
    apart = done_within(4, 1.0, 0.5) - done_within(3, 1.0, 0.5)
    assert case.known == pytest.approx(-168 * apart)
    assert replace(case, measure="on_time_share").known == pytest.approx(apart)


@pytest.mark.parametrize("stop", ["precision", "clear"])
def test_studies_that_stop_by_themselves_are_studies_that_looked_again(stop: str) -> None:
    case = comparisons.CASES[stop]
    runs = [int(row["replications"]) for row in read(case.results)]
    # More than the first look, and than the floor of a wanted precision, shows what stopping does to an interval.
    assert sum(n > case.beyond for n in runs) > 0.8 * len(runs)
    if stop == "precision":
        halves = [(float(row["high"]) - float(row["low"])) / 2 for row in read(case.results)]
        assert max(halves) <= case.plan.half_width + 1e-5
        assert 60 <= median(runs) <= 150
    else:
        # The third to fifth look.
        assert sum(23 <= n <= 53 for n in runs) > 0.6 * len(runs)


def test_what_is_worked_out_alone_is_what_a_full_replication_has() -> None:
    alone, _ = comparisons.CASES["precision"].options(0)
    full = Option(alone.name, alone.scenario)
    for number in range(2):
        measures = full.replication(number).measures
        assert alone.replication(number).measures == {
            name: measures[name] for name in ("on_time_share", "late_orders")
        }  # fmt: skip


@pytest.mark.parametrize("stop", list(comparisons.CASES))
def test_a_comparison_made_again_is_the_one_kept_here(stop: str) -> None:
    (found,) = comparisons.studies(0, 1, stop)
    assert dict(zip(comparisons.HEADING, map(str, found), strict=True)) == read(comparisons.CASES[stop].results)[0]


def test_the_same_orders_save_as_much_as_wanted() -> None:
    told = r"(\w+), lead_time_mean_h: factor [\d.]+, 95 % interval ([\d.]+) to [\d.]+, over (\d+) rep"
    found = re.findall(told, common_random_numbers.summary())
    # Even the lower ends are as high as wanted.
    least = {option: (float(low), int(count)) for option, low, count in found}
    assert least["printer"][0] >= 8 and least["printer"][1] >= 200
    assert least["sewer"][0] >= 2.5 and least["sewer"][1] >= 200


def test_a_replication_made_again_is_the_one_kept_here() -> None:
    (found,) = common_random_numbers.studies(0, 1)
    kept = read(common_random_numbers.RESULTS)[0]
    assert dict(zip(common_random_numbers.HEADING, map(str, found), strict=True)) == kept


@pytest.mark.parametrize("where", kills.WHERE)
def test_whatever_is_killed_the_study_ends_with_the_same_table_and_runs_nothing_stored_again(where: str) -> None:
    rows = [row for row in read(kills.RESULTS) if row["where"] == where]
    assert sorted(int(row["study"]) for row in rows) == list(range(20))
    assert {(row["stored_and_run_again"], row["same_table"]) for row in rows} == {("0", "1")}
    # Killed somewhere on its way, not always at the same moment.
    at_kill = [int(row["stored_at_kill"]) for row in rows]
    assert min(at_kill) > 0 and max(at_kill) < kills.COUNT
    assert stdev(at_kill) > 20


def test_ten_thousand_replications_take_no_more_memory_than_their_numbers() -> None:
    *going, again = read(sweep.RESULTS)
    assert int(going[-1]["replications"]) == 10_000
    assert (again["replications"], float(again["seconds"]) < 10) == (sweep.RESUMED, True)
    workers = [float(row["workers_memory_mb"]) for row in going]
    assert workers[-1] - workers[0] < 3
    assert sweep.kb_a_row() < 8
    assert sweep.summary().startswith("10,000 replications in ")


def is_near(found: promises.Kept, checks: int) -> bool:
    """Whether what came true is what was told, within the luck that so many checks have at once in 99 %.

    A mean of few mornings has Student's law, not the normal one.
    """
    width = stats.t.ppf(1 - 0.01 / checks / 2, found.mornings - 1) * found.error
    return abs(found.share - found.told) <= width


def test_promises_are_kept_as_often_as_told() -> None:
    assert len({(row["shop"], row["morning"]) for row in promises.rows_of()}) >= 200
    assert 0.75 <= promises.at_80(promises.rows_of()).share <= 0.85
    assert promises.summary().startswith("both: ")


@pytest.mark.parametrize("shop", [promises.FLAGS, promises.FRAMES])
def test_each_shop_keeps_its_promises(shop: str) -> None:
    found = promises.at_80(promises.rows_of(shop))
    assert 0.75 <= found.share <= 0.85
    assert is_near(found, 1)
    # The day an order is due is what the morning list tells of.
    due = promises.rows_of(shop, due_alone=True)
    assert is_near(promises.kept(due), 3)
    assert is_near(promises.at_80(due), 3)
    # The date told at 80 % is whole days later than the 80th percentile: at least so often, and as often as its chance.
    dates = promises.dates_at_80(promises.rows_of(shop))
    assert is_near(dates, 3)
    assert dates.share + 2 * dates.error >= 0.8
    assert dates.told >= 0.8


@pytest.mark.parametrize("due_alone", [False, True])
@pytest.mark.parametrize("shop", [promises.FLAGS, promises.FRAMES])
def test_every_tenth_comes_true_as_often_as_told(shop: str, due_alone: bool) -> None:
    tenths = promises.by_tenth(promises.rows_of(shop, due_alone))
    assert len(tenths) == 10
    assert [each for each in tenths if not is_near(each, 10)] == []


def test_a_morning_told_again_gives_the_promises_kept_here() -> None:
    told = [row for row in read(promises.RESULTS) if row["morning"] == "0"]
    found = [dict(zip(promises.HEADING, map(str, row), strict=True)) for row in promises.morning(0, promises.FLAGS)]
    assert found == told
