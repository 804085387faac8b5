"""What must hold in the records of any run, whatever the shop: laws as functions of the scenario and its log.

Written apart from the audit of `shopsim.measures`, so that one can catch the other.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter, defaultdict, namedtuple
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import Any

import pytest

from shopsim.floor.record import COLUMNS, KIND, KINDS, METRE_CAUSE, REMAKE_CAUSES, RunLog
from shopsim.shop.route_times import people_needed
from shopsim.shop.scenario import Scenario

INSIDE, DISPATCHED, CANCELLED, TURNED_AWAY = 0, 1, (2, 3), 4
EPS = 1e-6
Span = tuple[float, float]


def rows(log: RunLog, name: str) -> list[Any]:
    """The rows of a table, with columns as attributes."""
    row = namedtuple("row", COLUMNS[name])
    return [row(*values) for values in log.table(name).tolist()]


def check_all(scenario: Scenario, log: RunLog) -> None:
    """Every law in turn."""
    for law in LAWS:
        law(scenario, log)


def orders_balance(_: Scenario, log: RunLog) -> None:
    """Every order has one row, in = out + cancelled + inside, and its times follow each other."""
    orders = rows(log, "orders")
    assert sorted(o.order for o in orders) == list(range(len(orders)))
    assert {line.order for line in rows(log, "lines")} == {o.order for o in orders}
    for order in orders:
        assert 0 <= order.received < log.horizon_min
        # A clock that is set by adding a wait may be off by the last bit.
        assert order.released == -1 or order.released >= order.received - EPS
        if order.ending == DISPATCHED:
            assert order.released - EPS <= order.complete < log.horizon_min
            assert order.complete <= order.dispatched == order.ended <= order.delivered
        else:
            assert order.dispatched == order.delivered == -1
        if order.ending in CANCELLED:
            assert order.received - EPS <= order.ended < log.horizon_min
        if order.ending == INSIDE:
            assert order.ended == float("inf") and order.complete == -1
        if order.ending == TURNED_AWAY:
            assert order.ended == order.received and order.released == order.complete == -1


def pieces_balance(_: Scenario, log: RunLog) -> None:
    """Pieces in = finished + dropped + inside; a dispatched order has each piece made once for each time it was due."""
    orders, left = {o.order: o for o in rows(log, "orders")}, log.leftover
    ordered: Counter[float] = Counter()
    for line in rows(log, "lines"):
        ordered[line.order] += line.pieces
    assert ordered == {number: order.pieces for number, order in orders.items()}
    assert left.pieces_in == sum(ordered.values()) == left.pieces_done + left.pieces_dropped + left.pieces_inside
    started: Counter[tuple[float, float]] = Counter()
    due: Counter[tuple[float, float]] = Counter({(number, 0.0): pieces for number, pieces in ordered.items()})
    for bundle in rows(log, "bundles"):
        if bundle.parent < 0:
            started[bundle.order, bundle.attempt] += bundle.pieces
    for remake in rows(log, "remakes"):
        due[remake.order, remake.attempt + 1] += 1
        if REMAKE_CAUSES[int(remake.cause)] == "stop":
            # Lost on the web, before it was a bundle.
            started[remake.order, remake.attempt] += 1
    for key in due.keys() | started.keys():
        ending = orders[key[0]].ending
        assert started[key] == due[key] if ending == DISPATCHED else started[key] <= due[key]
    remade = Counter(remake.order for remake in rows(log, "remakes"))
    assert {o.order: o.reprints for o in orders.values() if o.reprints} == remade


def metres_balance(scenario: Scenario, log: RunLog) -> None:
    """Metres of each fabric: opening stock + bought = used by all causes + on the shelf + on printers."""
    left = log.leftover
    balance = {i: left.opening_m[i] - left.stock_m[i] - left.mounted_m[i] for i in range(len(scenario.fabrics))}
    for row in rows(log, "metres"):
        balance[row.fabric] += row.metres if row.cause == METRE_CAUSE["bought"] else -row.metres
        assert row.m2 == pytest.approx(row.metres * scenario.fabrics[int(row.fabric)].roll_width_m)
    assert balance == pytest.approx(dict.fromkeys(balance, 0.0), abs=EPS)
    assert all(metres >= -EPS for metres in [*left.stock_m.values(), *left.mounted_m.values()])


def spans_tile(scenario: Scenario, log: RunLog) -> None:
    """The states of each printer follow each other without hole or overlap, from 0 to the horizon."""
    spans = defaultdict(list)
    for span in rows(log, "printer_states"):
        spans[span.printer].append(span)
    for i in range(len(scenario.printers)):
        assert spans[i][0].start == 0 and spans[i][-1].end == log.horizon_min
        for before, after in pairwise(spans[i]):
            assert before.end == after.start
        assert all(span.start < span.end for span in spans[i])


def _hands(operation: Any) -> list[float]:
    return [index for index in (operation.person, operation.helper) if index >= 0]


def people_once(_: Scenario, log: RunLog) -> None:
    """Nobody is in two places at once, nor helps oneself."""
    work = defaultdict(list)
    for operation in rows(log, "operations"):
        assert operation.person != operation.helper or operation.person < 0
        for person in _hands(operation):
            work[person].append((operation.start, operation.end))
    for spans in work.values():
        _assert_apart(spans)


def _assert_apart(spans: Iterable[Span]) -> None:
    for (_, end), (start, _) in pairwise(sorted(spans)):
        assert end <= start + 1e-9


def only_in_working_hours(scenario: Scenario, log: RunLog) -> None:
    """Everybody works in the hours of the own crew, overtime included, and only as long as the row says."""
    hours = _crew_hours(log)
    extra = defaultdict(list)
    for overtime in rows(log, "overtime"):
        extra[overtime.crew].append((overtime.start, overtime.end))
    absent = {(a.person, a.day) for a in rows(log, "absences")}
    for operation in rows(log, "operations"):
        open_hours = [(operation.start, operation.end)]
        for person in _hands(operation):
            crew = log.people[int(person)].crew
            at_work = _hours_about(hours[crew], operation)
            assert any(start <= operation.start < end for start, end in at_work) or operation.worked_min == 0
            assert any(start < operation.end <= end + 1e-9 for start, end in at_work) or operation.worked_min == 0
            open_hours = _both(open_hours, at_work)
            days = _days(log, crew, operation.start, extra[crew])
            assert all((person, day) not in absent for day in days)
        if operation.person >= 0:
            assert sum(end - start for start, end in open_hours) == pytest.approx(operation.worked_min, abs=EPS)


def _both(one: Sequence[Span], other: Sequence[Span]) -> list[Span]:
    both = ((max(a, c), min(b, d)) for a, b in one for c, d in other if a < d and c < b)
    return [(start, end) for start, end in both if start < end]


def _days(log: RunLog, crew: int, at: float, extra: list[Span]) -> list[int]:
    """The day on which the shift in progress began; overtime belongs to the shift before it."""
    calendar = log.crew_calendars[crew]
    for start, end in extra:
        if start <= at < end:
            at = start - EPS
    i = bisect_right(calendar.starts, at) - 1
    return [calendar.start_days[i]] if i >= 0 and at < calendar.ends[i] else []


def _worked_at(scenario: Scenario, log: RunLog, operation: Any) -> str:
    """The place whose seat and skill an operation takes; a seat's repair is booked at the place that failed."""
    name = log.places[int(operation.place)]
    centre = scenario.by_id("work_centres").get(name)
    if operation.kind == KIND["machine_repair"] and centre and centre.stops and centre.stops.repair_at:
        return str(centre.stops.repair_at)
    return name


