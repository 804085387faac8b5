"""Queue rules and the lines they order, told with tasks that carry nothing but what a rule looks at."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import pytest

from shopsim.floor.rules import (
    LANE_NORMAL,
    LANE_REPRINT,
    LANE_ROUNDS,
    LANE_RUSH,
    LANE_STOPPED,
    RULES,
    RankedQueue,
    SetUpQueue,
)


def task(name: str, number: int, **cells: Any) -> Any:
    """A task that came as the `number`th."""
    cells = {"lane": LANE_NORMAL, "ready": float(number), "due": 100.0, "minutes": 5.0, "family": 0, **cells}
    return SimpleNamespace(name=name, number=number, **cells)


def served(queue: RankedQueue, *tasks: Any, families: object = None) -> str:
    """The names in the order in which the queue gives them out."""
    for each in tasks:
        queue.push(each)
    return "".join(queue.pop(families).name for _ in range(len(queue)))


THREE = (
    task("a", 1, ready=10.0, due=50.0, minutes=8.0),
    task("b", 2, ready=20.0, due=30.0, minutes=2.0),
    task("c", 3, ready=15.0, due=40.0, minutes=9.0),
)


@pytest.mark.parametrize(
    ("rule", "order"),
    [("first_come", "acb"), ("due_date", "bca"), ("shortest", "bac"), ("longest", "cab"), ("same_set_up", "acb")],
)
@pytest.mark.parametrize("kind", [RankedQueue, SetUpQueue])
def test_a_rule_orders_the_line(rule: str, order: str, kind: type[RankedQueue]) -> None:
    assert served(kind(RULES[rule]), *THREE) == order
    assert served(kind(RULES[rule]), *THREE[::-1]) == order


def test_every_rule_of_the_file_is_known() -> None:
    assert set(RULES) == {"first_come", "due_date", "shortest", "longest", "same_set_up"}


@pytest.mark.parametrize("rule", RULES)
@pytest.mark.parametrize("kind", [RankedQueue, SetUpQueue])
def test_lanes_come_before_any_rule(rule: str, kind: type[RankedQueue]) -> None:
    lanes = {"n": LANE_NORMAL, "s": LANE_STOPPED, "o": LANE_ROUNDS, "r": LANE_RUSH, "p": LANE_REPRINT}
    tasks = [
        task(name, number, lane=lane, due=9.0 * number, minutes=3.0 * number, family=number)
        for number, (name, lane) in enumerate(lanes.items())
    ]
    assert served(kind(RULES[rule]), *tasks) == "sprno"


@pytest.mark.parametrize("kind", [RankedQueue, SetUpQueue])
def test_ties_go_by_arrival(kind: type[RankedQueue]) -> None:
    tasks = [task(name, number, ready=1.0, family=number % 2) for number, name in enumerate("abcde")]
    assert served(kind(RULES["due_date"]), *tasks) == "abcde"
    assert served(kind(RULES["due_date"]), *tasks[::-1]) == "abcde"


@pytest.mark.parametrize("kind", [RankedQueue, SetUpQueue])
def test_looking_takes_nothing_out(kind: type[RankedQueue]) -> None:
    queue = kind(RULES["due_date"])
    assert not queue
    for each in THREE:
        queue.push(each)
    assert queue.head().name == "b"
    assert queue.rank() == (LANE_NORMAL, 30.0, 2)
    assert len(queue) == 3


def test_a_seat_takes_what_it_is_set_up_for() -> None:
    """Families 1, 2, 1, 2, 3 in line, a seat set up for 2: both of 2 first, then the others by rule."""
    families = {"a": 1, "b": 2, "c": 1, "d": 2, "e": 3}
    tasks = [task(name, number, family=family) for number, (name, family) in enumerate(families.items())]
    assert served(SetUpQueue(RULES["same_set_up"]), *tasks, families={2}) == "bdace"
    assert served(SetUpQueue(RULES["same_set_up"]), *tasks, families={3, 1}) == "acebd"
    assert served(SetUpQueue(RULES["same_set_up"]), *tasks, families={9}) == "abcde"
    assert served(SetUpQueue(RULES["same_set_up"]), *tasks) == "abcde"


def test_a_better_lane_is_worth_a_change_over() -> None:
    tasks = [task("n", 0, family=1), task("r", 1, family=2, lane=LANE_RUSH), task("m", 2, family=1)]
    assert served(SetUpQueue(RULES["same_set_up"]), *tasks, families={1}) == "rnm"


def test_a_family_served_out_leaves_no_trace() -> None:
    queue = SetUpQueue(RULES["same_set_up"])
    assert served(queue, task("a", 0, family=1), families={1}) == "a"
    assert len(queue) == 0
    assert served(queue, task("b", 1, family=2), task("c", 2, family=1), families={1}) == "cb"
