"""A grid of hours and days to paint a shift on: findings at once, then into the shop or kept to compare."""

from __future__ import annotations

import datetime
from collections import Counter

import pandas as pd
import streamlit as st
from pydantic import ValidationError

from app import edits, state
from app.keep_pattern import keep_pattern, next_shift
from app.pattern_report import report_pattern
from app.say import picture, plain
from shopsim.pictures.shift_week import shift_week, shift_week_in_words
from shopsim.pictures.text import listed
from shopsim.shop.names import in_words
from shopsim.shop.people import Crew, Shift
from shopsim.shop.shift_grid import (
    Grid,
    Paint,
    finer,
    grid_of,
    hours_of_day,
    painted,
    with_week,
    without_week,
)

_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_WORKDAYS = 5
_PAINTS: dict[Paint, str] = {
    "work": "Work", "break": "Break", "off": "Off", "new shift": "A new shift begins",
}  # fmt: skip


def paint_shift() -> None:
    """Choose a shift, paint it, see what follows."""
    shifts = _shifts()
    if not shifts:
        st.info("No shift has weeks to paint; mend the list of shifts below.", icon=":material/info:")
        return
    names = {place: shift.name or shift.id for place, shift in shifts.items()}
    fresh = next_shift()
    if fresh in shifts:
        st.session_state["paint.shift"] = fresh
    with st.container(horizontal=True, vertical_alignment="bottom"):
        place = st.selectbox("Shift", list(shifts), key="paint.shift", format_func=lambda at: names[at], width=360)
        shift = shifts[place]
        crews = _crews(shift.id)
        some = _some_of(crews, f"paint.crews.{place}")
    st.caption(_for_whom(crews, some))
    key = f"paint.grid.{state.required().id}.{place}"
    grid = _working_grid(key, shift)
    week = _week_row(key, grid)
    table = pd.DataFrame([(day, grid.day(week, at), grid.cell_min) for at, day in enumerate(_DAYS)],
                         columns=["day", "signs", "cell_min"])  # fmt: skip
    picture(shift_week(table), shift_week_in_words(table), key="paint.picture")
    _begin_with_its_hours(f"{key}.{week}", grid, week)
    _brush(key, grid, week)
    made = report_pattern(shift, grid, some or crews)
    if made:
        keep_pattern(key, place, shift, grid, some)


def _crews(shift: str) -> list[Crew]:
    """The sound crews of a shift."""
    found = []
    for written in edits.current().values.get("crews") or []:
        try:
            crew = Crew.model_validate(written)
        except ValidationError:
            continue
        if crew.shift == shift and crew.count:
            found.append(crew)
    return found


def _some_of(crews: list[Crew], key: str) -> list[Crew]:
    """The crews that the hours are painted for, as chosen; none where it is all of them."""
    if len(crews) < 2:
        return []
    sharing = Counter(map(_called, crews))
    called = {each.id: _called(each) if sharing[_called(each)] == 1 else f"{_called(each)} ({each.id})"
              for each in crews}  # fmt: skip
    # Whoever has another shift by now is no longer to choose from.
    st.session_state[key] = [crew for crew in st.session_state.get(key, []) if crew in called]
    chosen = st.multiselect("For which crews", list(called), key=key, format_func=called.__getitem__, width=420,
                            placeholder="All who work it")  # fmt: skip
    return [crew for crew in crews if crew.id in chosen] if len(chosen) < len(crews) else []


def _for_whom(crews: list[Crew], some: list[Crew]) -> str:
    if not some:
        return f"Worked by: {plain(', '.join(map(_called, crews)) or 'nobody yet')}"
    own, others = (plain(listed(map(_called, who))) for who in (some, [crew for crew in crews if crew not in some]))
    return f"A shift of their own for {own}, like this one with the hours painted. It stays as it is for {others}."


def _called(crew: Crew) -> str:
    return crew.name or in_words(crew.id)


