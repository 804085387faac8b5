"""Pictures of the shop as it stands: numbers in traces and words against tables small enough to check by eye."""

from __future__ import annotations

from datetime import date

import pandas as pd
import pytest

from shopsim.errors import InputError
from shopsim.pictures.constraint import constraint_by_weekday, constraint_by_weekday_in_words
from shopsim.pictures.forecast import forecast, forecast_in_words
from shopsim.pictures.in_shop import orders_in_shop, orders_in_shop_in_words, settling, settling_in_words
from shopsim.pictures.lead_time import lead_time_curve, lead_time_curve_in_words
from shopsim.pictures.load import load_against_capacity, load_against_capacity_in_words
from shopsim.pictures.queue_by_hour import queue_by_hour, queue_by_hour_in_words
from shopsim.pictures.run_tables import split_table
from shopsim.pictures.style import height_px
from shopsim.pictures.time_split import time_split, time_split_in_words
from shopsim.pictures.waste import waste_by_cause, waste_by_cause_in_words
from shopsim.pictures.why_late import why_late, why_late_in_words
from shopsim.shop.shop_file import load_shop
from shopsim.studies.replicate import replicate
from tests.pictures.gallery import SCENARIO as DEMO

SPLIT = pd.DataFrame(
    [
        ("printer", "p_1", "printing", 0.20, 0.05),
        ("printer", "p_1", "roll_change", 0.04, 0.0),
        ("printer", "p_1", "waiting_job", 0.36, 0.20),
        ("printer", "p_1", "off", 0.40, 0.40),
        ("person", "Sewer", "sew", 0.15, 0.0),
        ("person", "Sewer", "idle", 0.05, 0.0),
        ("person", "Sewer", "break", 0.02, 0.0),
        ("person", "Sewer", "off_shift", 0.78, 0.0),
    ],
    columns=["kind", "id", "state", "share", "unattended_share"],
)


def test_a_printers_hours_leave_out_what_nobody_saw() -> None:
    # Of 20 + 4 + 36 % of the week, 20 % waited with nobody there: 20, 4 and 16 of 40 % remain.
    figure = time_split(SPLIT, "printer")
    assert {bar.name: bar.x[0] for bar in figure.data} == pytest.approx(
        {"printing": 50.0, "set-up": 10.0, "no work": 40.0}
    )
    assert [note.text for note in figure.layout.annotations] == ["50", "10", "40", "p 1"]
    assert figure.data[0].customdata[0] == "p 1<br>printing: 50 % of its hours, 33.6 h a week"
    assert time_split_in_words(SPLIT, "printer") == "P 1, 67.2 h a week: printing 50 %, no work 40 % and set-up 10 %."


def test_a_persons_hours_leave_out_breaks_and_nights() -> None:
    figure = time_split(SPLIT, "person")
    assert {bar.name: bar.x[0] for bar in figure.data} == pytest.approx({"at work": 75.0, "no work": 25.0})
    assert time_split_in_words(SPLIT, "person") == "Sewer, 33.6 h a week: at work 75 % and no work 25 %."


def test_a_seat_is_not_charged_with_the_nights_of_its_pieces() -> None:
    rows = [
        ("place", "hem", "busy", 0.1, 0.0),
        ("place", "hem", "set_aside", 0.6, 0.5),
        ("place", "hem", "idle", 0.3, 0.0),
    ]
    table = pd.DataFrame(rows, columns=["kind", "id", "state", "share", "unattended_share"])
    assert {bar.name: bar.x[0] for bar in time_split(table, "place").data} == pytest.approx(
        {"at work": 20.0, "lying aside": 20.0, "no work": 60.0}
    )


def test_the_picture_and_the_table_of_places_say_the_same_of_work() -> None:
    shop = load_shop(DEMO)
    found = replicate(shop.scenario, shop.order_lines, 1, workers=1)
    table = split_table(found)
    at_work = next(bar for bar in time_split(table[table["id"] == "cutter"], "place").data if bar.name == "at work")
    # Unfinished pieces lie at the cutter through nights and beside the work.
    assert at_work.x[0] == pytest.approx(found.interval("measures", "busy_share.cutter").mean * 100)


def test_an_unknown_kind_is_refused() -> None:
    with pytest.raises(ValueError) as fault:
        time_split(SPLIT, "robot")
    assert str(fault.value) == "kind must be one of printer, place, person, crew, found 'robot'"


LEAD = pd.DataFrame({
    "share": [0.1, 0.5, 0.9], "days": [1.0, 3.0, 5.0], "low_days": [-0.5, 2.5, 4.0], "high_days": [2.0, 3.5, 6.0],
})  # fmt: skip


