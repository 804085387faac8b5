"""What happened, read off rows: weeks that count, orders left out and told, days without clocks, held-out weeks."""

from __future__ import annotations

import datetime
import math
from typing import Any

import numpy as np
import pytest

from shopsim.shop.changes import Change, changed_values
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.studies.match_figures import figures_of_record, figures_of_run
from shopsim.studies.match_record import PeriodPlan, earlier_rows, held_out_from, read_record
from shopsim.studies.replication import one_replication
from tests.evidence.matching_shop import MONDAY, happened, model_of

DAY = 1440
WEEK = datetime.timedelta(days=7)


def at(week: int, day: int, hour: int = 10) -> datetime.datetime:
    return datetime.datetime.combine(MONDAY, datetime.time(hour)) + week * WEEK + datetime.timedelta(days=day)


def row(number: int, received: datetime.datetime, **more: Any) -> dict[str, Any]:
    """An order due three days later and shipped two days later at the cut-off, unless said otherwise."""
    shipped = datetime.datetime.combine(received.date() + datetime.timedelta(days=2), datetime.time(16, 30))
    given = {"order_id": f"A{number}", "received": received, "due": received.date() + datetime.timedelta(days=3),
             "product": "frame", "pieces": 2, "width_m": 2.8, "height_m": 1.2, "shipped": shipped}  # fmt: skip
    return {name: value for name, value in (given | more).items() if value is not None}


def weekdays(weeks: int) -> list[dict[str, Any]]:
    return [row(week * 5 + day, at(week, day)) for week in range(weeks) for day in range(5)]


@pytest.fixture(scope="module")
def shop() -> Scenario:
    return model_of(1, "true")


def test_the_first_weeks_fill_the_shop(shop: Scenario) -> None:
    record = read_record(shop, weekdays(6), [], [], PeriodPlan(run_in_weeks=2))
    assert (record.first, record.last) == (MONDAY + 2 * WEEK, MONDAY + 6 * WEEK - datetime.timedelta(days=1))
    assert (record.weeks, len(record.lines), record.notes) == (4, 30, ())
    assert record.scenario.demand.forecast is None
    assert (record.scenario.warm_up_min, record.scenario.horizon_min) == (2 * 7 * DAY, 6 * 7 * DAY)
    figures = figures_of_record(record)
    assert figures.levels["on_time_share"] == 1.0
    # Received at 10:00, out two days later at 16:30; Friday's on Sunday.
    assert figures.levels["lead_time_p50_days"] == pytest.approx(2 + 6.5 / 24)
    assert figures.levels["orders_out_per_week"] == 5.0
    assert figures.levels["m2_out_per_week"] == pytest.approx(5 * 2 * 2.8 * 1.2)
    assert figures.levels["orders_in_shop"] == pytest.approx(5 * (2 + 6.5 / 24) / 7)
    assert figures.shapes["orders_out_by_week"].tolist() == [5.0] * 4


def test_a_record_made_of_a_run_is_that_run(shop: Scenario) -> None:
    first = read_record(shop, happened(1, 6).orders, [], [], PeriodPlan(2))
    run = one_replication(first.scenario, first.lines, 3, in_detail=True)
    rows = []
    for line, out in zip(first.lines, run.out_min, strict=True):
        minutes = None if math.isinf(out) else datetime.timedelta(minutes=out)
        start = datetime.datetime.combine(first.scenario.shop.starts, datetime.time())
        rows.append(row(0, line.received, order_id=line.order_id, due=line.due, pieces=line.pieces,
                        shipped=None if minutes is None else start + minutes))  # fmt: skip
    record = read_record(shop, rows, [], [], PeriodPlan(2))
    made, told = figures_of_run(first, run), figures_of_record(record)
    assert told.levels == pytest.approx({name: made.levels[name] for name in told.levels}, rel=1e-9)
    for name, shape in told.shapes.items():
        np.testing.assert_allclose(shape, made.shapes[name], rtol=1e-9)