def _shifts() -> dict[int, Shift]:
    """The sound shifts with weeks, by their place in the file."""
    found = {}
    for place, written in enumerate(edits.current().values.get("shifts") or []):
        try:
            shift = Shift.model_validate(written)
        except ValidationError:
            continue
        if shift.weeks:
            found[place] = shift
    return found


def _working_grid(key: str, shift: Shift) -> Grid:
    """The grid being painted; the shift's own as long as nothing is painted, and after the file has changed."""
    kept = st.session_state.get(key)
    if kept is None or kept["of"] != shift:
        kept = st.session_state[key] = {"of": shift, "grid": grid_of(shift)}
    grid: Grid = kept["grid"]
    return grid


def _put(key: str, grid: Grid) -> None:
    st.session_state[key] = {**st.session_state[key], "grid": grid}


def _week_row(key: str, grid: Grid) -> int:
    with st.container(horizontal=True, vertical_alignment="bottom"):
        week = 0
        if st.session_state.get("paint.week", 0) >= grid.weeks:
            st.session_state.pop("paint.week")
        if grid.weeks > 1:
            week = st.radio("Week of the rotation", range(grid.weeks), horizontal=True, key="paint.week",
                            format_func=lambda at: str(at + 1))  # fmt: skip
        st.button(
            "Add a week like this",
            icon=":material/add:",
            key="paint.more",
            on_click=lambda: _put(key, with_week(grid, week)),
        )
        if grid.weeks > 1:
            st.button("Take this week out", icon=":material/delete:",
                      on_click=lambda: _put(key, without_week(grid, week)))  # fmt: skip
    return int(week)


def _begin_with_its_hours(of: str, grid: Grid, week: int) -> None:
    """Whoever comes to a shift, or to another week of it, finds its own hours to start from."""
    if st.session_state.get("paint.of") == of:
        return
    st.session_state["paint.of"] = of
    try:
        hours = hours_of_day(grid, week)
    except ValueError:
        hours = None
    if hours is not None:
        for name, minute in zip(("paint.from", "paint.to"), hours, strict=True):
            st.session_state[name] = datetime.time(*divmod(minute, 60))


def _brush(key: str, grid: Grid, week: int) -> None:
    what = st.radio("Paint", list(_PAINTS), horizontal=True, key="paint.what", format_func=lambda each: _PAINTS[each])
    keep = st.checkbox("Breaks stay where work is painted over them", True, key="paint.keep_breaks",
                       disabled=what != "work")  # fmt: skip
    with st.container(horizontal=True):
        days = [at for at, day in enumerate(_DAYS) if st.checkbox(day[:3], at < _WORKDAYS, key=f"paint.day.{at}")]
    with st.container(horizontal=True, vertical_alignment="bottom"):
        start = st.time_input("From", None, step=300, key="paint.from", width=140)
        end = st.time_input("To", None, step=300, key="paint.to", width=140,
                            disabled=what == "new shift", help="At or before the start: the next day.")  # fmt: skip
        complete = days and start is not None and (end is not None or what == "new shift")
        if st.button("Paint", type="primary", key="paint.go", disabled=not complete):
            _paint(key, grid, week, days, (_minute(start), _minute(end)), what, keep)
        if st.button("Back to the file", key="paint.back", icon=":material/restart_alt:"):
            st.session_state.pop(key)
            st.rerun()


def _paint(key: str, grid: Grid, week: int, days: list[int], hours: tuple[int, int], what: Paint,
           keep_breaks: bool) -> None:  # fmt: skip
    used = hours[:1] if what == "new shift" else hours
    for cell_min in (30, 15, 5):
        if cell_min <= grid.cell_min and all(minute % cell_min == 0 for minute in used):
            grid = finer(grid, cell_min)
            break
    _put(key, painted(grid, week, days, hours[0], hours[1] if what != "new shift" else hours[0], what, keep_breaks))
    st.rerun()


def _minute(time: datetime.time | None) -> int:
    return 0 if time is None else time.hour * 60 + time.minute
