"""Orders before the clock starts: when they come, what is in them, when they are due."""

from __future__ import annotations

import datetime
import math
from typing import Any

import numpy as np
import pytest

from shopsim.distributions import Discrete, Uniform
from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.order_table import NEVER, OrderDraw, OrderMaker, draw_sizes
from shopsim.shop.collections import collection_times
from shopsim.shop.order_book import OrderLine
from shopsim.shop.products import SizeRange
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import check_values
from shopsim.streams import stream

DAYS = ["mon", "tue", "wed", "thu", "fri"]
DAY = 1440.0
MONDAY = datetime.date(2026, 1, 5)
FORECAST: dict[str, Any] = {
    "orders_per_week": 100.0, "lead_days": 3.0, "rush_pct": 0.0, "lines_per_order": 1.0, "evenly_spread": True,
    "mix": [{"product": "banner", "share_pct": 100.0, "pieces": 1.0}],
}  # fmt: skip


def shop(weeks: float = 4, dispatch: dict[str, Any] | None = None, closed: Any = (), **demand: Any) -> Scenario:
    """A shop with the products banner (two sizes, 3 to 1) and flag (none), and this demand."""
    return check_values({
        "shop": {"name": "orders", "starts": MONDAY},
        "work_centres": [{"id": "desk"}],
        "shifts": [{"id": "day", "weeks": [{"blocks": [{"days": DAYS, "hours": "08:00-16:00"}]}]}],
        "crews": [{"id": "all", "skills": {"general": 3}, "shift": "day"}],
        "products": [
            {"id": "banner", "route": [{"op": "work", "at": "desk", "minutes": 1.0}],
             "sizes": [{"width_m": 2.0, "height_m": 1.0, "share": 3.0}, {"width_m": 5.0, "height_m": 3.0}]},
            {"id": "flag", "route": [{"op": "work", "at": "desk", "minutes": 1.0}]},
        ],
        "demand": demand or {"forecast": FORECAST},
        "policies": {"dispatch": {"courier_days": 1.0, **(dispatch or {})}},
        "closed": list(closed),
        "study": {"weeks": weeks, "opening": "empty", "seed": 9},
    }, "orders")  # fmt: skip


def forecast(**changes: Any) -> dict[str, Any]:
    return {**FORECAST, **changes}


def orders(scenario: Scenario, lines: Any = (), replication: int = 0) -> list[OrderDraw]:
    return OrderMaker(scenario, lines, ReplicationDraws(scenario.study.seed, replication)).make()


def draw(name: str, n: int) -> np.ndarray:
    return stream(9, 0, name).random(n)


# -- when they come ---------------------------------------------------------------------------------------------------


def test_evenly_spread_orders_are_one_poisson_stream() -> None:
    """Gaps are the exponential numbers of the stream, mean 7 days / 100."""
    made = orders(shop())
    gaps = stream(9, 0, "orders/times").standard_exponential(1024) * (7 * DAY / 100)
    times = np.cumsum(gaps)
    times = times[times < 4 * 7 * DAY]
    assert 340 < len(times) < 460
    assert [order.received for order in made] == pytest.approx(times.tolist(), rel=1e-9)


def test_closed_hours_days_and_months_stay_empty() -> None:
    pattern = {
        "evenly_spread": False, "orders_per_week": 400.0, "day_to_day_dispersion": 1.0,
        "month_index": [0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0], "weekday_shares": [1, 0, 0, 0, 0, 1, 0],
        "hour_shares": [0] * 8 + [1, 0, 3] + [0] * 13,
    }  # fmt: skip
    pattern = {key: [float(v) for v in value] if isinstance(value, list) else value for key, value in pattern.items()}
    made = orders(shop(weeks=9, forecast=forecast(**pattern)))
    moments = [datetime.datetime(2026, 1, 5) + datetime.timedelta(minutes=order.received) for order in made]
    assert {moment.month for moment in moments} == {2}
    assert {moment.weekday() for moment in moments} == {0, 5}
    assert {moment.hour for moment in moments} == {8, 10}
    # The index is over the mean of the year: February bears all of it. 400 x 12 a week on four weeks.
    assert len(made) == pytest.approx(400 * 12 * 4, abs=3 * math.sqrt(400 * 12 * 4))
    late = sum(moment.hour == 10 for moment in moments)
    assert late == pytest.approx(0.75 * len(made), abs=3 * math.sqrt(0.75 * 0.25 * len(made)))


