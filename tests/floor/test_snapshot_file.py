"""Files of states: read back as they were written, and whatever was done to them is told with its place."""

from __future__ import annotations

import copy
import json
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopsim.errors import InputError, Problem, SnapshotError
from shopsim.floor.snapshot import Restart, Snapshot, resume, run_until
from shopsim.floor.snapshot import file as snapshot_file
from shopsim.floor.snapshot.calls import ENDINGS, EVENTS, STEPS
from shopsim.floor.snapshot.file import VERSION, read_snapshot, write_snapshot
from shopsim.floor.snapshot.parts import STATE
from shopsim.floor.snapshot.things import FURTHER, MADE
from tests.benchmarks.shops import varied_shops
from tests.properties.random_shops import Values
from tests.properties.test_random_shops import STEADY

SCENARIO, LINES = varied_shops()["nights"]
_, TAKEN = run_until(SCENARIO, LINES, 20_000.0)


def kept(folder: Path) -> tuple[Path, dict[str, Any]]:
    path = folder / "shop.state.json"
    write_snapshot(path, TAKEN)
    return path, json.loads(path.read_text(encoding="utf-8"))


def told(path: Path) -> str:
    with pytest.raises(SnapshotError) as refused:
        read_snapshot(path)
    return str(refused.value).removeprefix(f"{path}:").strip()


def test_a_file_gives_the_state_back(tmp_path: Path) -> None:
    path, _ = kept(tmp_path)
    found = read_snapshot(path)
    assert found == TAKEN
    assert resume(SCENARIO, LINES, found).fingerprint() == resume(SCENARIO, LINES, TAKEN).fingerprint()


def test_a_file_is_replaced_whole_or_not_at_all(tmp_path: Path) -> None:
    path, _ = kept(tmp_path)
    before = path.read_text(encoding="utf-8")
    broken = Snapshot("", "", 1, 0, float("nan"), {})
    with pytest.raises(InputError, match="cannot be written"):
        write_snapshot(path, broken)
    assert path.read_text(encoding="utf-8") == before
    assert [each.name for each in tmp_path.iterdir()] == [path.name]


@pytest.mark.parametrize(("change", "message"), [
    (lambda d: d.update(version=2), "version: must be 1 for this shopsim, found 2"),
    (lambda d: d.update(version=True), "version: a whole number expected, found True"),
    (lambda d: d.pop("minute"), "minute: is missing"),
    (lambda d: d.update(extra=1), "extra: is not known here"),
    (lambda d: d.update(seed="5"), "seed: a whole number expected, found '5'"),
    (lambda d: d.update(minute="noon"), "minute: a number expected, found 'noon'"),
    (lambda d: d["state"].pop("events"), "state.events: is missing"),
    (lambda d: d.update(state=[1]), "state: named values expected, found [1]"),
    (lambda d: d.update(minute=20_001.0), "digest: does not fit the rest: the file was changed after it was written"),
    (lambda d: d["state"]["numbers"].__setitem__(0, 1),
     "digest: does not fit the rest: the file was changed after it was written"),
])  # fmt: skip
def test_what_was_changed_is_told(tmp_path: Path, change: Any, message: str) -> None:
    path, document = kept(tmp_path)
    change(document)
    path.write_text(json.dumps(document), encoding="utf-8")
    assert told(path) == message


@pytest.mark.parametrize(("text", "message"), [
    ("", "the file is empty"),
    ("[1, 2]", "named values expected, found [1, 2]"),
    ('{"version": 1,\n "seed": }', "2:10: is no JSON: Expecting value"),
    ('{"version": NaN}', "is no state of a shop"),
    ("[" * 100_000, "is no state of a shop"),
    ("1" * 5000, "is no state of a shop"),
])  # fmt: skip
def test_what_is_no_state_at_all_is_told(tmp_path: Path, text: str, message: str) -> None:
    path = tmp_path / "x.json"
    path.write_text(text, encoding="utf-8")
    assert told(path).startswith(message)


