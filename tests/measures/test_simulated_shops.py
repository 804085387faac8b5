"""Books and measures of simulated shops: twenty varied ones, each with its own seed."""

import datetime
from functools import cache
from typing import Any

import numpy as np
import pytest

from shopsim.floor.record import RunLog
from shopsim.floor.run import simulate
from shopsim.measures.audit import audit
from shopsim.measures.bottleneck import constraint_shares
from shopsim.measures.costs import costs_of
from shopsim.measures.intervals import Window
from shopsim.measures.kpis import measures_of
from shopsim.measures.spans import BUSY, IDLE, person_spans, seat_spans
from shopsim.measures.summaries import web_table
from shopsim.measures.time_split import time_split
from shopsim.measures.why_late import REASONS, order_story, reasons_by_place, why_late
from shopsim.shop.scenario import Scenario

WORKDAYS = ["mon", "tue", "wed", "thu", "fri"]
SHOPS = range(20)
Values = dict[str, Any]


def week(hours: str, breaks: list[str]) -> Values:
    return {"blocks": [{"days": WORKDAYS, "hours": hours, "breaks": breaks}]}


DAY = week("07:00-15:30", ["12:00-12:30"])
EARLY, LATE = week("06:00-14:00", ["10:00-10:30"]), week("14:00-22:00", ["18:00-18:30"])
NIGHT = week("22:00-06:00", ["02:00-02:30"])


def pick(rng: np.random.Generator, *choices: Any) -> Any:
    return choices[int(rng.integers(len(choices)))]


def edges(rng: np.random.Generator, at: str) -> Values:
    return {"op": "sew", "at": at, "all_edges": pick(rng, "hem", "silicone_hand")}


@cache
def shop(seed: int) -> tuple[Scenario, RunLog]:
    """A shop of two fabrics, one to three printers and five places, with every rule switched on now and then."""
    rng = np.random.default_rng(seed)
    offline = bool(rng.random() < 0.3)
    fixation = {"kind": "offline", "calender": "drum"} if offline else {"kind": "inline"}
    after_print = [{"op": "rest", "minutes": 45}] if rng.random() < 0.3 else []
    scenario = Scenario.model_validate({
        "shop": {"name": "varied", "starts": datetime.date(2026, 1, 5)},
        "fabrics": [{"id": "cloth", "family": "front_lit", "stock": pick(rng, {}, {"rolls": 3, "reorder_at_rolls": 1})},
                    {"id": "knit", "family": "flag_knit"}],
        "printers": [
            {"id": f"p{i}", "modes": [{"id": "prod", "passes": 4}], "fixation": fixation,
             "unattended_running": bool(rng.random() < 0.3), "hot_overnight": bool(rng.random() < 0.3)}
            for i in range(int(rng.integers(1, 4)))
        ],
        "calenders": [{"id": "drum", "people": 1}] * offline,
        "work_centres": [
            {"id": "cutting", "kind": "cutting", "seats": 1, "method": "flatbed_knife", "change_over_min": 8,
             "stops": pick(rng, None, {"every_running_h": 10, "repair_at": pick(rng, None, "cutting")})},
            {"id": "sewing", "kind": "sewing", "seats": int(rng.integers(1, 5)), "spread": [0.8, 0.95, 1.25],
             "second_person_above_m": pick(rng, None, 2.5), "running_kw": 0.4},
            {"id": "look", "kind": "inspection", "seats": 1},
            {"id": "desk", "kind": "packing", "seats": 2},
        ],
        "shifts": [{"id": "day", "weeks": [DAY], "handover_min": 5, "premium_pct": 5},
                   {"id": "turns", "weeks": pick(rng, [EARLY, LATE], [NIGHT, EARLY, LATE])}],
        "crews": [
            {"id": "ops", "skills": {"printing": 3, "cutting": 2}, "shift": pick(rng, "day", "turns"), "count": 2,
             "absence": pick(rng, None, {})},
            {"id": "sewers", "skills": {"sewing": 3}, "shift": "day", "count": int(rng.integers(1, 5)),
             "efficiency_pct": 85, "absence": {"new_spell_pct_per_day": 5},
             "at_shift_end": pick(rng, "hand_over", "keep")},
            {"id": "hands", "skills": {"packing": 3, "inspection": 3, "cutting": 3, "helper": 3}, "shift": "day",
             "count": 3},
        ],
        "products": [
            {"id": "frame", "fabric": "cloth", "one_lot": bool(rng.random() < 0.5),
             "sizes": [{"width_m": 2, "height_m": 2}, {"width_m": 3, "height_m": 2.5}],
             "route": [{"op": "print", "mode": "prod"}, *after_print, {"op": "cut", "at": "cutting"},
                       edges(rng, "sewing"), {"op": "inspect", "at": "look"}, {"op": "pack", "at": "desk"}]},
            {"id": "flag", "fabric": "knit", "sizes": [{"width_m": 1.2, "height_m": 3}],
             "route": [{"op": "print", "mode": "prod"}, {"op": "cut", "at": "cutting"}, edges(rng, "sewing"),
                       {"op": "pack", "at": "desk"}]},
            {"id": "repair", "route": [{"op": "work", "at": "sewing", "minutes": [5, 20, 60]}]},
        ],
        "demand": {
            "forecast": {"orders_per_week": float(rng.integers(20, 90)), "lead_days": pick(rng, 2, [3, 5, 8]),
                         "mix": [{"product": "frame", "share_pct": 60}, {"product": "flag", "share_pct": 30},
                                 {"product": "repair", "share_pct": 10}]},
            "artwork": pick(rng, None, {"check_at": "desk"}),
            "cancellations": {"before_print_pct": 5, "after_print_pct": 3},
            "hire_fleets": pick(rng, [], [{"product": "repair", "pieces": 3, "out_h": 60}]),
        },
        "policies": {
            "printing": {"gang_min_web_m": pick(rng, 0, 8), "gang_longest_wait_h": 4,
                         "roll_change": pick(rng, "full", "join")},
            "overtime": [{"crews": ["sewers"], "when_queue_h": pick(rng, 2, 1000)}],
            "bought_in": pick(rng, [], [{"at": "sewing", "when_queue_h": 6}]),
            "bought_in_print": pick(rng, None, {"when_queue_h": 6}),
            "dispatch": {"order_check_at": pick(rng, None, "desk"), "at_once": bool(rng.random() < 0.2)},
        },
        "money": {"late_penalty_pct": 5, "late_penalty_pct_per_day": 1, "rent_per_m2_month": 8, "other_floor_m2": 200},
        "study": {"weeks": 5, "warm_up_weeks": 1, "seed": seed},
    })  # fmt: skip
    return scenario, simulate(scenario)


