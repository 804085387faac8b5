"""Pictures of studies: traces and words against tables small enough to check by eye."""

from __future__ import annotations

import math

import pandas as pd
import pytest

from shopsim.pictures.cost_and_dates import (
    crew_frontier,
    crew_frontier_in_words,
    shift_patterns,
    shift_patterns_in_words,
    unbeaten,
)
from shopsim.pictures.differences import differences, differences_in_words
from shopsim.pictures.fits import quantiles_against, quantiles_against_in_words, reliability, reliability_in_words
from shopsim.pictures.growth import on_time_against_demand, on_time_against_demand_in_words
from shopsim.pictures.input_weights import input_weights, input_weights_in_words
from shopsim.pictures.payback import bins, npv_spread, npv_spread_in_words, payback_spread, payback_spread_in_words
from shopsim.pictures.style import LIGHT_PAPER
from shopsim.pictures.tornado import tornado, tornado_in_words


def test_a_difference_that_may_be_none_is_drawn_hollow() -> None:
    table = pd.DataFrame({
        "option": ["second_printer", "night", "none"], "mean": [0.15, 0.02, math.nan], "low": [0.12, -0.01, None],
        "high": [0.18, 0.05, None],
    })  # fmt: skip
    figure = differences(table, "on_time_share", "points", 100)
    line, sure, dotted, unsure = figure.data
    assert (list(line.x), line.line.dash, list(line.y)) == ([12, 18, None], "solid", [0, 0, None])
    assert (list(sure.x), sure.marker.symbol, sure.name) == ([15], "circle", "a difference")
    assert (list(dotted.x), dotted.line.dash) == ([-1, 5, None], "dot")
    assert (list(unsure.x), unsure.marker.symbol, unsure.name) == ([2], "circle-open", "may be none")
    assert figure.layout.shapes[0].x0 == 0
    # Intervals reach from -1 to 18: room for their ends on both sides.
    assert list(figure.layout.xaxis.range) == pytest.approx([-1 - 0.06 * 19, 18 + 0.06 * 19])
    assert [note.text for note in figure.layout.annotations] == [
        "second printer: +15 (+12\u00a0to\u00a0+18)", "night: +2 (−1\u00a0to\u00a0+5)"
    ]  # fmt: skip
    # On paper of their own, so that the line of no difference does not run through their words.
    assert {note.bgcolor for note in figure.layout.annotations} == {None}
    assert figure.layout.template.layout.annotationdefaults.bgcolor == LIGHT_PAPER
    assert differences_in_words(table, "on_time_share", "points", 100) == (
        "Change in on time share against as it stands, points: second printer +15 (+12 to +18); night +2 (−1 to +5), "
        "which may be none."
    )


def test_names_of_changes_are_shown_whole_on_a_phone() -> None:
    name = "A second printer, faster and with a longer plate, and two more sewers on Saturdays"
    long, short = (pd.DataFrame({"option": [each, "b"], "mean": 0.1, "low": 0.0, "high": 0.2}) for each in (name, "a"))
    text = differences(long, "x", "points").layout.annotations[0].text
    assert text.replace("<br>", " ") == f"{name}: +0.10 (0.00\u00a0to\u00a0+0.20)"
    # 46 letters of 7 px are what a phone has room for.
    assert max(map(len, text.split("<br>"))) <= 46
    # One row of three lines instead of one, 17 px a line.
    heights = [differences(table, "x", "points").layout.height for table in (long, short)]
    assert heights[0] - heights[1] == 2 * 17


def test_one_replication_is_never_sure() -> None:
    table = pd.DataFrame({"option": ["a"], "mean": [3.0], "low": [None], "high": [None]})
    assert [trace.name for trace in differences(table, "x", "h").data if trace.name] == ["may be none"]


def test_unbeaten_points() -> None:
    assert unbeaten([3, 1, 2, 4], [0.9, 0.5, 0.4, 0.9]) == [1, 0]


CREWS = pd.DataFrame({
    "crew": ["3 sewers", "4 sewers", "5 sewers"], "pay_per_week": [3000, 4000, 5000], "on_time": [0.8, 0.96, 0.955],
    "low": [0.75, 0.94, None], "high": [0.85, 0.98, None], "meets": ["no", "yes", "?"],
})  # fmt: skip


