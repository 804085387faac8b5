"""The records as tidy tables for files: names instead of codes, empty instead of -1, ISO 8601 stamps beside minutes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pandas as pd

from shopsim.floor.record import COLUMNS, ENDINGS, INK_CAUSES, KINDS, METRE_CAUSES, REMAKE_CAUSES, STATES, RunLog
from shopsim.measures.dictionary import DICTIONARY, stamped
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats, Ints
from shopsim.measures.spans import PERSON_STATES, SEAT_STATES, person_spans_of, seat_spans_of
from shopsim.shop.scenario import Scenario

_CODES: dict[tuple[str, str], Sequence[str]] = {
    ("operations", "kind"): KINDS, ("printer_states", "state"): STATES, ("metres", "cause"): METRE_CAUSES,
    ("ink", "cause"): INK_CAUSES, ("orders", "ending"): ENDINGS, ("remakes", "cause"): REMAKE_CAUSES,
    ("remakes", "found_at"): KINDS,
}  # fmt: skip


def frames(log: RunLog, scenario: Scenario) -> dict[str, pd.DataFrame]:
    """All records of a run, and the spans of people and seats, by table name; `DICTIONARY` explains every column."""
    facts = Facts(log, scenario)
    tables = {name: _record_frame(facts, name) for name in COLUMNS}
    people, seats = person_spans_of(facts), seat_spans_of(facts)
    names = _names(log)
    tables["person_spans"] = pd.DataFrame({
        "person": _named(people.person, names["person"]), "state": _named(people.state, PERSON_STATES),
        "overtime": people.overtime, "start": people.start, "end": people.end,
    })  # fmt: skip
    tables["seat_spans"] = pd.DataFrame({
        "place": _named(seats.place, names["place"]), "seat": seats.seat, "state": _named(seats.state, SEAT_STATES),
        "start": seats.start, "end": seats.end,
    })  # fmt: skip
    start = np.datetime64(scenario.shop.starts, "s")
    return {name: _with_stamps(frame, stamped(name), start) for name, frame in tables.items()}


def _names(log: RunLog) -> Mapping[str, Sequence[str]]:
    people = [person.name for person in log.people]
    return {
        "person": people, "helper": people, "crew": log.crews, "place": log.places, "printer": log.printers,
        "fabric": log.fabrics, "product": log.products,
        "kept_place": log.places,
    }  # fmt: skip


def _record_frame(facts: Facts, table: str) -> pd.DataFrame:
    names = _names(facts.log)
    columns = {}
    for name in COLUMNS[table]:
        values = facts.column(table, name)
        unit = DICTIONARY[table][name][0]
        codes = _CODES.get((table, name)) or names.get(name)
        if codes is not None:
            columns[name] = _named(values.astype(np.int64), codes)
        elif unit == "yes/no":
            columns[name] = pd.Series(values > 0)
        elif unit == "1":
            columns[name] = pd.Series(values.astype(np.int64)).astype("Int64").where(values >= 0)
        else:
            columns[name] = pd.Series(_or_empty(values, DICTIONARY[table][name][2]))
    return pd.DataFrame(columns)


def _or_empty(values: Floats, when_empty: str) -> Floats:
    """NaN for "none" (-1) and for "not yet" (infinity), in columns that may be empty."""
    if when_empty == "never":
        return values
    return np.where((values == -1.0) | np.isinf(values), np.nan, values)


def _named(codes: Ints, names: Sequence[str]) -> pd.Series:
    """Codes as a categorical; -1 is empty."""
    unique = list(dict.fromkeys(names))
    # Two people may bear one name; categories may not.
    to_unique = np.array([unique.index(name) for name in names] + [-1], dtype=np.int64)
    own: Ints = to_unique[codes]
    return pd.Series(pd.Categorical.from_codes(own, categories=pd.Index(unique, dtype="str")))


def _with_stamps(frame: pd.DataFrame, columns: list[str], start: np.datetime64) -> pd.DataFrame:
    stamps = {f"{name}_iso": _stamps(frame[name].to_numpy(), start) for name in columns}
    return pd.concat([frame, pd.DataFrame(stamps, index=frame.index, dtype="str")], axis=1)


def _stamps(minutes: Floats, start: np.datetime64) -> pd.Series:
    """ISO 8601 to the second, e.g. 2026-01-05T07:30:00; parts of a second are cut off."""
    known = np.isfinite(minutes)
    seconds = np.floor(np.where(known, minutes, 0.0) * 60 + 1e-6).astype("timedelta64[s]")
    text = pd.Series(np.datetime_as_string(start + seconds), dtype="str")
    return text.where(known)