def test_days_without_clocks_are_taken_at_noon_and_at_the_cut_off(shop: Scenario) -> None:
    rows = weekdays(5)
    for each in rows:
        each["received"], each["shipped"] = (
            datetime.datetime.combine(each[name].date(), datetime.time()) for name in ("received", "shipped")
        )
    record = read_record(shop, rows, [], [], PeriodPlan(2))
    assert record.notes == ("receipts have no clock times: taken as at noon",)
    assert (record.orders.received[0], record.outcome.out_min[0]) == (12 * 60, 2 * DAY + 16.5 * 60)


def test_orders_that_cannot_be_used_are_told(shop: Scenario) -> None:
    rows = weekdays(5)
    rows[3] |= {"product": "moon"}
    rows[4] |= {"status": "cancelled", "shipped": None}
    rows[7] = row(7, rows[7]["received"], shipped=None, status="shipped")
    rows[9] |= {"width_m": 99.0}
    record = read_record(shop, rows, [], [], PeriodPlan(2))
    assert record.notes[:2] == (
        "1 orders left out: cancelled, but not when",
        "1 orders left out: shipped, but not when",
    )
    assert record.notes[2].startswith(
        "2 of 23 orders left out, their work is missing in the runs: 1 because the scenario"
    )
    assert len(record.lines) == 21


def test_orders_never_closed_off_are_work_but_not_compared(shop: Scenario) -> None:
    rows = [each | ({"shipped": None} if i % 5 == 2 else {}) for i, each in enumerate(weekdays(6))]
    open_ones = [{name: cell for name, cell in each.items() if cell is not None} for each in rows]
    record, closed = (read_record(shop, each, [], [], PeriodPlan(run_in_weeks=2)) for each in (open_ones, weekdays(6)))
    # Wednesdays, due on Saturday: the last of them one week before the record ends, or less.
    (note,) = record.notes
    assert note == (
        "5 of 30 orders (A2, A7, A12 and 2 others) were never closed off, 5 days and more after they were due: they "
        "are run, but not compared; some due later may be forgotten too. If they are really open, what happened looks "
        "too good"
    )
    assert len(record.lines) == len(closed.lines) == 30
    assert int(record.orders.counted.sum()) == 25
    found, whole = (figures_of_record(each).levels for each in (record, closed))
    assert found["orders_out_per_week"] == 4.0
    # One Wednesday is not long past due yet, and stays in the shop for its last days.
    assert found["orders_in_shop"] < whole["orders_in_shop"]
    row_of = one_replication(record.scenario, record.lines, 0, in_detail=True)
    assert figures_of_run(record, row_of).levels["orders_out_per_week"] <= 4.3


def test_a_rotation_goes_on_where_it_was(shop: Scenario) -> None:
    values = scenario_values(shop)
    values["shop"]["starts"] = MONDAY - 3 * WEEK
    (day,) = values["shifts"]
    day["weeks"] = [day["weeks"][0], day["weeks"][0]]
    record = read_record(check_values(values, "rotating"), weekdays(5), [], [], PeriodPlan(1))
    assert record.scenario.shop.starts == MONDAY
    assert record.scenario.shifts[0].first_week == 1


def test_held_out_weeks_are_the_last(shop: Scenario) -> None:
    rows = weekdays(8)
    record = read_record(shop, rows, [], [], PeriodPlan(run_in_weeks=3, hold_out_weeks=2))
    assert (record.first, record.weeks, record.run_in_weeks) == (MONDAY + 6 * WEEK, 2, 3)
    assert record.scenario.shop.starts == MONDAY + 3 * WEEK
    before = held_out_from(rows, 2)
    assert before == record.first
    assert len(earlier_rows(rows, before, "received")) == 30
    with pytest.raises(ValueError, match="7 held-out weeks of 8 leave less than 2 to fit from"):
        held_out_from(rows, 7)


