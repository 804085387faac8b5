"""Products compiled for the floor: minutes of each step, people, families, tables of random factors."""

from __future__ import annotations

import datetime
from typing import Any

import pytest

from shopsim.distributions import Exponential, Uniform
from shopsim.floor.record import KIND
from shopsim.floor.routes import ProductPlan
from shopsim.floor.run import Floor
from shopsim.shop.scenario_file import check_values
from shopsim.streams import stream

DAYS = ["mon", "tue", "wed", "thu", "fri"]


def plan(*route: dict[str, Any], size: tuple[float, float] = (2.0, 1.0), **centre: Any) -> ProductPlan:
    """The plan of a product with this route, all at one general place."""
    shop = {
        "shop": {"name": "one place", "starts": datetime.date(2026, 1, 5)},
        "fabrics": [{"id": "cloth", "family": "front_lit"}],
        "printers": [{"id": "press", "modes": [{"id": "fine", "passes": 4}]}],
        "work_centres": [{"id": "desk", "kind": "sewing", **centre}, {"id": "table", "kind": "inspection"}],
        "shifts": [{"id": "day", "weeks": [{"blocks": [{"days": DAYS, "hours": "08:00-16:00"}]}]}],
        "crews": [{"id": "all", "count": 2, "shift": "day",
                   "skills": {"sewing": 3, "printing": 3, "inspection": 3, "general": 3}}],
        "products": [{"id": "job", "fabric": "cloth", "route": list(route),
                      "sizes": [{"width_m": size[0], "height_m": size[1]}]}],
        "demand": {"forecast": {"orders_per_week": 1.0, "mix": [{"product": "job", "share_pct": 100.0}]}},
        "study": {"seed": 4},
    }  # fmt: skip
    return Floor(check_values(shop, "routes"), (), 0).plans[0]


WORK = {"op": "work", "at": "desk"}


def test_printing_is_no_step_of_the_plan() -> None:
    made = plan({"op": "print", "mode": "fine"}, {"op": "rest", "minutes": 5.0}, {"op": "inspect", "at": "table"})
    assert [step.kind for step in made.steps] == [KIND["rest"], KIND["inspect"]]
    assert made.print_step is not None
    assert made.steps[0].station is None
    assert made.steps[1].station is not None and made.steps[1].station.name == "table"


def test_fixed_minutes_are_by_the_piece_and_set_up_by_the_bundle() -> None:
    made = plan({**WORK, "minutes": 4.0}, set_up_min=3.0)
    ((base, people),) = made.facts(2.0, 1.0).steps
    assert (base, people) == (4.0, 1)
    assert made.steps[0].minutes(base, [0], 0) == 3 + 4
    assert made.steps[0].minutes(base, [7, 8, 9], 0) == 3 + 3 * 4
    # Nothing about it depends on the attempt or on which pieces they are.
    assert made.steps[0].minutes(base, [2, 5, 99], 3) == 3 + 3 * 4


def test_given_minutes_are_drawn_by_the_piece_and_attempt() -> None:
    made = plan({**WORK, "minutes": {"exponential": {"mean": 9.0}}})
    ((base, _),) = made.facts(2.0, 1.0).steps
    assert base == 1.0
    for attempt in (0, 1, 2):
        drawn = Exponential(9.0).sample(stream(4, 0, f"work/job/0 work/attempt {attempt}"), 50)
        assert made.steps[0].minutes(base, [5, 6, 7], attempt) == pytest.approx(drawn[5:8].sum(), rel=1e-12)
        # With holes between the pieces each row is looked up on its own.
        assert made.steps[0].minutes(base, [5, 9, 30], attempt) == pytest.approx(drawn[[5, 9, 30]].sum(), rel=1e-12)


def test_a_spread_multiplies_standard_minutes() -> None:
    """Sewing 2 x 1 m in 1.0 allowance: the factor of each piece is a row; the base is its standard minutes."""
    sew = {"op": "sew", "at": "desk", "all_edges": "hem"}
    steady, spread = plan(sew), plan(sew, spread={"uniform": {"low": 0.5, "high": 1.5}})
    ((standard, _),), ((base, _),) = steady.facts(2.0, 1.0).steps, spread.facts(2.0, 1.0).steps
    assert base == standard > 0
    factors = Uniform(0.5, 1.5).sample(stream(4, 0, "work/job/0 sew/attempt 0"), 10)
    assert spread.steps[0].minutes(base, [3, 4], 0) == pytest.approx(standard * factors[3:5].sum(), rel=1e-12)
    assert steady.steps[0].minutes(standard, [3, 4], 0) == 2 * standard


