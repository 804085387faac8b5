"""Who is away and what is down this morning: what an order book does not tell."""

from __future__ import annotations

import datetime
from collections.abc import Iterable
from typing import Any

import streamlit as st

from app import state
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_model import AbsentToday, PrinterToday, SeatsDown, Today
from shopsim.shop.work_centres import WorkCentre

_NOON = datetime.time(12)


def missing_and_down(page: str, scenario: Scenario, now: datetime.datetime) -> Today:
    """A morning without orders, as it is entered; what was entered before is offered as far as it is to come."""
    entered = state.entered(page)
    away, down = entered.get("away", {}), entered.get("down", {})
    with st.expander("Who is away, what is down", icon=":material/person_off:"):
        crews = _chosen(f"{page}.away", "Crews with people away", scenario.crews, away)
        absent = tuple(_away(page, crew, now, *away.get(crew.id, (1, None))) for crew in crews)
        machines = [*scenario.printers, *scenario.work_centres]
        chosen = _chosen(f"{page}.down", "Printers and places with machines down", machines, down)
        stopped = [_down(page, each, now, *down.get(each.id, (1, None))) for each in chosen]
    printers = tuple(each for each in stopped if isinstance(each, PrinterToday))
    seats = tuple(each for each in stopped if isinstance(each, SeatsDown))
    state.keep_entered(
        page, away={each.crew: (each.people, each.back and each.back.isoformat()) for each in absent},
        down={each.printer: (1, str(each.down_until)) for each in printers}
        | {each.place: (each.seats, str(each.until)) for each in seats},
    )  # fmt: skip
    return Today(now=now, absent=absent, printers=printers, down=seats)


def _chosen(key: str, label: str, parts: Iterable[Any], before: Iterable[str]) -> list[Any]:
    """Some of the shop's parts."""
    known = {part.id: part for part in parts}
    chosen = st.multiselect(
        label, list(known), [name for name in before if name in known], key=key,
        format_func=lambda name: known[name].name or name,
    )  # fmt: skip
    return [known[name] for name in chosen]


def _away(page: str, crew: Any, now: datetime.datetime, people: int, back: str | None) -> AbsentToday:
    one, two = st.columns(2)
    first = now.date() + datetime.timedelta(days=1)
    count = one.number_input(
        f"{crew.name or crew.id}: people away", 1, crew.count, min(people, crew.count), key=f"{page}.away.{crew.id}"
    )
    day = two.date_input(
        "Back on", max(datetime.date.fromisoformat(back), first) if back else None, min_value=first,
        key=f"{page}.back.{crew.id}", help="Their first day at work; leave empty where nobody knows.",
    )  # fmt: skip
    return AbsentToday(crew=crew.id, people=count, back=day)


def _down(page: str, part: Any, now: datetime.datetime, seats: int, until: str | None) -> PrinterToday | SeatsDown:
    one, two, three = st.columns(3)
    most = part.seats if isinstance(part, WorkCentre) else 1
    at = datetime.datetime.fromisoformat(until) if until else datetime.datetime.combine(now.date(), _NOON)
    at = max(at, now)
    count = one.number_input(f"{part.name or part.id}: machines down", 1, most, min(seats, most),
                             key=f"{page}.seats.{part.id}", disabled=most == 1)  # fmt: skip
    day = two.date_input("Down until", at.date(), min_value=now.date(), key=f"{page}.until.{part.id}")
    clock = three.time_input("at", at.time(), key=f"{page}.until_at.{part.id}")
    end = datetime.datetime.combine(day, clock)
    if isinstance(part, WorkCentre):
        return SeatsDown(place=part.id, seats=count, until=end)
    return PrinterToday(printer=part.id, down_until=end)
