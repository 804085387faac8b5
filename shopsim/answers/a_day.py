"""One run looked at closely, as pictures: how the week goes, and one day on the floor."""

from __future__ import annotations

import datetime
from collections.abc import Iterator

from shopsim.answers.drawn import Drawn, drawn
from shopsim.clock import MINUTES_PER_DAY
from shopsim.floor.record import RunLog
from shopsim.sentences.words import spoken
from shopsim.shop.names import names_in
from shopsim.shop.shop_file import Shop
from shopsim.studies.replication import one_log

_HOUR_MIN = 60


def one_run(shop: Shop, replication: int) -> RunLog:
    """The records of a replication. Raises AuditError if its books do not balance."""
    return one_log(shop.scenario, shop.order_lines, replication)


def days_of(log: RunLog, shop: Shop) -> tuple[datetime.date, datetime.date]:
    """The first and the last day that can be looked at."""
    first = shop.scenario.shop.starts + datetime.timedelta(minutes=log.warm_up_min)
    last = shop.scenario.shop.starts + datetime.timedelta(minutes=shop.scenario.horizon_min - 1)
    return first, last


def busiest_day(log: RunLog, shop: Shop) -> datetime.date:
    """The day, of those that can be looked at, on which people worked most; the first of several."""
    from shopsim.measures.day_bars import worked_by_day

    first, last = days_of(log, shop)
    worked = worked_by_day(log, shop.scenario)[(first - shop.scenario.shop.starts).days :]
    return min(last, first + datetime.timedelta(days=int(worked.argmax())))


def of_week(log: RunLog, shop: Shop) -> Iterator[Drawn]:
    """Queues by hour of the week, and what holds the shop back by weekday."""
    from shopsim.measures.by_hour import constraint_by_weekday, waiting_by_hour
    from shopsim.pictures.constraint import constraint_by_weekday as held_back
    from shopsim.pictures.constraint import constraint_by_weekday_in_words as held_back_in_words
    from shopsim.pictures.queue_by_hour import queue_by_hour, queue_by_hour_in_words

    queues = waiting_by_hour(log, shop.scenario)
    queues["place"] = names_in(shop.scenario, queues["place"])
    yield drawn("queues", queue_by_hour(queues), queue_by_hour_in_words(queues))
    held = constraint_by_weekday(log, shop.scenario)
    held["id"] = [spoken(shop.scenario, name) for name in held["id"]]
    yield drawn("constraint", held_back(held), held_back_in_words(held))


def of_day(log: RunLog, shop: Shop, day: datetime.date) -> Iterator[Drawn]:
    """Printers, places and people hour by hour, and a plan of the floor that replays the hours in which anybody is
    there or a printer is on; nothing of a day on which the shop is closed."""
    from shopsim.measures.day_bars import day_bars
    from shopsim.measures.plan_view import plan_view as plan_tables
    from shopsim.pictures.gantt import gantt, gantt_in_words
    from shopsim.pictures.plan_view import plan_view, plan_view_in_words

    starts = shop.scenario.shop.starts
    begins = float((day - starts).days * MINUTES_PER_DAY)
    bars = day_bars(log, shop.scenario, begins, begins + MINUTES_PER_DAY)
    # Work put aside keeps its seat all night, when nothing is going on.
    there = bars[bars["kind"] != "place"]
    if there.empty:
        return
    first = float(there["start_min"].min() // _HOUR_MIN * _HOUR_MIN)
    last = float(-(-there["end_min"].max() // _HOUR_MIN) * _HOUR_MIN)
    bars = day_bars(log, shop.scenario, first, last)
    # People have names of their own in the records.
    parts = bars["kind"] != "person"
    bars.loc[parts, "row"] = names_in(shop.scenario, bars.loc[parts, "row"])
    for kind in ("printer", "place", "person"):
        if (bars["kind"] == kind).any():
            yield drawn(f"{kind}s", gantt(bars, kind, starts, (first, last)), gantt_in_words(bars, kind, starts))
    plan = plan_tables(log, shop.scenario, first, last)
    for table in (plan.places, plan.moments, plan.people):
        table["place"] = names_in(shop.scenario, table["place"])
    yield drawn("plan", plan_view(*plan, starts), plan_view_in_words(*plan, starts))
