"""The exact state of the simulated shop at any minute, and its future from there.

`run_until` simulates up to a minute and takes the state; `resume` goes on from it. With the same draws what follows is
what would have followed, record by record: the records up to the minute and those from it on are, one after the other,
those of a run that was never stopped. With the draws of another replication it is another future of the same shop
(`anew`). A state is plain values (`Snapshot.document`); `file` writes and reads it.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from shopsim.errors import Problem, SnapshotError
from shopsim.floor.order_table import minute_of_moment
from shopsim.floor.record import RunLog
from shopsim.floor.run import Floor, no_collection
from shopsim.floor.snapshot.anew import draw_anew
from shopsim.floor.snapshot.document import put, taken
from shopsim.floor.timing import run_to
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario


@dataclass(frozen=True, slots=True)
class Snapshot:
    """The state of a shop at `minute` of a replication; `state` is plain JSON values (`document.SECTIONS`)."""

    scenario_hash: str
    orders_hash: str
    seed: int
    replication: int
    minute: float
    state: dict[str, Any]


def hash_of_orders(order_lines: Sequence[OrderLine]) -> str:
    """sha256 over an order book's lines."""
    return hashlib.sha256(repr(list(order_lines)).encode()).hexdigest()


def snapshot(floor: Floor, order_lines: Sequence[OrderLine]) -> Snapshot:
    """The state of a floor that has run up to its present minute, which nothing of that minute has changed yet."""
    log = floor.log
    return Snapshot(
        floor.scenario.content_hash, hash_of_orders(order_lines), log.seed, log.replication, floor.env.now,
        taken(floor),
    )  # fmt: skip


def run_until(
    scenario: Scenario, order_lines: Sequence[OrderLine], until: float, replication: int = 0
) -> tuple[RunLog, Snapshot]:
    """Simulate a checked scenario up to minute `until`; the records so far, and the state.

    What happens at that very minute is still to come. Spans and waits in progress are in the state, not in the records.
    Raises ValueError unless the minute lies from 0 to before the horizon.
    """
    if not 0 <= until < scenario.horizon_min:
        raise ValueError(f"the minute must be from 0 to before {scenario.horizon_min}, got {until!r}")
    with no_collection():
        floor = Floor(scenario, order_lines, replication)
        run_to(floor.env, until)
        return floor.log, snapshot(floor, order_lines)


def resume(
    scenario: Scenario, order_lines: Sequence[OrderLine], start: Snapshot, replication: int | None = None
) -> RunLog:
    """The records from a state on to the horizon, with the draws it was taken with or those of another replication.

    Raises SnapshotError if the state is not sound, or is one of another scenario or order book.
    """
    return Restart(scenario, order_lines, start).run(replication)


class Restart:
    """One state and its many futures. Raises SnapshotError if it is one of another scenario or order book."""

    def __init__(self, scenario: Scenario, order_lines: Sequence[OrderLine], start: Snapshot) -> None:
        _check_same("scenario", scenario.content_hash, start.scenario_hash)
        _check_same("order book", hash_of_orders(order_lines), start.orders_hash)
        if not 0 <= start.minute < scenario.horizon_min:
            raise SnapshotError([Problem("", None, None, "minute", f"lies beyond the horizon: {start.minute}")])
        self.scenario = scenario
        self.order_lines = order_lines
        self.start = start
        # Those of the book that are in the state need not be looked at again and again.
        first = scenario.shop.starts
        inside = {line.order_id for line in order_lines if minute_of_moment(line.received, first) < start.minute}
        self._to_come = [line for line in order_lines if line.order_id not in inside]

    def require_is(self, own: Snapshot) -> None:
        """Raise SnapshotError, with the first place, where the state differs from the one the shop itself comes to."""
        here = json.loads(json.dumps(own.state))
        for path, found, expected in _differences(self.start.state, here, ""):
            message = f"is {_short(found)} where this shop comes to {_short(expected)}: somebody changed the file"
            raise SnapshotError([Problem("", None, None, path.lstrip("."), message)])

    def run(self, replication: int | None = None) -> RunLog:
        """The records from the state on to the horizon. Raises SnapshotError if the state is not sound."""
        with no_collection():
            floor = self.floor(replication)
            floor.run_to_end()
        return floor.log

    def floor(self, replication: int | None = None) -> Floor:
        """A floor as it stood. Raises SnapshotError if the state is not sound."""
        start = self.start
        own = replication is None or replication == start.replication
        lines = self.order_lines if own else self._to_come
        floor = Floor(self.scenario, lines, start.replication if replication is None else replication, starts=False)
        for rows in floor.log.columns.values():
            del rows[:]
        if own:
            put(floor, start.state, start.minute)
        else:
            draw_anew(floor, start.state, start.minute)
        return floor


def joined(before: RunLog, after: RunLog) -> RunLog:
    """The records of a run that was stopped and went on, as of one run: `after` takes those `before` it in front.

    Days of absence drawn anew from a day on stand beside those drawn first.
    """
    for name, rows in after.columns.items():
        rows[:0] = before.columns[name]
    return after


def _short(value: Any) -> str:
    text = json.dumps(value)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _differences(found: Any, expected: Any, path: str) -> Iterator[tuple[str, Any, Any]]:
    """Places at which two trees of plain values differ, each with both values; None stands for one that is missing."""
    if isinstance(found, dict) and isinstance(expected, dict):
        for key in {**expected, **found}:
            yield from _differences(found.get(key), expected.get(key), f"{path}.{key}")
    elif isinstance(found, list) and isinstance(expected, list) and len(found) == len(expected):
        for at, (one, other) in enumerate(zip(found, expected, strict=True)):
            yield from _differences(one, other, f"{path}[{at}]")
    elif found != expected or type(found) is not type(expected):
        yield path, found, expected


def _check_same(what: str, here: str, there: str) -> None:
    if here != there:
        message = f"is of another {what}: {there[:12]} in the state, {here[:12]} here"
        raise SnapshotError([Problem("", None, None, "", message)])