def test_a_file_too_large_is_not_read(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path, _ = kept(tmp_path)
    monkeypatch.setattr(snapshot_file, "MOST_BYTES", 1000)
    assert told(path).startswith("must be at most 0.001 MB")


def test_a_state_of_another_shop_or_book_is_refused() -> None:
    other, lines = varied_shops()["offline"]
    with pytest.raises(SnapshotError, match="is of another scenario: "):
        Restart(other, lines, TAKEN)
    booked, book = varied_shops()["booked"]
    _, state = run_until(booked, book, 5000.0)
    with pytest.raises(SnapshotError, match="is of another order book: "):
        Restart(booked, book[1:], state)


# -- what a right digest does not tell --------------------------------------------------------------------------------


def refused(change: Any) -> str:
    state = copy.deepcopy(TAKEN.state)
    change(state)
    with pytest.raises(SnapshotError) as fault:
        resume(SCENARIO, LINES, Snapshot(TAKEN.scenario_hash, TAKEN.orders_hash, TAKEN.seed, 0, TAKEN.minute, state))
    return str(fault.value)


@pytest.mark.parametrize(("change", "message"), [
    (lambda s: s["numbers"].append(1), "numbers: a list of 3 expected, found"),
    (lambda s: s["parts"].pop("flow"), "parts.flow: is missing"),
    (lambda s: s["parts"]["printer wide"].update(plate_c="hot"),
     "parts.printer wide.plate_c: a number expected, found 'hot'"),
    (lambda s: s["parts"]["printer wide"].update(state="flying"), "parts.printer wide.state: one of off, warming"),
    (lambda s: s["parts"]["crew operators"]["idle"].append("person nobody 0"),
     "]: the name of a person expected, found 'person nobody 0'"),
    (lambda s: s["things"]["orders"][1].pop("left"), "things.orders[1].left: is missing"),
    (lambda s: s["things"]["orders"][0]["draw"]["lines"][0].update(pieces=1.5),
     "things.orders[0].draw.lines[0].pieces: a whole number expected, found 1.5"),
    (lambda s: s["things"]["lines"][0].update(order=10_000),
     "things.lines[0].order: the number of one of the orders expected, found 10000"),
    (lambda s: s["things"]["lines"][0]["draw"].update(product=99), "things.lines[0].draw.product: the shop has"),
    (lambda s: s["things"]["lines"][0]["draw"].update(width_m=-7.0),
     "things.lines[0].draw: cannot be made here: finished_width_m must be above 0, found -7.0"),
    (lambda s: s["things"].update(tasks=None), "things.tasks: a list expected, found None"),
    (lambda s: s["draws"].append(["x"]), "]: a list of 2 expected, found ['x']"),
    (lambda s: s["events"][0].__setitem__(2, ["flow", "__init__", None]),
     "events[0][2][1]: '__init__' is nothing that flow does here"),
    (lambda s: s["events"][0].__setitem__(2, ["os", "system", "x"]), "events[0][2][0]: the floor has no 'os'"),
    (lambda s: s["events"][0].__setitem__(0, None), "events[0][0]: a number expected, found None"),
])  # fmt: skip
def test_what_does_not_fit_is_told_with_its_place(change: Any, message: str) -> None:
    assert message in refused(change)


def places(value: Any, at: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    inside = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    return [at, *(each for key, item in inside for each in places(item, (*at, key)))]


PLACES = places(TAKEN.state)[1:]
ODD: list[Any] = [None, True, -7, 10**40, 1.5, "x", [], {}, ["flow", "make"], [[]]]


@STEADY
@given(st.sampled_from(PLACES), st.sampled_from(ODD))
def test_no_odd_value_ends_in_anything_but_words(place: tuple[Any, ...], odd: Any) -> None:
    """A value of another type is told; another value of the same type makes another state, which is what it says."""
    state: Values = copy.deepcopy(TAKEN.state)
    holder: Any = state
    for key in place[:-1]:
        holder = holder[key]
    same_kind = type(holder[place[-1]]) is type(odd) or odd is None
    holder[place[-1]] = odd
    start = Snapshot(TAKEN.scenario_hash, TAKEN.orders_hash, TAKEN.seed, 0, TAKEN.minute, state)
    fault = fault_of(start)
    if fault is None:
        assert same_kind or isinstance(odd, int | float | list)
    else:
        assert fault.path.split(".")[0].split("[")[0] in state
        assert fault.message


def fault_of(start: Snapshot) -> Problem | None:
    try:
        Restart(SCENARIO, LINES, start).floor()
    except SnapshotError as refused:
        return refused.problems[0]
    return None


def test_the_version_goes_with_what_a_file_may_hold() -> None:
    """Whoever changes these names must raise the version, and then this number."""
    names = [
        sorted((made, sorted(kinds)) for made, kinds in STATE.items()),
        [(table, sorted(MADE[table].names | FURTHER[table].names)) for table in MADE],
        [sorted((made, sorted(calls)) for made, calls in each.items()) for each in (EVENTS, ENDINGS, STEPS)],
    ]
    assert (VERSION, sha256(json.dumps(names).encode()).hexdigest()[:12]) == (1, "ff886ba63a66")