def test_the_lead_time_curve_with_its_promise() -> None:
    figure = lead_time_curve(LEAD, 4.0)
    band, curve = figure.data
    assert (list(band.x), list(band.y)) == ([2, 3.5, 6, 4, 2.5, 0], [10, 50, 90, 90, 50, 10])
    assert (list(curve.x), list(curve.y)) == ([1, 3, 5], [10, 50, 90])
    assert figure.layout.shapes[0].x0 == 4.0
    note = figure.layout.annotations[0]
    # At the foot, right of the line: there the curve is above it.
    assert (note.text, note.y, note.yanchor) == ("half promised within 4.0 days", 0, "bottom")
    assert figure.layout.xaxis.title.text == "days from receipt to dispatch<br>(the slowest 10 % are left out)"
    assert lead_time_curve_in_words(LEAD, 4.0) == (
        "Half of the orders are out within 3.0 (2.5 to 3.5) days, nine in ten within 5.0 (4.0 to 6.0). "
        "Half were promised within 4.0 days; within these, 70 % are out."
    )
    # Ends of few runs that go back: the band does not.
    ragged = LEAD.assign(low_days=[0.5, 2.5, 2.0], high_days=[4.0, 3.5, 6.0])
    assert list(lead_time_curve(ragged).data[0].x) == [4, 4, 6, 2, 2, 0.5]
    assert lead_time_curve_in_words(LEAD, 5.5).endswith("within 5.5 days; within these, more than 90 % are out.")
    assert lead_time_curve_in_words(LEAD, 0.5).endswith("within 0.5 days; within these, less than 10 % are out.")


def test_orders_in_the_shop() -> None:
    table = pd.DataFrame({"day": range(14), "orders": [2.0] * 7 + [4.0] * 7, "low": [-1.0] * 14, "high": [5.0] * 14})
    figure = orders_in_shop(table, date(2026, 3, 2))
    assert list(figure.data[1].x)[::13] == ["2026-03-02", "2026-03-15"]
    assert list(figure.data[1].y) == [2] * 7 + [4] * 7
    assert min(figure.data[0].y) == 0
    assert orders_in_shop_in_words(table, date(2026, 3, 2)) == (
        "3 orders inside on average; the fullest day is Mon 09 Mar 2026 with 4 (0 to 5); 2.0 in the first week, 4.0 in "
        "the last."
    )


def test_settling() -> None:
    table = pd.DataFrame({"day": range(14), "orders": [1.0] * 7 + [5.0] * 7, "smoothed": [3.0] * 10 + [None] * 4})
    figure = settling(table, 1)
    assert list(figure.data[1].y) == [3.0] * 10
    assert figure.layout.annotations[0].text == "count from week 1"
    assert settling_in_words(table, 1) == "From week 1 on the shop has settled, at 5.0 orders inside on average."
    assert settling_in_words(table, 0) == "The shop is settled from the start, at 3.0 orders inside on average."
    assert settling_in_words(table, None) == (
        "The orders inside do not level off: 5.0 in the last week, and no warm-up is long enough."
    )
    assert not settling(table, None).layout.annotations


def test_why_late() -> None:
    rows = [("all", "approval", 2.0), ("all", "work", 3.0), ("all", "order_check", 1.0), ("late", "approval", 8.0),
            ("late", "seat_wait", 1.0), ("late", "room_wait", 1.0), ("late", "rework", 0.0)]  # fmt: skip
    table = pd.DataFrame(rows, columns=["whose", "reason", "hours"])
    figure = why_late(table)
    assert {bar.name: list(bar.x) for bar in figure.data} == {
        "with the customer": [2, 8], "waiting for a seat": [0, 2], "work": [4, 0],
    }  # fmt: skip
    assert [note.text for note in figure.layout.annotations] == [
        "2",
        "8",
        "2",
        "4",
        "all orders: 6 h",
        "late orders: 10 h",
    ]
    assert why_late_in_words(table) == (
        "All orders take 6.0 h on average, most of it work 4.0 h and with the customer 2.0 h. "
        "Late orders take 10.0 h on average, most of it with the customer 8.0 h and waiting for a seat 2.0 h."
    )


def test_waste_by_cause() -> None:
    table = pd.DataFrame({
        "cause": ["pieces", "leader", "gaps_and_edges", "stop"], "m2_per_week": [70.0, 10.0, 20.0, 0.0],
        "low": [60, 8, None, 0], "high": [80, 12, None, 0],
    })  # fmt: skip
    figure = waste_by_cause(table)
    assert list(figure.data[0].x) == [20, 10]
    assert list(figure.data[0].error_x.array) == [0, 2]
    assert [note.text for note in figure.layout.annotations] == [
        "gaps and edges: 20 m², 20 %", "leader at roll changes: 10 (8 to 12) m², 10 %"
    ]  # fmt: skip
    assert waste_by_cause_in_words(table) == (
        "30 of 100 m² of cloth a week are wasted (30 %), most of it by gaps and edges 20 m² and leader at roll changes "
        "10 m²."
    )