def seats_once(scenario: Scenario, log: RunLog) -> None:
    """A seat holds one task at a time, from its first start to its last end, pauses and repairs included.

    The piece of a cancelled order is put away once the order is cancelled and nobody works on it; one put aside for
    more urgent work leaves its seat. A finished bundle for which there is no room keeps its seat.
    """
    kept = {wait.kept_task: wait.end for wait in rows(log, "room_waits") if wait.kept_task >= 0}
    gone = {order.order: order.ended for order in rows(log, "orders") if order.ending in CANCELLED}
    seats = dict(zip(log.places, log.place_seats, strict=True))
    put_aside = {(row.task, row.part): row.at for row in rows(log, "interruptions")}
    times: Counter[float] = Counter()
    held: dict[tuple[float, int], list[Any]] = defaultdict(list)
    for operation in rows(log, "operations"):
        if operation.seat >= 0 and seats[_worked_at(scenario, log, operation)] is not None:
            held[operation.task, times[operation.task]].append(operation)
            times[operation.task] += (operation.task, operation.part) in put_aside
    spans = defaultdict(list)
    for parts in held.values():
        first, last = parts[0], parts[-1]
        place = _worked_at(scenario, log, first)
        assert first.seat < seats[place]
        until = kept.get(last.task, last.end) if last.last else max(last.end, gone.get(first.order, float("inf")))
        until = put_aside.get((last.task, last.part), until)
        spans[place, first.seat].append((first.start, until))
    for seat in spans.values():
        _assert_apart(seat)


