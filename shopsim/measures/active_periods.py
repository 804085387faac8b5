"""When each resource of a shop was active, as the bottleneck methods of `bottleneck` ask for.

A resource is active while it works, is set up or repaired, and inactive while it waits. Resources are every printer;
every place, active while all its seats are worked at (else a seat could take more); the people of each home skill
(the first a crew has), active while everybody present works (else a person could take more). So a place stands for
its machines, and people are counted together however the file groups them into crews. Closed hours and breaks of a
resource neither end nor lengthen its active periods: a sewing room that is full when it closes and full when it opens
again was never inactive. Durations are minutes of shop time, in which somebody is at work; a period that runs over an
edge of the window counts as long as it lies inside. Side work is no work here: who does it found nothing to do.
"""

from __future__ import annotations

import numpy as np

from shopsim.clock import SLIVER_MIN
from shopsim.floor.record import STATES
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats, Intervals, Ints, merged, union

PEOPLE = " people"
_INACTIVE = ("off", "waiting_job", "waiting_material", "waiting_operator")


def shop_hours(facts: Facts) -> Intervals:
    """When anybody is at work or looks after the printers, inside the window."""
    hours = union([facts.attended, *facts.crew_hours])
    return hours.clipped(facts.window.start_min, facts.window.end_min)


def in_shop_time(facts: Facts) -> dict[str, tuple[str, Intervals]]:
    """(kind, active periods) of every resource on a clock that stands still while nobody is at work."""
    shop = shop_hours(facts)
    return {
        name: (kind, merged(shop.before(periods.starts), shop.before(periods.ends)))
        for name, (kind, periods) in active_periods(facts).items()
    }


def active_periods(facts: Facts) -> dict[str, tuple[str, Intervals]]:
    """(kind, active periods on the clock, clipped to the window) of printers, places with seats, people by skill."""
    found: dict[str, tuple[str, Intervals]] = {}
    for i, name in enumerate(facts.log.printers):
        found[name] = ("printer", _bridged(_printer_active(facts, i), facts.attended))
    row, start, end = facts.pieces
    at = facts.seat_place[row]
    for i, name in enumerate(facts.log.places):
        if facts.log.place_seats[i] is not None:
            full = _all_at_once(start[at == i], end[at == i], facts.log.place_seats[i] or 0)
            found[name] = ("place", _bridged(full, facts.place_hours[i]))
    for name, crews in people_by_home_skill(facts).items():
        hours = union([facts.crew_hours[crew] for crew in crews])
        found[name] = ("people", _bridged(_people_active(facts, crews), hours))
    window = facts.window
    return {name: (kind, periods.clipped(window.start_min, window.end_min)) for name, (kind, periods) in found.items()}


def _printer_active(facts: Facts, printer: int) -> Intervals:
    works = np.array([state not in _INACTIVE for state in STATES], dtype=np.bool_)
    mine = (facts.column("printer_states", "printer") == printer) & works[facts.code("printer_states", "state")]
    return merged(facts.column("printer_states", "start")[mine], facts.column("printer_states", "end")[mine])


def people_by_home_skill(facts: Facts) -> dict[str, list[int]]:
    """Crew numbers by home skill, named `sewing people`; an id has no space, so no place can have such a name."""
    found: dict[str, list[int]] = {}
    for i, crew in enumerate(facts.scenario.crews):
        found.setdefault(f"{crew.home_skill}{PEOPLE}", []).append(i)
    return found


def _people_active(facts: Facts, crews: list[int]) -> Intervals:
    """When everybody of these crews who is present works; never when nobody is."""
    row, start, end = facts.pieces
    starts, ends = [], []
    for name in ("person", "helper"):
        who = facts.code("operations", name)[row]
        mine = (who >= 0) & np.isin(facts.crew_of[who], crews) & ~facts.side_work
        starts.append(start[mine])
        ends.append(end[mine])
    ups: list[Floats] = []
    downs: list[Floats] = []
    for crew in crews:
        hours, absent = facts.crew_hours[crew], _absences(facts, crew)
        ups += [np.repeat(hours.starts, facts.crew_sizes[crew]), absent.ends]
        downs += [np.repeat(hours.ends, facts.crew_sizes[crew]), absent.starts]
    busy = _level(np.concatenate(starts), np.concatenate(ends))
    present = _level(np.concatenate(ups), np.concatenate(downs))
    cuts = np.union1d(busy[0], present[0])
    working, there = _at(busy, cuts), _at(present, cuts)
    full = (there > 0) & (working >= there)
    return merged(cuts[:-1][full[:-1]], cuts[1:][full[:-1]])


def _absences(facts: Facts, crew: int) -> Intervals:
    """Person-shifts missed, one interval a person and stretch; not disjoint, so only its arrays may be used."""
    calendar, overtime = facts.log.crew_calendars[crew], facts.overtime_of[crew]
    days = facts.code("absences", "day")[facts.crew_of[facts.code("absences", "person")] == crew]
    start_days, starts, ends = np.array(calendar.start_days), np.array(calendar.starts), np.array(calendar.ends)
    if not len(days) or not len(starts):
        return Intervals(np.empty(0), np.empty(0))
    extra_days = start_days[np.searchsorted(starts, overtime.starts, side="right") - 1]
    all_days = np.concatenate((start_days, extra_days))
    hit, _ = np.nonzero(all_days[:, None] == days[None, :])
    return Intervals(np.concatenate((starts, overtime.starts))[hit], np.concatenate((ends, overtime.ends))[hit])


def _all_at_once(starts: Floats, ends: Floats, wanted: int) -> Intervals:
    """When at least `wanted` spans run at once."""
    times, level = _level(starts, ends)
    full = level[:-1] >= wanted
    return merged(times[:-1][full], times[1:][full])


def _level(ups: Floats, downs: Floats) -> tuple[Floats, Ints]:
    """Times of change and the level from each on, of a count that steps up and down."""
    times = np.concatenate((ups, downs))
    steps = np.concatenate((np.ones(len(ups), dtype=np.int64), np.full(len(downs), -1)))
    order = np.argsort(times, kind="stable")
    times, level = times[order], np.cumsum(steps[order])
    kept = np.append(times[1:] != times[:-1], True)[: len(times)]
    return times[kept], level[kept]


def _at(steps: tuple[Floats, Ints], times: Floats) -> Ints:
    return np.append(steps[1], 0)[np.searchsorted(steps[0], times, side="right") - 1]


def _bridged(active: Intervals, hours: Intervals) -> Intervals:
    """Join active periods with no open minute of the resource between them; rounding is no minute."""
    if not active.starts.size:
        return active
    gap = hours.minutes(active.ends[:-1], active.starts[1:])
    apart = np.append(True, gap > SLIVER_MIN)
    return Intervals(active.starts[apart], active.ends[np.append(apart[1:], True)])
