"""Times and busy shares of printers, places and crews over the window, as numbers: what a row of measures needs."""

from __future__ import annotations

import numpy as np

from shopsim.floor.record import STATE
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats, summed
from shopsim.measures.iso_terms import DELAY, DOWN, PRODUCTION, SET_UP, STATE_TERMS, UnitTimes, ratio

_HOT = ("printing", "tail", "waiting_job", "waiting_material", "waiting_operator")


def printer_times(facts: Facts) -> list[UnitTimes]:
    """The ISO 22400 times of each printer in the window."""
    with_hands, alone = facts.printer_minutes
    return [
        UnitTimes(
            _of_term(with_hands[i], PRODUCTION) + _of_term(alone[i], PRODUCTION),
            _of_term(with_hands[i], SET_UP) + _of_term(alone[i], SET_UP),
            _of_term(with_hands[i], DELAY),
            _of_term(with_hands[i], DOWN),
        )
        for i in range(len(facts.log.printers))
    ]


def _of_term(minutes: Floats, term: str) -> float:
    return float(sum(minutes[STATE[state]] for state, name in STATE_TERMS.items() if name == term))


def unattended_hot_min(facts: Facts) -> float:
    """Minutes in the window in which a hot printer printed, fed its tail or stood waiting with nobody there, all
    printers together (handbook SAF-08)."""
    _, alone = facts.printer_minutes
    return float(alone[:, [STATE[state] for state in _HOT]].sum())


def reprint_share(facts: Facts) -> float:
    """Finished m2 of printed pieces found in the window to be made again, over finished m2 that came off the printers
    in it. NaN without print."""
    printed = facts.printed_area_m2[facts.window.holds(facts.column("prints", "end"))].sum()
    from_print = np.array([product.print_step is not None for product in facts.scenario.products], dtype=np.bool_)
    again = facts.window.holds(facts.column("remakes", "at")) & from_print[facts.code("remakes", "product")]
    return ratio(float(facts.column("remakes", "m2")[again].sum()), float(printed))


def place_busy_shares(facts: Facts) -> list[float]:
    """Seat minutes worked over open seat minutes, by place; NaN for the print room and places never open."""
    return [
        ratio(float(worked), seats * facts.open_min(place)) if seats is not None else float("nan")
        for place, (worked, seats) in enumerate(zip(facts.worked_by_place, facts.log.place_seats, strict=True))
    ]


def place_blocked_shares(facts: Facts) -> dict[str, float]:
    """Open seat minutes in which a finished bundle kept its seat, for want of room at its next place, over open seat
    minutes, by work centre; empty where no place has limited room, NaN for places never open."""
    centres = facts.scenario.work_centres
    if all(centre.room_before_bundles is None for centre in centres):
        return {}
    start = np.maximum(facts.column("room_waits", "start"), facts.window.start_min)
    end = np.maximum(start, np.minimum(facts.column("room_waits", "end"), facts.window.end_min))
    kept = facts.code("room_waits", "kept_place")
    shares = {}
    for centre in centres:
        place = facts.log.places.index(centre.id)
        hours, mine = facts.place_hours[place], kept == place
        blocked = float(hours.minutes(start[mine], end[mine]).sum())
        shares[centre.id] = ratio(blocked, centre.seats * facts.open_min(place))
    return shares


def crew_busy_shares(facts: Facts) -> list[float]:
    """Person minutes worked (side work left out) over person minutes there (overtime included), by crew; NaN if nobody
    was ever there."""
    worked = summed(facts.crew_of, facts.worked_by_person, len(facts.log.crews))
    there = facts.attended_by_crew + facts.overtime_by_crew
    return [ratio(float(one), float(whole)) for one, whole in zip(worked, there, strict=True)]


def handover_min(facts: Facts) -> float:
    """Minutes lost in the window because somebody else went on with a piece of work, by the handover of their shift."""
    task, part = facts.code("operations", "task"), facts.code("operations", "part")
    order = np.lexsort((part, task))
    task, part = task[order], part[order]
    person = facts.code("operations", "person")[order]
    follows = (part[1:] > 0) & (task[1:] == task[:-1]) & (person[1:] >= 0) & (person[:-1] >= 0)
    handed = follows & (person[1:] != person[:-1])
    handed &= facts.window.holds(facts.column("operations", "start")[order][1:])
    shifts = facts.scenario.by_id("shifts")
    each = np.array([shifts[crew.shift].handover_min for crew in facts.scenario.crews])
    return float(each[facts.crew_of[person[1:][handed]]].sum())
