"""One run day by day on the page As we are: what is shown of which day, and that nothing is worked out twice."""

from __future__ import annotations

import datetime
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from app import day_view
from shopsim.answers import a_day
from shopsim.floor.record import RunLog
from shopsim.shop.shop_file import Shop
from tests.app.visit import answered, said, tiny, visit


@pytest.fixture
def runs(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """The replications that were simulated for the page, in turn."""
    asked: list[int] = []
    simulate = a_day.one_run

    def noted(shop: Shop, replication: int) -> RunLog:
        asked.append(replication)
        return simulate(shop, replication)

    for kept in (day_view._run, day_view._week, day_view._day):
        kept.clear()
    monkeypatch.setattr(a_day, "one_run", noted)
    return asked


def looked_closely(folder: Path) -> AppTest:
    at = answered(visit("as_we_are", tiny(folder)), "as_we_are")
    at.toggle(key="as_we_are.closely").set_value(True).run()
    assert not at.exception
    return at


def test_a_day_is_shown_as_it_was(tmp_path: Path, runs: list[int]) -> None:
    at = looked_closely(tmp_path)
    # Monday is the day on which people work most.
    assert at.date_input(key="as_we_are.day").value == datetime.date(2026, 1, 5)
    told = said(at)
    assert "Mon 05 Jan 2026. P1, 07:00 to 15:00: printing 2.2 h, " in told
    assert "Mon 05 Jan 2026, 07:00 to 14:50. The way through the shop: " in told
    # While A is packed, B is sewn; the operator has mounted the roll by then.
    assert "At the busiest moment 2 of 3 people are at work." in told


def test_another_day_and_another_run_are_chosen(tmp_path: Path, runs: list[int]) -> None:
    at = looked_closely(tmp_path)
    at.date_input(key="as_we_are.day").set_value(datetime.date(2026, 1, 6)).run()
    # D's flags that were left are sewn on Tuesday until 09:13 and packed until 10:53.
    assert "Tue 06 Jan 2026, 07:00 to 14:50. " in said(at)
    assert "Sewing table, 07:00 to 09:13: at work 2.2 h. Bench, 09:13 to 10:53: " in said(at)
    assert "Mon 05 Jan 2026, 07:00 to" not in said(at)
    at.date_input(key="as_we_are.day").set_value(datetime.date(2026, 1, 10)).run()
    assert "Nothing is recorded on Saturday, 10 January 2026: the shop is closed." in said(at)
    assert runs == [0]
    at.number_input(key="as_we_are.run_shown").set_value(2).run()
    assert runs == [0, 1]
    at.date_input(key="as_we_are.day").set_value(datetime.date(2026, 1, 6)).run()
    assert runs == [0, 1]


def test_nothing_is_drawn_twice(tmp_path: Path, runs: list[int], monkeypatch: pytest.MonkeyPatch) -> None:
    drawn: list[datetime.date] = []
    of_day = a_day.of_day
    monkeypatch.setattr(a_day, "of_day", lambda log, shop, day: drawn.append(day) or of_day(log, shop, day))
    at = looked_closely(tmp_path)
    at.run()
    at.run()
    assert drawn == [datetime.date(2026, 1, 5)]