def test_a_fixed_spread_and_an_allowance_are_in_the_base() -> None:
    sew = {"op": "sew", "at": "desk", "all_edges": "hem"}
    ((standard, _),) = plan(sew).facts(2.0, 1.0).steps
    ((longer, _),) = plan(sew, spread=1.2, allowance_pct=10.0).facts(2.0, 1.0).steps
    assert longer == pytest.approx(standard * 1.2 * 1.1, rel=1e-12)


def test_pieces_spared_a_step_take_no_minutes_and_no_set_up() -> None:
    """Ironing a quarter of all pieces: rows below 0.25 of the stream, one uniform number a row in blocks of 512."""
    made = plan({"op": "iron", "at": "desk", "share_pct": 25.0, "minutes": 6.0}, set_up_min=2.0)
    ((base, _),) = made.facts(2.0, 1.0).steps
    chosen = stream(4, 0, "work/job/0 iron/attempt 0").random(512) < 0.25
    for piece in range(100):
        assert made.steps[0].minutes(base, [piece], 0) == (6 * 1 + 2 if chosen[piece] else 0)
    assert made.steps[0].minutes(base, list(range(100)), 0) == pytest.approx(6 * chosen[:100].sum() + 2)


def test_work_of_no_minutes_still_is_a_step() -> None:
    made = plan({**WORK, "minutes": 0.0}, set_up_min=2.0)
    assert made.steps[0].minutes(0.0, [0, 1], 0) == 2


def test_a_drawn_set_up_belongs_to_the_first_piece_of_the_bundle() -> None:
    made = plan({**WORK, "minutes": 4.0}, set_up_min={"exponential": {"mean": 3.0}})
    drawn = Exponential(3.0).sample(stream(4, 0, "work/job/0 work/set-up/attempt 1"), 10)
    assert made.steps[0].minutes(4.0, [6, 7], 1) == pytest.approx(2 * 4 + drawn[6], rel=1e-12)


@pytest.mark.parametrize(("size", "people"), [((2.0, 1.0), 1), ((3.0, 1.0), 1), ((3.01, 1.0), 2), ((2.5, 2.5), 2)])
def test_large_pieces_take_two_people(size: tuple[float, float], people: int) -> None:
    made = plan({**WORK, "minutes": 4.0}, second_person_above_m=3.0, second_person_above_m2=6.0, size=size)
    assert made.facts(*size).steps == [(4.0, people)]


def test_facts_of_a_size_are_worked_out_once() -> None:
    made = plan({**WORK, "minutes": 4.0})
    assert made.facts(2.0, 1.0) is made.facts(2.0, 1.0)
    assert made.facts(2.0, 1.0) is not made.facts(1.0, 2.0)


def test_the_web_a_piece_takes() -> None:
    """1.2 x 1 m: 12 mm on each side, 0.5 % and 0.8 % of shrinkage; two fit side by side on 3.1 m."""
    made = plan({"op": "print", "mode": "fine"}, size=(1.2, 1.0))
    facts = made.facts(1.2, 1.0)
    across_m, along_m = 1.224 / 0.995, 1.024 / 0.992
    assert facts.web.sizes == (pytest.approx((across_m, along_m)),)
    assert facts.web_m_each == pytest.approx(along_m / 2)
    assert facts.longest_m == pytest.approx(along_m)
    # The fabric may not be turned.
    assert facts.narrowest_m == pytest.approx(across_m)


def test_families_are_edges_products_or_the_printed_run() -> None:
    sew = {"op": "sew", "at": "desk"}
    made = plan(
        {**sew, "all_edges": "hem"},
        {**sew, "edges": {"top": "hem", "left": "hem"}},
        {**sew, "edges": {"top": "hem", "left": "keder"}},
        {**sew, "edges": {"left": "keder", "right": "hem"}},
        {"op": "inspect", "at": "table"},
    )
    hem, half_hem, both, again, inspect = (step.family for step in made.steps)
    assert hem == half_hem != both == again
    assert inspect == 0