def parts_follow(_: Scenario, log: RunLog) -> None:
    """The parts of a task are numbered, follow each other on one seat, and only the final one is the last.

    A piece put aside for more urgent work may go on on another seat.
    """
    put_aside = {(row.task, row.part): row.at for row in rows(log, "interruptions")}
    tasks = defaultdict(list)
    for operation in rows(log, "operations"):
        tasks[operation.task].append(operation)
    for parts in tasks.values():
        assert [part.part for part in parts] == list(range(len(parts)))
        assert parts[0].ready <= parts[0].start
        for before, after in pairwise(parts):
            assert before.end <= after.start and not before.last
            assert (before.place, before.ready, before.kind) == (after.place, after.ready, after.kind)
            aside = put_aside.get((before.task, before.part))
            assert before.seat == after.seat if aside is None else before.end <= aside <= after.start
        assert all(0 <= part.worked_min <= part.end - part.start + EPS for part in parts)


def skilled_and_paired(scenario: Scenario, log: RunLog) -> None:
    """Whoever works has the skill, helpers the skill or `helper`; large pieces have two people throughout."""
    skills = [set(crew.skills) for crew in scenario.crews]
    centres = scenario.by_id("work_centres")
    lines = defaultdict(list)
    for line in rows(log, "lines"):
        lines[line.order].append(line)
    bundles = {bundle.bundle: bundle for bundle in rows(log, "bundles")}
    steps = {"cut", "sew", "iron", "inspect", "pack", "work"}
    for operation in rows(log, "operations"):
        if operation.person < 0 or operation.kind == KIND["side_work"]:
            continue
        centre = centres.get(_worked_at(scenario, log, operation))
        needed = centre.needed_skill if centre else "printing"
        assert needed in skills[log.people[int(operation.person)].crew]
        if operation.helper >= 0:
            assert {needed, "helper"} & skills[log.people[int(operation.helper)].crew]
        kind = KINDS[int(operation.kind)]
        if kind in steps and centre is not None:
            bundle = bundles[operation.bundle]
            line = lines[operation.order][int(bundle.line)]
            route = scenario.products[int(line.product)].route
            op = next(step for step in route if step.op == kind and step.at == centre.id)
            assert (operation.helper >= 0) == (people_needed(op, centre, line.width_m, line.height_m) == 2)


def _lane(scenario: Scenario, orders: dict[float, Any], lines: dict[float, list[Any]], operation: Any) -> int:
    """How urgent an operation at a work centre is: the lower the sooner."""
    printing, kind = scenario.policies.printing, KINDS[int(operation.kind)]
    if kind == "machine_repair":
        return -3
    if kind == "repair" or (printing.reprints_first and operation.attempt):
        return -2
    if orders[operation.order].rush and printing.rush_first and kind != "order_check":
        return -1
    return min(scenario.products[int(line.product)].priority for line in lines[operation.order])