def test_load_against_capacity() -> None:
    table = pd.DataFrame({
        "id": ["cutter", "hem_seats", "desk", "a_bench_with_eyelet_press_rope_and_packing_paper"],
        "limit": ["seats", "people", "people", "seats"], "share": [0.5, 1.1, 0.8, 0.7],
        "peak_share": [0.7, float("inf"), 1.2, 0.9],
    })  # fmt: skip
    figure = load_against_capacity(table)
    assert list(figure.data[0].x) == pytest.approx([110, 80, 70, 50])
    assert list(figure.data[0].marker.pattern.shape) == ["x", "/", "/", ""]
    assert [note.text for note in figure.layout.annotations] == [
        "full", "hem seats, people: 110\u00a0%, can never keep up",
        "desk, people: 80\u00a0%, over full in the worst<br>week",
        "a bench with eyelet press rope and packing<br>paper, seats: 70\u00a0%, tight in the worst week",
        "cutter, seats: 50\u00a0%",
    ]  # fmt: skip
    # Rows of one line are 46 px high, those of two lines 17 px higher; all bars are 23 px.
    assert list(figure.data[0].y) == pytest.approx([0, 1 + 17 / 46, 2 + 34 / 46, 3 + 34 / 46])
    assert list(figure.data[1].y) == list(figure.data[0].y)
    assert figure.data[0].width == 23 / 46
    assert figure.layout.height == height_px(4 * 46 + 2 * 17, 1)
    assert load_against_capacity_in_words(table) == (
        "Of the hours there are, the work asks: hem seats 110 % (worst week asked of nobody), desk 80 % (worst week "
        "120 %) and a bench with eyelet press rope and packing paper 70 % (worst week 90 %). hem seats can never keep "
        "up. desk cannot keep up in the worst week."
    )
    assert load_against_capacity_in_words(table[:1]).endswith("Every place can keep up on paper.")


def test_queue_by_hour_shows_the_longest_queues_first() -> None:
    hours = list(range(168))
    rows = [("cut", hour, 1.0) for hour in hours] + [("sew", hour, 168.0 if hour == 31 else 2.0) for hour in hours]
    table = pd.DataFrame([*rows, ("pack", 0, 0.0)], columns=["place", "hour", "waiting"])
    figure = queue_by_hour(table)
    assert [trace.name for trace in figure.data] == ["sew", "cut"]
    assert figure.data[0].y[31] == 168 and figure.data[0].customdata[31] == "Tue 07:00"
    assert queue_by_hour_in_words(table) == (
        "Sew: 3.0 bundles waiting on average, most (168.0) on Tue 07:00. "
        "Cut: 1.0 bundles waiting on average, most (1.0) on Mon 00:00."
    )


def test_constraint_by_weekday_gathers_the_rest() -> None:
    shares = {"a": 0.3, "b": 0.2, "c": 0.1, "d": 0.05, "e": 0.04, "f": 0.03}
    rows = [(0, name, share) for name, share in shares.items()] + [(1, "b", 0.5)]
    table = pd.DataFrame(rows, columns=["weekday", "id", "share"])
    figure = constraint_by_weekday(table)
    assert {bar.name: list(bar.y) for bar in figure.data} == {
        "b": [20, 50], "a": [30, 0], "c": [10, 0], "d": [5, 0], "others": [pytest.approx(7), 0],
    }  # fmt: skip
    assert list(figure.layout.xaxis.ticktext) == ["Mon", "Tue"]
    assert constraint_by_weekday_in_words(table).startswith("Most often the constraint: Mon a 30 %; Tue b 50 %. Here ")


def test_forecast() -> None:
    week = pd.DataFrame({"at": range(7), "orders": [4, 6, 4, 3, 2, 0.5, 0.5]})
    figure = forecast(week, "week")
    assert list(figure.data[0].y) == [4, 6, 4, 3, 2, 0.5, 0.5]
    assert [note.text for note in figure.layout.annotations] == ["4.0", "6.0", "4.0", "3.0", "2.0", "0.5", "0.5"]
    assert forecast_in_words(week, "week") == (
        "Orders over the week: most in Tue (6.0 orders a day, 30 % of all), fewest in Sat (0.5)."
    )
    year = pd.DataFrame({"at": range(1, 13), "orders": [30] * 11 + [10]})
    months = list(forecast(year, "year").layout.xaxis.ticktext)
    assert (len(months), months[:2], months[-1]) == (12, ["Jan", "Feb"], "Dec")
    day = pd.DataFrame({"at": range(24), "orders": [0.0] * 9 + [1.0] + [0.0] * 14})
    assert forecast_in_words(day, "day") == (
        "Orders over the day: most in 09:00 (1.0 orders an hour, 100 % of all), fewest in 00:00 (0.0)."
    )


def test_a_wrong_table_is_named() -> None:
    with pytest.raises(InputError) as fault:
        lead_time_curve(pd.DataFrame({"share": ["half"]}))
    assert str(fault.value).splitlines() == [
        "lead time curve: days: this column is missing; the table has share",
        "lead time curve:1: share: must be a number, found 'half'",
    ]