def test_crew_frontier() -> None:
    figure = crew_frontier(CREWS, 0.95, "CU")
    frontier, meets, open_, misses, target, *key = figure.data
    assert list(frontier.x) == [3000, 4000]
    assert (list(meets.x), list(meets.y), list(meets.error_y.array)) == ([4000], [96], [pytest.approx(2)])
    assert (list(open_.x), open_.name, list(open_.error_y.array)) == ([5000], "not settled", [0])
    assert list(misses.customdata) == ["1. 3 sewers<br>3,000 a week, 80 (75 to 85) % on time"]
    assert (target.name, list(target.y)) == ("target 95 %", [95, 95])
    assert [(each.name, each.marker.symbol) for each in key] == [
        ("1. 3 sewers", "x"), ("2. 4 sewers", "circle"), ("3. 5 sewers", "circle-open")
    ]  # fmt: skip
    assert crew_frontier_in_words(CREWS, 0.95, "CU") == (
        "Pay a week and orders on time, against a target of 95 %: 1 (3 sewers) at 3,000 CU: 80 (75 to 85) %, "
        "misses the target; 2 (4 sewers) at 4,000 CU: 96 (94 to 98) %, meets the target; 3 (5 sewers) at 5,000 CU: "
        "95.5 %, not settled."
    )


def test_shift_patterns() -> None:
    table = pd.DataFrame({
        "pattern": ["as it stands", "nights", "long days"], "cost_per_week": [10_000, 12_000, 11_000],
        "cost_low": [9_500, None, None], "cost_high": [10_500, None, None], "on_time": [0.8, 0.9, 0.85],
        "rules_broken": [0, 2, 0], "guidance": [0, 1, 1],
    })  # fmt: skip
    figure = shift_patterns(table, 0.9, "CU")
    assert {trace.name: list(trace.x) for trace in figure.data[:3]} == {
        "keeps rest times": [10_000], "against guidance": [11_000], "breaks a rest-time rule": [12_000],
    }  # fmt: skip
    assert list(figure.data[0].error_x.array) == [500]
    # An interval may reach beyond what a share can be; its bar does not.
    sure = table.assign(low=[0.7, -0.1, 0.8], high=[1.1, 1.0, 0.9])
    bars = shift_patterns(sure, 0.9, "CU").data
    assert (list(bars[0].error_y.array), list(bars[2].error_y.arrayminus)) == ([pytest.approx(20)], [90])
    assert shift_patterns_in_words(table, 0.9, "CU") == (
        "Against a target of 90 % on time: 1 (as it stands): 10,000 (9,500 to 10,500) CU a week, 80 % on time, "
        "rest times kept; 2 (nights): 12,000 CU a week, 90 % on time, 2 rest-time rules broken and 1 point against "
        "guidance; 3 (long days): 11,000 CU a week, 85 % on time, 1 point against guidance."
    )


def test_on_time_against_demand() -> None:
    curve = pd.DataFrame({
        "option": ["base", "base", "more", "more"], "demand": [1.2, 1.0, 1.0, 1.2], "on_time": [0.6, 0.9, 0.97, 0.96],
        "low": [0.5, 0.85, None, None], "high": [0.7, 0.95, None, None],
    })  # fmt: skip
    breaks = pd.DataFrame({"option": ["base", "more"], "mean": [0.97, None], "low": [0.93, 1.1], "high": [1.0, None]})
    figure = on_time_against_demand(curve, breaks, 0.95)
    base, more = (next(trace for trace in figure.data if trace.name == name) for name in ("base", "more"))
    assert (list(base.x), list(base.y)) == ([100, 120], [90, 60])
    assert (base.line.dash, more.line.dash, base.marker.symbol, more.marker.symbol) == (
        "solid", "dash", "circle", "square"
    )  # fmt: skip
    interval, cross = figure.data[-2:]
    assert list(interval.x) == [93, 100]
    # Below the curves on an axis of their own, which is not shown: else they read as % on time.
    assert {interval.yaxis, cross.yaxis} == {"y2"} and not figure.layout.yaxis2.visible
    assert figure.layout.yaxis2.domain[1] < figure.layout.yaxis.domain[0]
    whole = on_time_against_demand(curve, breaks.iloc[1:], 0.95)
    assert list(whole.layout.yaxis.domain) == [0, 1] and "yaxis2" not in whole.layout
    assert figure.layout.height - whole.layout.height == 34 + 40
    assert (list(cross.x), list(cross.text)) == ([97], ["breaks at 97 %"])
    assert on_time_against_demand_in_words(curve, breaks, 0.95) == (
        "Target 95 % on time. Base falls below the target at 97 (93 to 100) % of today's demand; at 100 % it is on "
        "time with 90 (85 to 95) %. More does not cross the target from 100 % to 120 % of today's demand; at 100 % it "
        "is on time with 97 %."
    )


def test_bins_never_straddle_zero() -> None:
    edges = bins([-5.0, 11.0])
    assert edges.tolist() == [float(x) for x in range(-5, 13)]
    assert bins([3.0, 3.0]).tolist() == [3.0, 4.0]