def more_urgent_first(scenario: Scenario, log: RunLog) -> None:
    """Where work is interrupted nobody works at less urgent work while work for one person waits that may interrupt it.

    Pieces that wait on a seat for its machine or for whoever keeps them are left out.
    """
    orders, lines = {order.order: order for order in rows(log, "orders")}, defaultdict(list)
    for line in rows(log, "lines"):
        lines[line.order].append(line)
    aside = {(row.task, row.part + 1): row.at for row in rows(log, "interruptions")}
    pairs = {operation.task for operation in rows(log, "operations") if operation.helper >= 0}
    hours = _crew_hours(log)
    without_place = (KIND["side_work"], KIND["bought_in"])
    worked = [operation for operation in rows(log, "operations") if operation.kind not in without_place]
    for centre in scenario.work_centres:
        mine = [operation for operation in worked if _worked_at(scenario, log, operation) == centre.id]
        since = {
            row: aside.get((row.task, row.part), row.ready if row.part == 0 else None)
            for row in mine
            if row.task not in pairs
        }
        if centre.interrupted_by == "nothing":
            assert not any((row.task, row.part) in aside for row in mine)
            continue
        works = [(_lane(scenario, orders, lines, row), *span) for row in mine for span in _at_work(hours, log, row)]
        for row, ready in since.items():
            lane = _lane(scenario, orders, lines, row)
            limit = lane if centre.interrupted_by == "more_urgent" else -1
            for other, start, end in works if ready is not None and lane <= limit else ():
                assert other <= limit or min(row.start, end) - max(ready, start) < EPS


def _crew_hours(log: RunLog) -> list[list[Span]]:
    hours = [calendar.intervals() for calendar in log.crew_calendars]
    for row in rows(log, "overtime"):
        hours[int(row.crew)].append((row.start, row.end))
    return [sorted(spans) for spans in hours]


def _hours_about(hours: list[Span], operation: Any) -> list[Span]:
    """Those of a crew's hours, in order, that may touch an operation."""
    first = bisect_right(hours, (operation.start - EPS, float("inf"))) - 1
    return hours[max(0, first) : bisect_right(hours, (operation.end + EPS, float("inf")))]


def _at_work(hours: list[list[Span]], log: RunLog, operation: Any) -> list[Span]:
    spans = [(operation.start, operation.end)]
    for person in _hands(operation):
        spans = _both(spans, _hours_about(hours[log.people[int(person)].crew], operation))
    return spans


def side_work_is_short_and_idle(scenario: Scenario, log: RunLog) -> None:
    """Side work is done by crews that have it, on no order, for a minute at least unless the shift's end cuts it."""
    hours = _crew_hours(log)
    for operation in rows(log, "operations"):
        if operation.kind == KIND["side_work"]:
            crew = log.people[int(operation.person)].crew
            assert scenario.crews[crew].side_work is not None
            assert (operation.place, operation.seat, operation.order, operation.bundle) == (-1, -1, -1, -1)
            assert operation.worked_min >= 1 - EPS or operation.end in [
                end for _, end in _hours_about(hours[crew], operation)
            ]


def lifts_enough(scenario: Scenario, log: RunLog) -> None:
    """No more lifts in use than there are; a change that needs one has it, or a second person."""
    changes = []
    for operation in rows(log, "operations"):
        if operation.kind == KIND["roll_change"]:
            rule = scenario.printers[int(operation.seat)].roll_change
            assert operation.helper >= 0 or rule.people == 1
            if rule.needs_lift and (rule.people == 2 or operation.helper < 0):
                changes += [(operation.start, 1), (operation.end, -1)]
    in_use = 0
    for _, change in sorted(changes):
        in_use += change
        assert in_use <= scenario.policies.lifts


def limits_kept(scenario: Scenario, log: RunLog) -> None:
    """Never more orders in the shop than are let in at once; whoever is held back or turned away finds it full."""
    rule = scenario.policies.orders_at_once
    orders = rows(log, "orders")
    held = {wait.order: (wait.start, wait.end) for wait in rows(log, "release_waits")}
    turned_away = [order.received for order in orders if order.ending == TURNED_AWAY]
    if rule is None:
        assert not held and not turned_away
        return
    taken = [order for order in orders if order.ending != TURNED_AWAY]
    if rule.when_full == "wait":
        taken = [order for order in taken if order.released >= 0]
        assert not turned_away
        for number, (start, end) in held.items():
            (order,) = (each for each in orders if each.order == number)
            assert start < end and order.received - EPS <= start
            assert end == (order.released if order.released >= 0 else order.ended)
    else:
        assert not held
    spans = [
        (o.received if rule.when_full == "turn_away" else o.released, o.complete if o.complete >= 0 else o.ended)
        for o in taken
    ]
    for at in {start for start, _ in spans}:
        assert sum(start <= at < end for start, end in spans) <= rule.most
    # Whoever leaves at that very minute may still have been there.
    full_at = [*turned_away, *(start for start, _ in held.values())]
    assert all(sum(start <= at <= end for start, end in spans) >= rule.most for at in full_at)