@pytest.mark.parametrize("seed", SHOPS)
def test_the_books_balance(seed: int) -> None:
    scenario, log = shop(seed)
    assert audit(log, scenario) == []


@pytest.mark.parametrize("seed", SHOPS)
def test_lead_times_are_split_exactly(seed: int) -> None:
    scenario, log = shop(seed)
    table = why_late(log, scenario)
    assert len(table) > 20
    assert np.abs(table[list(REASONS)].sum(axis=1) - table["lead_min"]).max() < 1e-6
    measures = measures_of(log, scenario)
    assert reasons_by_place(log, scenario)["mean_h"].sum() == pytest.approx(measures["lead_time_mean_h"])
    has_rest = any(step.op == "rest" for product in scenario.products for step in product.route)
    if not has_rest and not scenario.calenders:
        assert table["drying"].max() < 1e-6


@pytest.mark.parametrize("seed", SHOPS)
def test_each_order_s_stretches_touch(seed: int) -> None:
    scenario, log = shop(seed)
    table = why_late(log, scenario)
    for order, received, dispatched in (
        table[["order", "received", "dispatched"]].sample(20, random_state=seed).to_numpy()
    ):
        story = order_story(log, scenario, int(order))
        edges_min = [received, *(stretch.end_min for stretch in story)]
        assert [stretch.start_min for stretch in story] == pytest.approx(edges_min[:-1], abs=1e-6)
        assert edges_min[-1] == pytest.approx(dispatched, abs=1e-6)


@pytest.mark.parametrize("seed", SHOPS)
def test_measures_agree_with_the_spans(seed: int) -> None:
    """What the row of measures adds up the short way, spans and tables give the long way."""
    scenario, log = shop(seed)
    measures, window = measures_of(log, scenario), Window(log.warm_up_min, log.horizon_min)
    people, seats = person_spans(log, scenario), seat_spans(log, scenario)
    split = time_split(log, scenario).set_index(["kind", "id", "state"])["minutes"]
    for i, crew in enumerate(log.crews):
        mine = np.array([person.crew for person in log.people])[people.person] == i
        minutes = window.clipped(people.start, people.end)
        worked = minutes[mine & (people.state < IDLE)].sum()
        there = worked + minutes[mine & (people.state == IDLE)].sum()
        assert measures[f"busy_share.{crew}"] == pytest.approx(worked / there)
    for i, place in enumerate(log.places[:-1]):
        minutes = window.clipped(seats.start, seats.end)[seats.place == i]
        busy = minutes[seats.state[seats.place == i] == BUSY].sum()
        assert split.get(("place", place, "busy"), 0.0) == pytest.approx(busy)
    overtime = window.clipped(people.start, people.end)[people.overtime].sum() / 60 / window.weeks
    assert measures["overtime_h_per_week"] == pytest.approx(overtime)
    web = web_table(log, scenario)
    waste = 1 - web.loc[web["cause"] == "pieces", "m2"].sum() / web["m2"].sum()
    assert measures["fabric_waste_share"] == pytest.approx(waste)


@pytest.mark.parametrize("seed", SHOPS)
def test_shares_are_shares(seed: int) -> None:
    scenario, log = shop(seed)
    for name, value in measures_of(log, scenario).items():
        if name.partition(".")[0].endswith("_share") or name.startswith("first_pass"):
            assert 0 <= value <= 1 + 1e-9 or np.isnan(value), name
    found = constraint_shares(log, scenario)
    assert 0 < sum(found.sole.values()) <= 1 + 1e-9
    assert all(0 <= share <= 1 + 1e-9 for share in found.total.values())


@pytest.mark.parametrize("seed", SHOPS)
def test_money_of_two_halves_is_money_of_the_whole(seed: int) -> None:
    scenario, log = shop(seed)
    middle = log.warm_up_min + 12345.0
    whole = costs_of(log, scenario)
    halves = [costs_of(log, scenario, Window(*part)) for part in ((log.warm_up_min, middle), (middle, log.horizon_min))]
    assert {name: halves[0][name] + halves[1][name] for name in whole} == pytest.approx(whole)
