"""How the time of printers, people, crews and places splits by state over the window, and the ISO 22400 key figures."""

from __future__ import annotations

import numpy as np
import pandas as pd

from shopsim.floor.record import KIND, STATES, RunLog
from shopsim.measures.busy_time import crew_busy_shares, place_busy_shares, printer_times, reprint_share
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats, Ints, summed
from shopsim.measures.iso_terms import DELAY, STATE_TERMS, Output, ratio
from shopsim.measures.spans import (
    ABSENT,
    BREAK,
    IDLE,
    OFF_SHIFT,
    PERSON_STATES,
    SEAT_STATES,
    person_spans_of,
    seat_spans_of,
)
from shopsim.shop.route_times import speed_m_per_min
from shopsim.shop.scenario import Scenario

ATTENDANCE, WORK = "APAT", "APWT"
"""Actual personnel attendance time (there, breaks left out) and actual personnel work time (of it, at a task that
is no side work)."""


def time_split(log: RunLog, scenario: Scenario) -> pd.DataFrame:
    """Minutes and share of the window by `kind` (printer, person, crew, place), `id` and `state`, and the ISO `term`.

    The shares of one id add up to 1. A crew's minutes are those of all its people, a place's those of all its seats.
    Overtime lies in the states it was spent in; `overtime_h_per_week` among the measures tells how much there was.
    """
    return time_split_from(Facts(log, scenario))


def time_split_from(facts: Facts) -> pd.DataFrame:
    """As `time_split`, from facts at hand."""
    parts = [_printer_rows(facts), *_people_rows(facts), _place_rows(facts)]
    frame = pd.concat([part for part in parts if len(part)], ignore_index=True)
    whole = frame.groupby(["kind", "id"])["minutes"].transform("sum")
    frame.insert(4, "share", frame["minutes"] / whole)
    return frame


def _printer_rows(facts: Facts) -> pd.DataFrame:
    with_hands, alone = facts.printer_minutes
    rows = []
    for i, name in enumerate(facts.log.printers):
        for state, minutes, unattended in zip(STATES, with_hands[i] + alone[i], alone[i], strict=True):
            if minutes:
                rows.append(("printer", name, state, float(minutes), STATE_TERMS[state], float(unattended)))
    return pd.DataFrame(rows, columns=["kind", "id", "state", "minutes", "term", "unattended_min"])


def _people_rows(facts: Facts) -> list[pd.DataFrame]:
    spans = person_spans_of(facts)
    minutes = facts.window.clipped(spans.start, spans.end)
    people = _summed(spans.person, spans.state, minutes, len(facts.log.people), len(PERSON_STATES))
    crews = np.zeros((len(facts.log.crews), len(PERSON_STATES)))
    np.add.at(crews, facts.crew_of, people)
    names = [person.name for person in facts.log.people]
    term = [_person_term(state) for state in range(len(PERSON_STATES))]
    return [
        _frame("person", names, PERSON_STATES, people, term),
        _frame("crew", facts.log.crews, PERSON_STATES, crews, term),
    ]


def _person_term(state: int) -> str:
    if state in (BREAK, OFF_SHIFT, ABSENT):
        return ""
    return ATTENDANCE if state in (IDLE, KIND["side_work"]) else WORK


def _place_rows(facts: Facts) -> pd.DataFrame:
    spans = seat_spans_of(facts)
    minutes = facts.window.clipped(spans.start, spans.end)
    places = _summed(spans.place, spans.state, minutes, len(facts.log.places), len(SEAT_STATES))
    return _frame("place", facts.log.places, SEAT_STATES, places, ["APT", "", DELAY, "down", ""])


def _summed(owner: Ints, state: Ints, minutes: Floats, owners: int, states: int) -> Floats:
    return summed(owner * states + state, minutes, owners * states).reshape(owners, states)


def _frame(kind: str, names: list[str], states: tuple[str, ...], minutes: Floats, terms: list[str]) -> pd.DataFrame:
    owner, state = np.nonzero(minutes)
    return pd.DataFrame({
        "kind": kind,
        "id": [names[i] for i in owner],
        "state": [states[i] for i in state],
        "minutes": minutes[owner, state],
        "term": [terms[i] for i in state],
        "unattended_min": 0.0,
    })  # fmt: skip


# -- key figures ------------------------------------------------------------------------------------------------------


def key_figures(log: RunLog, scenario: Scenario) -> pd.DataFrame:
    """ISO 22400-2 figures by `kind` (printer, place, crew), `id` and `figure`, over the window.

    Quantities are m2 of pieces at print size; planned run time is that of the mode at the printer's full width. The
    records do not say on which printer a piece made again was first printed, so the quality ratio is the shop's own for
    every printer; a faulty print is scrap, never rework. A place's planned busy time is its open seat time; a crew's
    worker efficiency is work time over attendance time.
    """
    facts = Facts(log, scenario)
    rows: list[tuple[str, str, str, float]] = []
    for i, times in enumerate(printer_times(facts)):
        figures = times.key_figures() | _printer_output(facts, i).key_figures(times, times.busy_min)
        rows += [("printer", log.printers[i], name, value) for name, value in figures.items()]
    for i, share in enumerate(place_busy_shares(facts)):
        if log.place_seats[i] is not None:
            rows.append(("place", log.places[i], "availability", share))
    rows += [("crew", log.crews[i], "worker_efficiency", share) for i, share in enumerate(crew_busy_shares(facts))]
    return pd.DataFrame(rows, columns=["kind", "id", "figure", "value"])


def _printer_output(facts: Facts, printer: int) -> Output:
    """Quantities of one printer from its runs that ended in the window."""
    mine = (facts.column("runs", "printer") == printer) & facts.window.holds(facts.column("runs", "end"))
    m2 = facts.column("runs", "pieces_m2")[mine]
    planned_min = _planned_min_per_m2(
        facts, printer, facts.code("runs", "fabric")[mine], facts.code("runs", "mode")[mine]
    )
    produced = float(m2.sum())
    faulty = reprint_share(facts)
    faulty = 0.0 if np.isnan(faulty) else faulty
    return Output(
        produced, produced * (1 - faulty), produced * faulty, 0.0, ratio(float(np.sum(planned_min * m2)), produced),
    )  # fmt: skip


def _planned_min_per_m2(facts: Facts, printer: int, fabrics: Ints, modes: Ints) -> Floats:
    model = facts.scenario.printers[printer]
    pairs = sorted(set(zip(fabrics.tolist(), modes.tolist(), strict=True)))
    each = {}
    for fabric, mode in pairs:
        cloth = facts.scenario.fabrics[fabric]
        width_m = min(model.print_width_m, cloth.roll_width_m)
        each[fabric, mode] = 1 / (speed_m_per_min(model, model.modes[mode], cloth, width_m) * width_m)
    return np.array([each[pair] for pair in zip(fabrics.tolist(), modes.tolist(), strict=True)])
