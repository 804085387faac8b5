"""Lead times of orders cut into stretches, each with one reason, laid along the chain of the bundle finished last.

The stretches of an order tile its lead time: phase by phase, what is not work, a wait or a known delay is a hole in a
span whose ends are known, and is named for that span.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from shopsim.floor.record import KIND, STATES
from shopsim.measures.chains import Chains
from shopsim.measures.facts import PRINT_ROOM, Facts
from shopsim.measures.interruptions import after_interruption
from shopsim.measures.intervals import Floats, Intervals, Ints, merged

REASONS: dict[str, str] = {
    "before_start": "Received before the simulation began",
    "artwork_check": "Artwork being checked",
    "approval": "With the customer: corrected files and approval",
    "release_wait": "Approved, but held back because the shop was full, clock time",
    "gang_wait": "Printable, but its run not yet long enough or old enough to be made, clock time",
    "printer_wait": "Its run could be made, waiting for a printer",
    "printing": "From the start of its run to off the printer, tail and stops included",
    "drying": "Drying, heating of the calender, resting steps",
    "people_wait": "The place open, a seat free, nobody to do it; a machine under repair, a turn not yet come",
    "put_aside": "Begun, the place open, lying aside for more urgent work",
    "seat_wait": "The place open, all seats taken; told apart by its total, placed before the wait for people",
    "room_wait": "Finished at one place, the next open but with no room before it",
    "work": "Being worked at",
    "off_shift": "The place closed or at a break, or for print nobody at the printers",
    "rework": "Up to the finding of the last fault, and repairs",
    "bought_in": "Outside",
    "order_check": "The complete order being checked",
    "dispatch_wait": "Complete, waiting for the collection",
}
"""Reasons in the order in which they come, each with its meaning."""
REASON = {name: code for code, name in enumerate(REASONS)}
_WORK_REASON = {"artwork": "artwork_check", "order_check": "order_check", "repair": "rework", "bought_in": "bought_in"}


@dataclass(frozen=True, slots=True, eq=False)
class Stretches:
    """Stretches of many orders, by order and time. `at`: position among the orders asked for; `place` -1: none."""

    at: Ints
    start: Floats
    end: Floats
    reason: Ints
    place: Ints


def stretches_of(facts: Facts, rows: Ints) -> Stretches:
    """The stretches of dispatched orders, given as rows of `orders`."""
    builder = _Builder(Chains(facts, rows))
    builder.before_release()
    builder.printing()
    builder.work()
    builder.after_work()
    return builder.result()


class _Builder:
    """Gathers stretches; each method lays one phase of all orders."""

    def __init__(self, chains: Chains) -> None:
        self.chains = chains
        self.facts = chains.facts
        self.everyone = np.arange(len(chains.rows))
        self.printed_end = np.zeros(len(chains.rows))
        self.print_room = self.facts.log.places.index(PRINT_ROOM) if PRINT_ROOM in self.facts.log.places else -1
        self._parts: list[tuple[Ints, Floats, Floats, Ints, Ints]] = []

    def add(self, at: Ints, start: Floats, end: Floats, reason: int | Ints, place: int | Ints = -1) -> None:
        """Stretches of these orders; empty ones fall out."""
        full = end > start
        reasons, places = np.broadcast_to(reason, at.shape), np.broadcast_to(place, at.shape)
        self._parts.append((at[full], start[full], end[full], reasons[full], places[full]))

    def result(self) -> Stretches:
        """All stretches by order and time."""
        at, start, end, reason, place = (np.concatenate(column) for column in zip(*self._parts, strict=True))
        order = np.lexsort((start, at))
        return Stretches(at[order], start[order], end[order], reason[order], place[order])

    # -- phases -------------------------------------------------------------------------------------------------------

    def before_release(self) -> None:
        """Receipt, artwork check, approval."""
        received, released = self.chains.of_order("received"), self.chains.of_order("released")
        came = np.maximum(received, 0.0)
        self.add(self.everyone, received, came, REASON["before_start"])
        checked = came.copy()
        rows, at = self.chains.artwork()
        self._operations(rows, at)
        checked[at] = self.facts.column("operations", "end")[rows]
        approved = released.copy()
        at = self.chains.position(self.facts.code("release_waits", "order"))
        approved[at[at >= 0]] = self.facts.column("release_waits", "start")[at >= 0]
        self.add(self.everyone, checked, approved, REASON["approval"])
        self.add(self.everyone, approved, released, REASON["release_wait"])

    def printing(self) -> None:
        """From release over earlier attempts to off the printer, or to the start of a route without print."""
        facts, root = self.facts, self.chains.root
        released = self.chains.of_order("released")
        printed = np.full(facts.rows("bundles"), -1)
        printed[facts.code("prints", "bundle")] = np.arange(facts.rows("prints"))
        # Orders that were done before the simulation began have no bundle.
        known = root >= 0
        row, ready = np.full(len(root), -1), self.chains.finished.copy()
        row[known], ready[known] = printed[root[known]], facts.column("bundles", "made")[root[known]]
        self.printed_end = ready.copy()
        at, row = self.everyone[row >= 0], row[row >= 0]
        ready[at] = facts.column("prints", "ready")[row]
        self.add(self.everyone, released, ready, REASON["rework"])
        start = facts.column("prints", "start")[row]
        ganged = np.minimum(facts.column("prints", "gang_ready")[row], start)
        off = self.printed_end[at] = facts.column("prints", "end")[row]
        self.add(at, ready[at], ganged, REASON["gang_wait"], self.print_room)
        self._split(at, ganged, start, facts.attended, REASON["printer_wait"], self.print_room)
        printer = facts.code("prints", "printer")[row]
        for i in range(len(facts.log.printers)):
            mine = printer == i
            self._split(at[mine], start[mine], off[mine], self._in_action(i), REASON["printing"], self.print_room)

    def work(self) -> None:
        """From off the printer to the last piece finished."""
        rows, at = self.chains.work()
        self._operations(rows, at)
        finish, column = self.chains.finished, self.facts.column
        first = column("operations", "part")[rows] == 0
        same_order = np.append(False, at[1:] == at[:-1])[: len(at)]
        before = np.where(same_order, np.append(0.0, column("operations", "end")[rows][:-1])[: len(at)], 0.0)
        before = np.where(same_order, before, self.printed_end[at])
        self._before_places(rows[first], at[first], before[first])
        ended = self.printed_end.copy()
        ended[at] = column("operations", "end")[rows]
        self.add(self.everyone, ended, finish, REASON["drying"])

    def _before_places(self, rows: Ints, at: Ints, since: Floats) -> None:
        """What lies between two tasks of a chain: rest, then perhaps a wait for room before the next place."""
        facts = self.facts
        ready, full = facts.column("operations", "ready")[rows], self._room_wanted(rows)
        self.add(at, since, full, REASON["drying"])
        place = facts.code("operations", "place")[rows]
        for i in np.unique(place[full < ready]).tolist():
            mine = place == i
            self._split(at[mine], full[mine], ready[mine], facts.place_hours[i], REASON["room_wait"], i)

    def _room_wanted(self, rows: Ints) -> Floats:
        """When the bundle of each task began to wait for room; the minute it was let in if it did not have to."""
        facts = self.facts
        ready = facts.column("operations", "ready")[rows]
        if not facts.rows("room_waits"):
            return ready
        bundle, start, end = (facts.column("room_waits", name).tolist() for name in ("bundle", "start", "end"))
        began = dict(zip(zip(bundle, end, strict=True), start, strict=True))
        let_in = zip(facts.column("operations", "bundle")[rows].tolist(), ready.tolist(), strict=True)
        return np.array([began.get(entry, entry[1]) for entry in let_in])

    def after_work(self) -> None:
        """Order check and collection."""
        self._operations(*self.chains.order_check())
        self.add(
            self.everyone, self.chains.of_order("complete"), self.chains.of_order("dispatched"), REASON["dispatch_wait"]
        )

    # -- parts of phases ----------------------------------------------------------------------------------------------

    def _in_action(self, printer: int) -> Intervals:
        """When a printer is attended or moves its web: what else lies in a run is the night in between."""
        facts = self.facts
        moving = np.array([state in ("printing", "tail") for state in STATES])[facts.code("printer_states", "state")]
        mine = moving & (facts.column("printer_states", "printer") == printer)
        start, end = facts.column("printer_states", "start")[mine], facts.column("printer_states", "end")[mine]
        return merged(np.concatenate((facts.attended.starts, start)), np.concatenate((facts.attended.ends, end)))

    def _split(self, at: Ints, start: Floats, end: Floats, hours: Intervals, reason: int, place: int) -> None:
        """A stretch: `reason` inside the hours, off shift outside them."""
        row, begin, finish = hours.cut(start, end)
        self.add(at[row], begin, finish, reason, place)
        self._holes(at, start, end, row, begin, finish, np.full(len(at), place))

    def _holes(
        self, at: Ints, start: Floats, end: Floats, row: Ints, begin: Floats, finish: Floats, place: Ints
    ) -> None:
        """What parts (by row and time) leave of their stretches is off shift."""
        again = np.append(False, row[1:] == row[:-1])[: len(row)]
        before = np.where(again, np.append(0.0, finish[:-1])[: len(row)], start[row])
        self.add(at[row], before, begin, REASON["off_shift"], place[row])
        reached = start.copy()
        reached[row] = finish
        self.add(at, reached, end, REASON["off_shift"], place)

    def _operations(self, rows: Ints, at: Ints) -> None:
        """Waits, pauses and work of operations, sorted by order, task and part."""
        facts = self.facts
        place = facts.code("operations", "place")[rows]
        start, end = facts.column("operations", "start")[rows], facts.column("operations", "end")[rows]
        part = facts.column("operations", "part")[rows]
        since = np.where(part == 0, facts.column("operations", "ready")[rows], np.append(0.0, end[:-1])[: len(end)])
        seat_min = np.where(part == 0, facts.column("operations", "wait_seat_min")[rows], 0.0)
        wait = np.where(after_interruption(facts)[rows], REASON["put_aside"], REASON["people_wait"])
        for i, hours in enumerate(facts.place_hours):
            mine = place == i
            if mine.any():
                self._waits(at[mine], since[mine], start[mine], seat_min[mine], wait[mine], hours, i)
        reason = _work_reasons()[facts.code("operations", "kind")[rows]]
        outside = reason == REASON["bought_in"]
        self.add(at[outside], start[outside], end[outside], REASON["bought_in"], place[outside])
        rows, at, start, end, reason, place = (column[~outside] for column in (rows, at, start, end, reason, place))
        row, begin, finish = self._worked(rows)
        self.add(at[row], begin, finish, reason[row], place[row])
        self._holes(at, start, end, row, begin, finish, place)

    def _waits(
        self, at: Ints, since: Floats, start: Floats, seat_min: Floats, wait: Ints, hours: Intervals, place: int
    ) -> None:
        row, begin, finish = hours.cut(since, start)
        turn = _after_open_minutes(hours, since, np.minimum(seat_min, hours.minutes(since, start)))[row]
        self.add(at[row], begin, np.minimum(finish, turn), REASON["seat_wait"], place)
        self.add(at[row], np.maximum(begin, turn), finish, wait[row], place)
        self._holes(at, since, start, row, begin, finish, np.full(len(at), place))

    def _worked(self, rows: Ints) -> tuple[Ints, Floats, Floats]:
        """Pieces of work of these rows of `operations`: (position in `rows`, start, end)."""
        row, begin, finish = self.facts.pieces
        first = np.searchsorted(row, rows, side="left")
        count = np.searchsorted(row, rows, side="right") - first
        offset = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
        which = np.repeat(first, count) + offset
        return np.repeat(np.arange(len(rows)), count), begin[which], finish[which]


def _work_reasons() -> Ints:
    codes = np.full(len(KIND), REASON["work"])
    for kind, reason in _WORK_REASON.items():
        codes[KIND[kind]] = REASON[reason]
    return codes


def _after_open_minutes(hours: Intervals, since: Floats, minutes: Floats) -> Floats:
    """When so many open minutes have passed since each time; the time itself for none."""
    if not hours.starts.size:
        return since
    done = np.concatenate(([0.0], np.cumsum(hours.ends - hours.starts)))
    target = hours.before(since) + minutes
    i = np.clip(np.searchsorted(done, target, side="left") - 1, 0, len(hours.starts) - 1)
    return np.where(minutes > 0, hours.starts[i] + (target - done[i]), since)