def test_a_warm_start_fills_the_shop_with_the_same_orders_before(shop: Scenario) -> None:
    record = read_record(shop, weekdays(4), [], [], PeriodPlan(run_in_weeks=2, start="warm"))
    assert (record.first, record.weeks) == (MONDAY, 4)
    assert record.scenario.shop.starts == MONDAY - 2 * WEEK
    assert [line.order_id for line in record.lines[:2]] == ["A0 (before)", "A1 (before)"]
    # They are run, and counted nowhere.
    assert record.orders.counted.sum() == 20
    assert len(record.lines) == 30
    assert figures_of_record(record).levels["orders_out_per_week"] == 5.0


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        (weekdays(4), "4 whole weeks on record, the first 3 of which fill the shop, leave less than 2 to compare"),
        (
            [{**each, "product": "moon"} for each in weekdays(6)],
            "no order on record fits the scenario: the scenario has",
        ),
        ([row(i, at(i // 5, i % 5), shipped=None) for i in range(30)], "no order on record has a time at which it was"),
    ],
)
def test_a_record_that_cannot_be_compared_says_why(shop: Scenario, rows: list[dict[str, Any]], told: str) -> None:
    with pytest.raises(ValueError, match=told):
        read_record(shop, rows, [], [], PeriodPlan())


def test_hours_of_logs_in_weeks_that_they_cover(shop: Scenario) -> None:
    printer_log = [
        {"printer": "press", "event": "print", "start": at(week, day, 8), "end": at(week, day, 10), "minutes": 90.0}
        for week in range(2, 5) for day in range(5)
    ]  # fmt: skip
    # Over the weekend into the next week: two days and ten hours, ten of them after Monday 00:00.
    down = {"printer": "press", "event": "breakdown", "start": at(3, 5, 0), "end": at(4, 0, 10)}
    strange = {"printer": "moon", "event": "print", "start": at(3, 0), "end": at(3, 0, 12)}
    work_log = [
        {"place": "sewing", "start": at(3, day, 11), "end": at(3, day, 13)} for day in range(5)
    ]  # fmt: skip
    record = read_record(shop, weekdays(6), [*printer_log, down, strange], work_log, PeriodPlan(2))
    hours = {name: each.tolist() for name, each in record.outcome.hours.items()}
    assert hours["printing.press"][2:5] == [7.5] * 3
    assert hours["down.press"][2:5] == [0.0, 48.0, 10.0]
    assert all(math.isnan(each) for each in (*hours["printing.press"][:2], hours["printing.press"][5]))
    # From 11:00 to 13:00 with half an hour of break.
    assert hours["work.sewing"][3] == pytest.approx(7.5)
    assert record.notes == ("1 rows of a log left out: the scenario has no printer moon",)
    assert figures_of_record(record).levels["down.press_h_per_week"] == pytest.approx(58 / 3)


def test_more_weeks_held_out_than_there_are(shop: Scenario) -> None:
    with pytest.raises(ValueError, match=r"^9 weeks are to be held out, the record has 8$"):
        read_record(shop, weekdays(8), [], [], PeriodPlan(hold_out_weeks=9))


def test_approvals_without_clocks_are_taken_at_noon_never_before_receipt(shop: Scenario) -> None:
    rows = weekdays(5)
    for each in rows:
        each["approved"] = datetime.datetime.combine(each["received"].date(), datetime.time())
    rows[1]["received"] += datetime.timedelta(hours=4)
    lines = read_record(shop, rows, [], [], PeriodPlan(2)).lines
    assert [line.approved for line in lines[:2]] == [at(0, 0, 12), at(0, 1, 14)]
    for each in rows[2:]:
        each["approved"] = each["received"] + datetime.timedelta(hours=5)
    lines = read_record(shop, rows, [], [], PeriodPlan(2)).lines
    # Most have a clock time: midnight is one.
    assert [line.approved for line in lines[:3]] == [at(0, 0, 10), at(0, 1, 14), at(0, 2, 15)]


def test_pieces_without_a_size_on_record_have_that_of_the_product(shop: Scenario) -> None:
    sized = Change("set", "products.frame.sizes", [{"width_m": 2.0, "height_m": 1.5}])
    values = scenario_values(shop)
    values["products"] = [{k: v for k, v in each.items() if k != "size_range"} for each in values["products"]]
    fixed = check_values(changed_values(values, sized), "fixed")
    rows = [{k: v for k, v in each.items() if k not in ("width_m", "height_m")} for each in weekdays(5)]
    record = read_record(fixed, rows, [], [], PeriodPlan(2))
    assert figures_of_record(record).levels["m2_out_per_week"] == pytest.approx(5 * 2 * 3.0)