def test_npv_spread() -> None:
    table = pd.DataFrame({"npv_cu": [-500.0, 500.0, 1500.0, 1500.0, 15_500.0]})
    figure = npv_spread(table, "CU")
    bars = figure.data[0]
    assert sum(bars.y) == pytest.approx(100)
    hatched = [y for y, shape in zip(bars.y, bars.marker.pattern.shape, strict=True) if shape == "/"]
    assert sum(hatched) == pytest.approx(20)
    assert npv_spread_in_words(table, "CU") == (
        "80 % of 5 cases gain. Half are above 1,500 CU, eight in ten between −100 and 9,900."
    )


def test_payback_spread_holds_those_that_never_do() -> None:
    table = pd.DataFrame({"payback_years": [0.5, 1.0, 2.5, math.inf]})
    figure = payback_spread(table)
    assert list(figure.data[0].y) == [50, 0, 25, 25]
    assert list(figure.layout.xaxis.ticktext) == ["1", "2", "3", "never"]
    assert payback_spread_in_words(table) == (
        "75 % of 4 cases pay back, 25 % never do. Half of all have the money back within 2.5 years."
    )
    assert payback_spread_in_words(pd.DataFrame({"payback_years": [0.5, 1.0, 2.5]})) == (
        "All of 3 cases pay back. Half of all have the money back within 1.0 years, eight in ten in 0.5 to 2.5 years."
    )
    never = pd.DataFrame({"payback_years": [math.inf, math.inf]})
    alone = payback_spread(never, 3.0)
    assert list(alone.data[0].y) == [0, 0, 0, 100]
    # Set apart from the years of use, and named.
    assert list(alone.data[0].x) == [0, 1, 2, 3.5]
    assert list(alone.layout.xaxis.ticktext) == ["1", "2", "3", "never"]
    assert [note.text for note in alone.layout.annotations] == ["100 %"]
    assert payback_spread_in_words(never) == "None of 2 cases pays back."


def test_tornado_ranks_by_swing() -> None:
    table = pd.DataFrame({
        "input": ["wages", "price"], "low": [97, 3600], "high": [108, 4400], "at_low": [12.0, 30.0],
        "at_high": [8.0, -10.0], "unit": ["% of today's", "CU"],
    })  # fmt: skip
    figure = tornado(table, "net present value, CU", 10.0)
    low, high = figure.data
    assert (list(low.x), list(high.x), low.base) == ([20, 2], [-20, -2], 10)
    assert [note.text for note in figure.layout.annotations] == [
        "now", "price: 3,600 to 4,400 CU", "wages: 97 to 108 % of today's"
    ]  # fmt: skip
    assert list(low.customdata) == ["price 3,600 CU: 30", "wages 97 % of today's: 12"]
    assert tornado_in_words(table, "net present value, CU", 10.0) == (
        "Net present value, CU, 10 now: price from 3,600 to 4,400 CU moves it from 30 to −10; wages from 97 to 108 % "
        "of today's moves it from 12 to 8."
    )


def test_input_weights_tell_what_may_be_luck() -> None:
    table = pd.DataFrame({"input": ["a_b", "c"], "told": ["yes", "no"], "mean": [0.6, 0.05], "low": [0.5, -0.1],
                          "high": [0.7, 0.2]})  # fmt: skip
    figure = input_weights(table, "share of the variance, %", 100)
    reach, sure, _, luck = figure.data
    assert (list(reach.x), list(reach.line.dash)) == ([50, 70, None], list("solid"))
    assert (list(sure.x), sure.name, sure.marker.symbol) == ([60], "more than luck", "circle")
    assert (list(luck.x), luck.name, luck.marker.symbol) == ([5], "may be luck", "circle-open")
    assert [note.text for note in figure.layout.annotations] == ["a b: 60 (50 to 70)", "c: 5 (0 to 20)"]
    assert input_weights_in_words(table, "share of the variance, %", 100) == (
        "Share of the variance, %: a b 60 (50 to 70); c 5 (0 to 20), which may be luck."
    )


def test_quantiles_against_and_reliability() -> None:
    table = pd.DataFrame({"fitted": [1.0, 2.0, 3.0], "measured": [1.0, 2.5, 5.0]})
    figure = quantiles_against(table, "hem", "min")
    assert (list(figure.data[0].x), list(figure.data[1].y)) == ([1, 5], [1, 2.5, 5])
    assert quantiles_against_in_words(table, "hem", "min") == (
        "hem, 3 values: measured and fitted differ by 0.5 min in the middle; at most 5 was measured where 3 min was "
        "fitted."
    )
    told = pd.DataFrame({"told": [0.8], "happened": [0.75], "orders": [40], "low": [0.6], "high": [0.87]})
    figure = reliability(told)
    assert (list(figure.data[1].x), list(figure.data[1].y), list(figure.data[1].text)) == ([80], [75], ["40"])
    assert reliability_in_words(told) == "Told 80 %, came true 75 (60 to 87) % of 40 orders."
