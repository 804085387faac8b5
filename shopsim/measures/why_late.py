"""Why an order took as long as it did, and all orders together; the minutes add up to the lead time."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import pandas as pd

from shopsim.floor.record import DISPATCHED, RunLog
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Bools, summed
from shopsim.measures.stretches import REASONS, stretches_of
from shopsim.shop.scenario import Scenario

__all__ = ["REASONS", "Stretch", "order_story", "reasons_by_place", "why_late"]


class Stretch(NamedTuple):
    """One part of an order's lead time: [start_min, end_min), why, and the place where it applies ("" for none)."""

    start_min: float
    end_min: float
    reason: str
    place: str


def order_story(log: RunLog, scenario: Scenario, order: int) -> list[Stretch]:
    """The lead time of one dispatched order in time order, without empty stretches.

    Raises ValueError if the order does not exist or was not dispatched before the end.
    """
    facts = Facts(log, scenario)
    rows = np.flatnonzero((facts.column("orders", "order") == order) & _was_dispatched(facts))
    if not len(rows):
        raise ValueError(f"order {order} was not dispatched in this run")
    parts = stretches_of(facts, rows)
    names = [*log.places, ""]
    reasons = list(REASONS)
    return [
        Stretch(start, end, reasons[reason], names[place])
        for start, end, reason, place in zip(
            parts.start.tolist(), parts.end.tolist(), parts.reason.tolist(), parts.place.tolist(), strict=True
        )
    ]


def why_late(log: RunLog, scenario: Scenario) -> pd.DataFrame:
    """One row an order dispatched in the window: order, received, due, dispatched (min), `lead_min`, `late_min` (0 if
    on time), and the minutes of each of `REASONS`, which add up to `lead_min`."""
    return why_late_from(Facts(log, scenario))


def why_late_from(facts: Facts) -> pd.DataFrame:
    """As `why_late`, from facts at hand."""
    rows = np.flatnonzero(facts.dispatched)
    parts = stretches_of(facts, rows)
    cell = parts.at * len(REASONS) + parts.reason
    minutes = summed(cell, parts.end - parts.start, len(rows) * len(REASONS)).reshape(len(rows), len(REASONS))
    received, due, out = (facts.column("orders", name)[rows] for name in ("received", "due", "dispatched"))
    head = pd.DataFrame({
        "order": facts.code("orders", "order")[rows], "received": received, "due": due, "dispatched": out,
        "lead_min": out - received, "late_min": np.maximum(out - due, 0.0),
    })  # fmt: skip
    return pd.concat([head, pd.DataFrame(minutes, columns=list(REASONS))], axis=1)


def reasons_by_place(log: RunLog, scenario: Scenario, late_only: bool = False) -> pd.DataFrame:
    """Mean hours an order and share of all lead time by `reason` and `place`, orders dispatched in the window; of the
    late ones only, if so asked. The hours add up to the mean lead time."""
    facts = Facts(log, scenario)
    chosen = facts.dispatched
    if late_only:
        chosen &= facts.column("orders", "dispatched") > facts.column("orders", "due")
    rows = np.flatnonzero(chosen)
    parts = stretches_of(facts, rows)
    places = len(log.places) + 1
    minutes = summed(parts.reason * places + parts.place + 1, parts.end - parts.start, places * len(REASONS))
    found = np.flatnonzero(minutes)
    names, reasons = ["", *log.places], list(REASONS)
    return pd.DataFrame({
        "reason": [reasons[cell // places] for cell in found.tolist()],
        "place": [names[cell % places] for cell in found.tolist()],
        "mean_h": minutes[found] / 60 / max(1, len(rows)),
        "share": minutes[found] / minutes.sum(),
    })  # fmt: skip


def _was_dispatched(facts: Facts) -> Bools:
    return np.asarray((facts.column("orders", "ending") == DISPATCHED) & np.isfinite(facts.left))
