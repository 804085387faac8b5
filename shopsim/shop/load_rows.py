"""Load against capacity as rows of a table that a page shows beside what is being edited."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Literal

from shopsim.shop.names import name_of, told
from shopsim.shop.order_book import OrderLine
from shopsim.shop.rough_cut import FULL, PRINT_ROOM, TIGHT, Load, RoughCut, rough_cut
from shopsim.shop.scenario import Scenario

Verdict = Literal["keeps up", "tight", "over full", "can never keep up"]
_SHORT_OF = {"machine": "machine", "seats": "seats", "people": "people"}


@dataclass(frozen=True, slots=True)
class LoadRow:
    """One place, printer or group of people: hours a week asked and there, load over all weeks and in the worst.

    Loads are in per cent, None where work is asked of nobody. `limit` is what runs short first.
    """

    name: str
    limit: str
    asked_h: float
    there_h: float
    load_pct: float | None
    worst_pct: float | None
    worst_week: date
    verdict: Verdict


def load_rows(scenario: Scenario, order_lines: Sequence[OrderLine] = ()) -> list[LoadRow]:
    """The rows of a checked scenario, the fullest first."""
    rows = list(_rows(scenario, rough_cut(scenario, order_lines)))
    return sorted(rows, key=lambda row: -(math.inf if row.load_pct is None else row.load_pct))


def _rows(scenario: Scenario, cut: RoughCut) -> Iterator[LoadRow]:
    for load in cut.loads:
        worst = max(load.by_week)
        asked_h, there_h = (sum(hours) / len(cut.mondays) for hours in (load.asked_h, load.there_h))
        yield LoadRow(
            _name(scenario, load), _SHORT_OF[load.limit], asked_h, there_h, _pct(load.share), _pct(worst),
            cut.mondays[load.peak], _verdict(load.share, worst),
        )  # fmt: skip


def _pct(share: float) -> float | None:
    return share * 100 if math.isfinite(share) else None


def _verdict(share: float, worst: float) -> Verdict:
    if share > FULL:
        return "can never keep up"
    return "over full" if worst > FULL else "tight" if worst > TIGHT else "keeps up"


def _name(scenario: Scenario, load: Load) -> str:
    if load.kind == "print_room":
        return "People at the printers"
    if load.kind == "people":
        places = ["the printers" if place == PRINT_ROOM else told(scenario, place) for place in load.places]
        return f"People shared by {', '.join(places[:-1])} and {places[-1]}"
    return name_of(scenario, load.id)
