"""Verdicts of `match` made by hand: what differs, what can be trusted, what cannot be told, and the likeliest cause."""

from __future__ import annotations

import datetime
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest

from shopsim.sentences.matching import difference_text, matched, moved_text
from shopsim.studies.match import Match, MatchPlan
from shopsim.studies.match_causes import Cause, Causes
from shopsim.studies.match_luck import Judged, Level, Shape, agrees_within, weeks_to_tell
from shopsim.studies.precision import Interval

ON_TIME, LEAD, OUT = "on_time_share", "lead_time_p90_days", "orders_out_per_week"


def level(name: str, happened: float, mean: float, half: float, outcome: Any, tolerance: float) -> Level:
    step = Interval(happened - mean, happened - mean - half, happened - mean + half, half, 59)
    return Level(name, happened, mean, mean - half, mean + half, step, tolerance, outcome, half / 3)


AGREES = level(OUT, 30.0, 30.5, 1.0, "agrees", 3.0)
LATE = level(ON_TIME, 0.81, 0.92, 0.05, "differs", 0.05)
LONG = level(LEAD, 9.8, 7.9, 1.1, "differs", 0.98)
OPEN = level("work.sewing_room_h_per_week", 78.0, 77.0, 12.0, "cannot tell", 7.8)
QQ = Shape("lead_time_days", np.ones(19), np.ones(19), np.ones(19), np.ones(19), 1.6, 0.7, 0.5, "differs")
SEWING = Cause("sewing minutes", "%", 18.2, 6.0, 0)
HOURS = Cause("hours of the shift day", "h a day", -0.75, 8.0, 1)


def found(
    *figures: Level, shapes: tuple[Shape, ...] = (), causes: Causes | None = None, accepted: bool = False
) -> Match:
    judged = Judged(figures, shapes, 1.0 if accepted else 9.0, 3.0, 95.0)
    record: Any = SimpleNamespace(weeks=12, run_in_weeks=3, first=datetime.date(2026, 1, 26),
                                  last=datetime.date(2026, 4, 19), notes=())  # fmt: skip
    runs: Any = SimpleNamespace(rows=(0,) * 59)
    return Match(record, runs, judged, causes, MatchPlan())


def test_what_differs_most_comes_first_then_what_can_be_trusted() -> None:
    causes = Causes((SEWING, HOURS), 90.0, 10, 2)
    answer = matched(found(AGREES, LATE, LONG, OPEN, shapes=(QQ,), causes=causes))
    assert answer.sentence == (
        "The model differs from what happened in 12 weeks: the whole curve of lead times lies 1.60 days off "
        "on average, "
        "where luck explains 0.70; so do orders on time and days until nine orders in ten are out. It can be "
        "trusted to "
        "±10 % for orders out a week. Too much luck is left to tell whether it agrees so closely in hours of "
        "work a week "
        "at sewing room: for hours of work a week at sewing room it would take about 34 weeks like these on record, "
        "or ±13 h as good enough. Most likely among single inputs: sewing minutes 18 % higher (with it 2 of the 2 "
        "numbers that "
        "differ no longer do); or hours of the shift day: 0.75 h a day less, the runs cannot tell which."
    )
    assert answer.below == (
        "59 runs of the recorded orders, 2026-01-26 to 2026-04-19; the 3 weeks before fill the shop. 95 % for all 5 "
        "figures at once. The shop's own luck is taken to be as great as that of the runs; doubt about "
        "inputs is not in "
        "the intervals. Agreement holds for weeks like these only."
    )


def test_a_share_differs_in_points_with_its_interval() -> None:
    answer = matched(found(AGREES, LATE))
    assert answer.sentence.startswith(
        "The model differs from what happened in 12 weeks: orders on time 81 %, in the model 92 % (−11 points, 95 % "
        "interval −16 to −6). It can be trusted"
    )


def test_no_single_input_may_explain_the_gap() -> None:
    answer = matched(found(LATE, causes=Causes((replace(SEWING, gap=88.0),), 90.0, 10, 1)))
    assert answer.sentence.endswith("None of 10 inputs that were moved explains the gap by itself.")
    assert "No figure is known to agree within ±10 %." in answer.sentence


def test_inputs_much_less_likely_than_the_best_are_not_named() -> None:
    causes = Causes((SEWING, replace(HOURS, gap=SEWING.gap + 4.1)), 90.0, 10, 2)
    assert [each.name for each in causes.likeliest] == ["sewing minutes"]
    assert "hours of the shift" not in matched(found(LATE, causes=causes)).sentence


def test_nothing_against_it_is_not_agreement() -> None:
    one = found(AGREES, replace(LATE, outcome="cannot tell"), accepted=True)
    assert not one.settled
    assert matched(one).sentence == (
        "Nothing in 12 weeks on record speaks against the model, but that is not enough to trust all of it. It can be "
        "trusted to ±10 % for orders out a week. Too much luck is left to tell whether it agrees so closely "
        "in orders on time: for orders on time it would take about 123 weeks like these on record, or ±16 points as "
        "good enough."
    )


def test_a_difference_has_a_decimal_where_the_figures_have_any() -> None:
    open_one = level(LEAD, 8.06, 8.52, 5.9, "cannot tell", 0.8)
    text = difference_text(open_one)
    assert (text.mean, text.between) == ("−0.5", "−6.4 to +5.5")
    # 6.36 of ±0.8: its square times 12 weeks.
    assert (agrees_within(open_one), weeks_to_tell(open_one, 12)) == (pytest.approx(6.36), 759)
    assert weeks_to_tell(replace(open_one, tolerance=0.0), 12) is None
    assert difference_text(level(OUT, 130.0, 131.0, 20.0, "cannot tell", 13.0)).mean == "−1"


def test_agreement_says_how_close() -> None:
    assert matched(found(AGREES, accepted=True)).sentence == (
        "The model agrees with what happened in 12 weeks, to ±10 % (shares to ±5 points), and luck explains the rest."
    )
    assert "what luck does not explain is smaller than that." in matched(found(AGREES)).sentence


def test_amounts_in_words() -> None:
    assert moved_text(Cause("people in sewers", "people", 1.0, 0.0, 0)) == "people in sewers: 1 person more"
    assert moved_text(Cause("breakdowns of press", "in 100 running hours", 2.5, 0.0, 0)) == (
        "breakdowns of press: 2.50 in 100 running hours more"
    )
    assert moved_text(Cause("speed of press", "%", -7.4, 0.0, 0)) == "speed of press 7 % lower"
