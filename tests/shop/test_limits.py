"""Limits that could lock a shop: found before it is run, with the place in the file."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopsim.errors import ScenarioError
from shopsim.shop.scenario_file import load_scenario

SHOP = """\
shop: {name: limits, starts: 2026-01-05}
work_centres:
  - {id: cut, skill: hands%s}
  - {id: sew, skill: hands%s}
  - {id: pack, skill: hands%s}
shifts: [{id: always, round_the_clock: true}]
crews: [{id: ann, skills: {hands: 3}, shift: always}]
products:
  - {id: there, route: [%s]}
  - {id: back, route: [%s]}
demand:
  forecast: {orders_per_week: 5, starts: 2026-01-05, mix: [{product: there, share_pct: 100}]}
%s
"""
ROOM = ", room_before_bundles: 2"
ROOMS = (ROOM, ROOM, ROOM)


def steps(*places: str) -> str:
    return ", ".join(
        "{op: rest, minutes: 5}" if place == "rest" else f"{{op: work, at: {place}, minutes: 5}}" for place in places
    )


def complaints(folder: Path, rooms=("", "", ""), there=("cut", "sew"), back=("pack",), more="") -> list[str]:
    path = folder / "shop.yaml"
    path.write_text(SHOP % (*rooms, steps(*there), steps(*back), more), encoding="utf-8")
    try:
        load_scenario(path)
    except ScenarioError as error:
        return str(error).replace(f"{path}:", "").splitlines()
    return []


CIRCLE = "in a circle; leave the room before one free"


@pytest.mark.parametrize(
    ("there", "back", "rooms", "found"),
    [
        (("cut", "sew", "pack"), ("cut", "pack"), ROOMS, None),
        (("cut", "sew"), ("sew", "cut"), ROOMS, ("3:29", "cut", "sew → cut → sew")),
        # A seat that never has to wait for room breaks the circle, and so does rest.
        (("cut", "sew"), ("sew", "cut"), ("", ROOM, ROOM), None),
        (("cut", "sew"), ("sew", "rest", "cut"), ROOMS, None),
        (("cut", "sew", "pack"), ("pack", "cut"), ROOMS, ("3:29", "cut", "pack → cut → sew → pack")),
        # A step that is always done stands between; the next of the same place waits for nothing.
        (("cut", "sew", "cut"), ("pack",), (ROOM, "", ""), None),
        (("cut", "cut"), ("sew", "pack"), ROOMS, None),
    ],
)
def test_rooms_that_could_wait_for_each_other(tmp_path: Path, there, back, rooms, found) -> None:
    expected = []
    if found is not None:
        at, place, circle = found
        path = f"work_centres.{place}.room_before_bundles"
        expected = [f"{at}: {path}: could lock the shop: {circle} wait for each other {CIRCLE}"]
    assert complaints(tmp_path, rooms, there, back) == expected


def test_a_step_that_may_be_left_out_does_not_break_a_circle(tmp_path: Path) -> None:
    """Cut goes to pack at once where there is nothing to iron."""
    path = tmp_path / "shop.yaml"
    text = SHOP % (ROOM, "", ROOM, steps("pack", "cut"), "", "")
    iron = f"{steps('cut')}, {{op: iron, at: sew, minutes: 5, share_pct: 50}}, {steps('pack')}"
    path.write_text(text.replace("route: []", f"route: [{iron}]"), encoding="utf-8")
    with pytest.raises(ScenarioError, match=r"pack → cut → pack wait for each other"):
        load_scenario(path)


def test_a_place_repaired_by_those_it_blocks(tmp_path: Path) -> None:
    """The repairers' seat may be kept by work for the very machine that waits for its repair."""
    stops = ", stops: {every_running_h: 9, repair_at: cut}"
    assert complaints(tmp_path, ("", ROOM + stops, "")) == [
        f"4:29: work_centres.sew.room_before_bundles: could lock the shop: cut → sew → cut wait for each other {CIRCLE}"
    ]
    assert complaints(tmp_path, ("", ROOM + stops, ""), there=("pack", "sew")) == []


LISTS = """\
  order_book: {file: orders.csv}
policies:
  sequences: [{at: cut, orders: [a]}]
"""


def test_limits_beside_planners_lists(tmp_path: Path) -> None:
    (found,) = complaints(tmp_path, ("", ROOM, ""), more=LISTS)
    path = "work_centres.sew.room_before_bundles"
    assert found == f"4:29: {path}: cannot be limited with `sequences`: the order whose turn it is could find no room"
    held = LISTS + "  orders_at_once: {most: 3, when_full: wait}\n"
    (found,) = complaints(tmp_path, more=held)
    why = "orders in the shop could wait for the turn of one held back"
    assert found == f"16:29: policies.orders_at_once.when_full: cannot be `wait` with `sequences`: {why}"
    assert complaints(tmp_path, more=held.replace("when_full: wait", "when_full: turn_away")) == []


def test_rooms_beside_work_that_may_be_interrupted(tmp_path: Path) -> None:
    (found,) = complaints(tmp_path, (", interrupted_by: rush", ROOM, ""))
    assert found == (
        "4:29: work_centres.sew.room_before_bundles: cannot be limited while work at 'cut' may be interrupted: a piece "
        "put aside has no seat to keep"
    )


def test_pieces_that_come_back_cannot_be_turned_away(tmp_path: Path) -> None:
    fleet = (
        "  hire_fleets: [{product: there, pieces: 3, out_h: 9}]\npolicies: {orders_at_once: {most: 3, when_full: %s}}\n"
    )
    assert complaints(tmp_path, more=fleet % "wait") == []
    (found,) = complaints(tmp_path, more=fleet % "turn_away")
    why = "pieces that come back cannot be turned away"
    assert found == f"14:38: policies.orders_at_once.when_full: must be `wait` with hire fleets: {why}"


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("{most: 0, when_full: wait}", "13:29: policies.orders_at_once.most: must be at least 1, found 0"),
        ("{most: 3}", "13:12: policies.orders_at_once.when_full: missing; give a value"),
        ("{most: 3, when_full: no}",
         "13:38: policies.orders_at_once.when_full: must be one of turn_away, wait, found 'no'"),
    ],
)  # fmt: skip
def test_a_limit_is_a_whole_number_and_says_what_happens(tmp_path: Path, written: str, message: str) -> None:
    (found,) = complaints(tmp_path, more=f"policies: {{orders_at_once: {written}}}")
    assert found == message
