"""Every picture with a hostile name, and with an empty table."""

from __future__ import annotations

import datetime
import json
from collections.abc import Callable

import pandas as pd
import plotly.graph_objects as go
import pytest

from shopsim.pictures.constraint import constraint_by_weekday, constraint_by_weekday_in_words
from shopsim.pictures.cost_and_dates import (
    crew_frontier,
    crew_frontier_in_words,
    shift_patterns,
    shift_patterns_in_words,
)
from shopsim.pictures.differences import differences, differences_in_words
from shopsim.pictures.fits import quantiles_against, quantiles_against_in_words, reliability, reliability_in_words
from shopsim.pictures.forecast import forecast, forecast_in_words
from shopsim.pictures.gantt import gantt, gantt_in_words
from shopsim.pictures.growth import on_time_against_demand, on_time_against_demand_in_words
from shopsim.pictures.in_shop import orders_in_shop, orders_in_shop_in_words, settling, settling_in_words
from shopsim.pictures.input_weights import input_weights, input_weights_in_words
from shopsim.pictures.lead_time import lead_time_curve, lead_time_curve_in_words
from shopsim.pictures.load import load_against_capacity, load_against_capacity_in_words
from shopsim.pictures.payback import npv_spread, npv_spread_in_words, payback_spread, payback_spread_in_words
from shopsim.pictures.plan_view import plan_view, plan_view_in_words
from shopsim.pictures.queue_by_hour import queue_by_hour, queue_by_hour_in_words
from shopsim.pictures.time_split import time_split, time_split_in_words
from shopsim.pictures.tornado import tornado, tornado_in_words
from shopsim.pictures.waste import waste_by_cause, waste_by_cause_in_words
from shopsim.pictures.why_late import why_late, why_late_in_words

MONDAY = datetime.date(2026, 1, 5)
EVIL = '<a href="javascript:x">R&D</a>'
Draw = Callable[..., go.Figure]


def table(**columns: object) -> pd.DataFrame:
    return pd.DataFrame({name: value if isinstance(value, list) else [value] for name, value in columns.items()})


BREAKS = table(option=EVIL, mean=0.9, low=0.8, high=1.0)
PLACES = table(place=EVIL, kind="place", stage=0, seats=1)
PEOPLE = table(crew=EVIL, person=EVIL, doing="work", place=EVIL, time_min=420)
MOMENTS = table(place=EVIL, time_min=420, waiting=1, in_work=1)

PICTURES: list[tuple[Draw, Callable[..., str], list[pd.DataFrame], tuple[object, ...], str]] = [
    (time_split, time_split_in_words, [table(kind="crew", id=EVIL, state="idle", share=0.2)], ("crew",),
     "no crew was there in these weeks."),
    (lead_time_curve, lead_time_curve_in_words, [table(share=0.5, days=1)], (), "no order was sent out."),
    (orders_in_shop, orders_in_shop_in_words, [table(day=0, orders=1)], (datetime.date(2026, 1, 5),),
     "no day was simulated."),
    (settling, settling_in_words, [table(day=0, orders=1)], (1,), "no day was simulated."),
    (why_late, why_late_in_words, [table(whose="all", reason=EVIL, hours=1)], (), "no order was sent out."),
    (waste_by_cause, waste_by_cause_in_words, [table(cause=EVIL, m2_per_week=1)], (), "no cloth was used."),
    (load_against_capacity, load_against_capacity_in_words, [table(id=EVIL, limit=EVIL, share=1, peak_share=1)], (),
     "nothing is asked of any place."),
    (queue_by_hour, queue_by_hour_in_words, [table(place=EVIL, hour=1, waiting=1)], (), "nothing ever waited."),
    (constraint_by_weekday, constraint_by_weekday_in_words, [table(weekday=0, id=EVIL, share=0.5)], (),
     "nothing was ever busy."),
    (forecast, forecast_in_words, [table(at=1, orders=2)], ("year",), "no orders are expected."),
    (differences, differences_in_words, [table(option=EVIL, mean=1, low=0.5, high=2)], (EVIL, EVIL),
     "no change was compared."),
    (crew_frontier, crew_frontier_in_words, [table(crew=EVIL, pay_per_week=1, on_time=0.5, meets=EVIL)], (0.9, EVIL),
     "no crew was tried."),
    (shift_patterns, shift_patterns_in_words,
     [table(pattern=EVIL, cost_per_week=1, on_time=0.5, rules_broken=0, guidance=0)], (0.9, EVIL),
     "no pattern was compared."),
    (on_time_against_demand, on_time_against_demand_in_words,
     [table(option=EVIL, demand=1, on_time=0.5, low=0.4, high=0.6), BREAKS], (0.9,), "no demand was tried."),
    (npv_spread, npv_spread_in_words, [table(npv_cu=1.0)], (EVIL,), "no case was worked out."),
    (payback_spread, payback_spread_in_words, [table(payback_years=1.0)], (), "no case was worked out."),
    (tornado, tornado_in_words, [table(input=EVIL, low=1, high=2, at_low=1, at_high=2)], (EVIL, 1.5),
     "no input was varied."),
    (input_weights, input_weights_in_words, [table(input=[EVIL, EVIL], told=["yes", "no"], mean=[1, 2])], (EVIL,),
     "nothing can be told of any input."),
    (quantiles_against, quantiles_against_in_words, [table(fitted=1, measured=2)], (EVIL, EVIL),
     "nothing was measured."),
    (reliability, reliability_in_words, [table(told=0.5, happened=0.5, orders=3)], (), "no promise has come due."),
    (gantt, gantt_in_words, [table(kind="place", row=EVIL, state=EVIL, start_min=420, end_min=480, order=1)],
     ("place", MONDAY), "nobody was at work."),
    (plan_view, plan_view_in_words, [PLACES, MOMENTS, PEOPLE], (MONDAY,), "no moment was asked for."),
]  # fmt: skip
NAMES = [draw.__name__ for draw, *_ in PICTURES]


@pytest.mark.parametrize(("draw", "tell", "tables", "more", "why"), PICTURES, ids=NAMES)
def test_a_name_from_a_file_is_never_markup(draw, tell, tables, more, why) -> None:
    text = json.dumps(json.loads(draw(*tables, *more).to_json())["data"]) + json.dumps(
        json.loads(draw(*tables, *more).to_json())["layout"]
    )
    assert "<a" not in text and "</a" not in text and "R&D" not in text
    shown = draw(*tables, *more)
    assert len(shown.data) > 0
    assert tell(*tables, *more)


@pytest.mark.parametrize(("draw", "tell", "tables", "more", "why"), PICTURES, ids=NAMES)
def test_an_empty_table_gives_a_calm_figure(draw, tell, tables, more, why) -> None:
    empty = [one.iloc[:0] for one in tables]
    figure = draw(*empty, *more)
    assert figure.layout.annotations[0].text == f"Nothing to show: {why}"
    assert len(figure.data) == 0
    assert tell(*empty, *more) == f"Nothing to show: {why}"
