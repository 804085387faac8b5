"""Pieces on hire come back for work again and again: what a fleet asks for on paper, and how it is told."""

from __future__ import annotations

import pytest

from shopsim.report.flow import IN, flow_of
from shopsim.report.logic_words import arrivals
from shopsim.shop.rough_demand import arrivals as arrivals_on_paper
from tests.shop.reviewed import calm, ids, reviewed
from tests.stories.shops import product, step

FLEET = {"product": "banner", "pieces": 40, "out_h": 24, "lead_days": 2}


def test_a_fleet_comes_back_as_often_as_its_rounds_allow() -> None:
    # A round is 24 h out and 2 days until it is due again: 168 / 72 rounds a week of 40 pieces.
    scenario = calm(demand={"hire_fleets": [FLEET]}, study={"weeks": 2})
    flows = [flow for flow in arrivals_on_paper(scenario, ()).flows if flow.product.id == "banner"]
    assert [pytest.approx(40 * 168 / 72)] * 2 == [float(each) for flow in flows for each in flow.pieces]


def test_a_fleet_whose_date_is_too_early_is_found() -> None:
    assert ids(reviewed(calm(demand={"hire_fleets": [FLEET]}))) == []
    # 15 h of work a piece, asked for on the day it comes back.
    long = product("job", step("work", "bench", 900), price_per_piece=20)
    at_once = {**FLEET, "product": "job", "pieces": 1, "lead_days": 0, "out_h": 240}
    found = reviewed(calm(products=[long], printers=[], demand={"hire_fleets": [at_once]}))
    assert [(each.id, each.where, each.found) for each in found] == [
        ("promise_impossible", "promises of hire for job", ("job, 1 piece, promised in 0 working days on average: an "
         "empty shop needs 1 at best, 1.2 on average over the hours of receipt; 100 % would leave late"))
    ]  # fmt: skip


def test_a_fleet_is_told_in_a_report() -> None:
    scenario = calm(demand={"hire_fleets": [FLEET]})
    assert list(arrivals(scenario))[-1] == "40 pieces of banner are out on hire and come back after always 24 h."
    assert flow_of(scenario).places[IN].does == ["40 pieces on hire"]