def rooms_kept(scenario: Scenario, log: RunLog) -> None:
    """No more bundles at a place than seats and room, those made again and mended left out; who waits finds no room."""
    centres = scenario.by_id("work_centres")
    bundles = {bundle.bundle: bundle for bundle in rows(log, "bundles")}
    gone = {order.order: order.ended for order in rows(log, "orders") if order.ending in CANCELLED}
    waits = rows(log, "room_waits")
    kept = {wait.kept_task: wait.end for wait in waits if wait.kept_task >= 0}
    for wait in waits:
        assert wait.start < wait.end and centres[log.places[int(wait.place)]].room_before_bundles is not None
        assert bundles[wait.bundle].order == wait.order and bundles[wait.bundle].attempt == 0
        assert (wait.kept_place >= 0) == (wait.kept_seat >= 0) == (wait.kept_task >= 0)
        assert wait.end <= max(gone.get(wait.order, wait.end), wait.start)
    tasks: dict[float, list[Any]] = defaultdict(list)
    for operation in rows(log, "operations"):
        tasks[operation.task].append(operation)
    lets_in = {(wait.bundle, wait.end) for wait in waits}
    there: dict[str, list[Span]] = defaultdict(list)
    for parts in tasks.values():
        first, last = parts[0], parts[-1]
        centre = centres.get(log.places[int(first.place)])
        if centre is None or min(first.bundle, first.seat) < 0 or centre.room_before_bundles is None:
            continue
        if first.attempt == 0 and KINDS[int(first.kind)] != "repair" and bundles[first.bundle].parent < 0:
            end = kept.get(last.task, last.end) if last.last else max(last.end, gone.get(first.order, float("inf")))
            there[centre.id].append((first.ready, end))
            lets_in.discard((first.bundle, first.ready))
    for name, spans in there.items():
        most = centres[name].seats + centres[name].room_before_bundles
        for at in {start for start, _ in spans}:
            assert sum(start <= at < end for start, end in spans) <= most
    # Who was let in has an operation there, unless it was cancelled or is still in line at the end.
    inside = {order.order for order in rows(log, "orders") if order.ending == INSIDE}
    for bundle, end in lets_in:
        assert end == float("inf") or bundles[bundle].order in gone or bundles[bundle].order in inside


def littles_law(_: Scenario, log: RunLog) -> None:
    """The area under the orders inside, within a window, is the sum of the orders' time inside that window."""
    spans = [(order.received, order.ended) for order in rows(log, "orders")]
    for begin, end in ((0.0, log.horizon_min), (log.horizon_min * 0.3, log.horizon_min * 0.8)):
        changes = sorted(change for start, stop in spans for change in ((start, 1), (stop, -1)))
        area, inside, since = 0.0, 0, begin
        for at, change in changes:
            if begin < at:
                area += inside * (min(at, end) - min(since, end))
                since = at
            inside += change
        area += inside * max(0.0, end - since)
        stays = sum(max(0.0, min(stop, end) - max(start, begin)) for start, stop in spans)
        assert area == pytest.approx(stays, rel=1e-9, abs=EPS)


LAWS = (
    orders_balance,
    pieces_balance,
    metres_balance,
    spans_tile,
    people_once,
    only_in_working_hours,
    seats_once,
    parts_follow,
    skilled_and_paired,
    more_urgent_first,
    side_work_is_short_and_idle,
    lifts_enough,
    limits_kept,
    rooms_kept,
    littles_law,
)