def test_a_forecast_with_a_start_keeps_still_before_it() -> None:
    made = orders(shop(forecast=forecast(starts=datetime.date(2026, 1, 15))))
    assert 10 * DAY <= made[0].received < 11 * DAY
    assert len(made) == pytest.approx(100 * 18 / 7, abs=3 * math.sqrt(100 * 18 / 7))


def test_day_levels_leave_the_mean_and_the_shape_of_a_day() -> None:
    flat = {"weekday_shares": [1.0] * 7, "month_index": [1.0] * 12, "evenly_spread": False, "orders_per_week": 700.0}
    calm, wild = (
        orders(shop(weeks=20, forecast=forecast(**flat, day_to_day_dispersion=level))) for level in (1.0, 20.0)
    )
    by_day = [np.bincount([int(order.received // DAY) for order in made], minlength=140) for made in (calm, wild)]
    assert by_day[0].var() / by_day[0].mean() == pytest.approx(1, abs=3 * math.sqrt(2 / 140))
    assert 12 < by_day[1].var() / by_day[1].mean() < 30
    assert by_day[1].mean() == pytest.approx(100, abs=3 * math.sqrt(20 * 100 / 140))


# -- what is in them --------------------------------------------------------------------------------------------------


def test_rush_lines_mix_pieces_and_sizes_come_from_streams_of_their_own() -> None:
    mix = [
        {"product": "banner", "share_pct": 60.0, "pieces": {"uniform": {"low": 0.0, "high": 4.0}}},
        {"product": "flag", "share_pct": 20.0, "pieces": 2.0},
    ]
    made = orders(shop(forecast=forecast(
        mix=mix, rush_pct=30.0, lines_per_order={"discrete": {"values": [1, 2, 3], "weights": [5, 3, 2]}},
        lead_days={"uniform": {"low": 1.0, "high": 9.0}},
    )))  # fmt: skip
    n = len(made)
    assert [order.rush for order in made] == (draw("orders/rush", n) < 0.3).tolist()
    counts = Discrete((1, 2, 3), (5, 3, 2)).sample(stream(9, 0, "orders/lines"), n).astype(int)
    assert [len(order.lines) for order in made] == counts.tolist()
    lines = [line for order in made for line in order.lines]
    products = (draw("lines/mix", len(lines)) * 80 >= 60).astype(int)
    assert [line.product for line in lines] == products.tolist()
    banners = [line for line in lines if line.product == 0]
    pieces = np.maximum(1, np.ceil(Uniform(0, 4).sample(stream(9, 0, "lines/pieces/0 banner"), len(banners))))
    assert [line.pieces for line in banners] == pieces.tolist()
    wide = draw("lines/0/size/banner", len(banners)) * 4 >= 3
    assert [line.width_m == 5.0 for line in banners] == wide.tolist()
    assert {(line.pieces, line.width_m, line.height_m) for line in lines if line.product == 1} == {(2, 0.0, 0.0)}


def test_rows_number_the_pieces_of_a_product_in_order_of_receipt() -> None:
    campaign = {"product": "banner", "per_month": 20.0, "pieces": [50, 60, 70]}
    made = orders(shop(forecast=forecast(campaigns=[campaign])))
    assert any(order.lines[0].pieces >= 50 for order in made)
    assert [order.received for order in made] == sorted(order.received for order in made)
    row = 0
    for order in made:
        for line in order.lines:
            assert line.first_row == row
            row += line.pieces


def test_campaigns_come_at_their_rate_as_one_line() -> None:
    campaign = {"product": "flag", "per_month": 30.0, "pieces": 40.0, "lead_days": 7.0}
    made = [o for o in orders(shop(weeks=52, forecast=forecast(campaigns=[campaign]))) if o.lines[0].pieces == 40]
    expected = 30 * 12 * 364 / 365.25
    assert len(made) == pytest.approx(expected, abs=3 * math.sqrt(expected))
    assert {(len(order.lines), order.rush, order.lines[0].product) for order in made} == {(1, False, 1)}


def test_sizes_of_a_range_are_areas_and_ratios_to_the_centimetre() -> None:
    sizes = SizeRange.model_validate({"area_m2": 6.0, "width_over_height": 1.5, "longest_side_m": 2.9})
    product = shop().products[0].model_copy(update={"sizes": (), "size_range": sizes})
    # 6 m2 at 3:2 is 3 x 2 m; the longer side is cut to 2.9 m.
    assert draw_sizes(product, 2, ReplicationDraws(9, 0), "x") == [(2.9, 2.0)] * 2


# -- artwork and cancellation -----------------------------------------------------------------------------------------


def test_repeats_wait_for_nothing_and_new_files_for_approval() -> None:
    art = {"new_file_pct": 60.0, "sent_back_pct": 50.0, "corrected_after_h": 5.0, "approval_after_h": 3.0}
    made = orders(shop(forecast=FORECAST, artwork=art))
    n = len(made)
    new, back = draw("orders/new file", n) < 0.6, draw("orders/sent back", n) < 0.5
    assert [order.repeat for order in made] == (~new).tolist()
    assert [order.artwork_min for order in made] == np.where(new, np.where(back, 480.0, 180.0), 0.0).tolist()
    assert all(order.check_min == 0 for order in made)


def test_the_artwork_check_takes_its_minutes() -> None:
    art = {"new_file_pct": 60.0, "check_at": "desk", "check_new_min": 8.0, "check_repeat_min": 2.0, "set_up_min": 6.0}
    made = orders(shop(forecast=FORECAST, artwork=art))
    assert {(order.repeat, order.check_min) for order in made} == {(True, 8.0), (False, 14.0)}


def test_changes_of_mind_come_early_or_late_or_never() -> None:
    rules = {"before_print_pct": 20.0, "after_print_pct": 10.0}
    made = orders(shop(forecast=FORECAST, cancellations=rules))
    n = len(made)
    chance, when = draw("orders/cancelled", n), draw("orders/cancelled when", n)
    for order, u, part in zip(made, chance, when, strict=True):
        share = (order.cancel_at - order.received) / (order.due - order.received)
        if u < 0.2:
            assert share == pytest.approx(part / 3)
        elif u < 0.3:
            assert share == pytest.approx(0.5 + part / 2)
        else:
            assert order.cancel_at == NEVER


# -- due dates --------------------------------------------------------------------------------------------------------

FRIDAY_CUT = 4 * DAY + 16.5 * 60


def maker(**changes: Any) -> OrderMaker:
    scenario = shop(**changes)
    return OrderMaker(scenario, (), ReplicationDraws(9, 0))


@pytest.mark.parametrize(
    ("minute", "lead", "due"),
    [
        (FRIDAY_CUT, 0, FRIDAY_CUT),
        (FRIDAY_CUT + 1, 0, FRIDAY_CUT + 3 * DAY),
        (FRIDAY_CUT - 1, 1, FRIDAY_CUT + 3 * DAY),
        (FRIDAY_CUT - 1, 1.4, FRIDAY_CUT + 3 * DAY),
        (FRIDAY_CUT - 1, 1.6, FRIDAY_CUT + 4 * DAY),
        (0.0, 5, FRIDAY_CUT + 3 * DAY),
    ],
)
def test_due_is_a_cut_off_so_many_working_days_on(minute: float, lead: float, due: float) -> None:
    assert maker().due_after(minute, lead) == due


def test_closed_days_are_no_working_days() -> None:
    closed = [{"first": MONDAY + datetime.timedelta(7), "last": MONDAY + datetime.timedelta(8)}]
    assert maker(closed=closed).due_after(FRIDAY_CUT, 1) == FRIDAY_CUT + 5 * DAY


def test_at_once_counts_every_day() -> None:
    assert maker(dispatch={"at_once": True}).due_after(FRIDAY_CUT, 1.5) == FRIDAY_CUT + 1.5 * DAY


def test_lead_time_runs_from_approval_or_from_receipt() -> None:
    art = {"new_file_pct": 100.0, "sent_back_pct": 0.0, "approval_after_h": 24.0}
    base = {"forecast": FORECAST, "artwork": art}
    late, early = orders(shop(**base)), orders(shop(**base, lead_from_approval=False))
    make = maker()
    for order, other in zip(late, early, strict=True):
        assert order.due == make.due_after(order.received + DAY, 3)
        assert other.due == make.due_after(order.received, 3)


def test_rush_orders_have_lead_times_of_their_own() -> None:
    leads = {"lead_days": {"uniform": {"low": 3.0, "high": 9.0}}, "rush_lead_days": {"uniform": {"low": 0, "high": 2}}}
    made = orders(shop(forecast=forecast(rush_pct=30.0, **leads)))
    n, make = len(made), maker()
    usual = Uniform(3, 9).sample(stream(9, 0, "orders/lead"), n).tolist()
    hurried = Uniform(0, 2).sample(stream(9, 0, "orders/rush lead"), n).tolist()
    assert {order.rush for order in made} == {True, False}
    for order, days, few in zip(made, usual, hurried, strict=True):
        assert order.due == make.due_after(order.received, few if order.rush else days)


def test_collections_are_on_their_weekdays_at_the_cut_off() -> None:
    times = collection_times(shop(weeks=1, dispatch={"days": ["tue", "sat"], "cut_off": "09:15"}))
    assert times[:3] == [DAY + 555, 5 * DAY + 555, 8 * DAY + 555]
    # Due dates reach beyond the horizon.
    assert times[-1] > 400 * DAY


# -- order books ------------------------------------------------------------------------------------------------------


def line(name: str, day: int, hour: int, due_day: int, **more: Any) -> OrderLine:
    moment = datetime.datetime.combine(MONDAY, datetime.time(hour)) + datetime.timedelta(days=day)
    return OrderLine(
        order_id=name, received=moment, due=MONDAY + datetime.timedelta(due_day), product="banner",
        **{"pieces": 2, "width_m": 2.0, "height_m": 1.0, **more},
    )  # fmt: skip


BOOK = {"order_book": {"file": "book.csv"}}


def test_lines_of_one_order_are_gathered_and_orders_sorted() -> None:
    approved = datetime.datetime(2026, 1, 7, 12)
    made = orders(shop(**BOOK), [
        line("B", 2, 9, 4, rush=True, approved=approved),
        line("A", 1, 8, 3, repeat=True),
        line("B", 2, 9, 4, pieces=5, rush=True),
    ])  # fmt: skip
    first, second = made
    assert (first.name, first.received, first.due) == ("A", DAY + 480, 3 * DAY + 990)
    assert (first.rush, first.repeat) == (False, True)
    assert (second.name, second.received, second.rush) == ("B", 2 * DAY + 540, True)
    assert second.approved == 2 * DAY + 720
    assert [(cell.pieces, cell.first_row) for cell in second.lines] == [(2, 2), (5, 4)]
    assert first.cancel_at == NEVER


def test_sizes_left_out_are_the_product_s_and_cancellation_is_as_booked() -> None:
    gone = datetime.datetime(2026, 1, 6, 7, 30)
    (order,) = orders(shop(**BOOK), [line("A", 0, 8, 3, width_m=None, height_m=None, cancelled=gone)])
    assert (order.lines[0].width_m, order.lines[0].height_m) == (2.0, 1.0)
    assert order.cancel_at == DAY + 450


def test_what_comes_at_or_after_the_horizon_is_left_out() -> None:
    made = orders(shop(weeks=1, **BOOK), [line("in", 6, 23, 9), line("out", 7, 0, 9)])
    assert [order.name for order in made] == ["in"]


def test_a_forecast_follows_the_book() -> None:
    demand = {**BOOK, "forecast": forecast(starts=datetime.date(2026, 1, 12))}
    made = orders(shop(**demand), [line("A", 0, 8, 3), line("B", 9, 8, 12)])
    assert made[0].name == "A"
    assert made[1].received >= 7 * DAY
    assert "B" in [order.name for order in made]
    assert made[1].lines[0].first_row == 2
