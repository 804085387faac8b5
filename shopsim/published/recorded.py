"""Records written by hand for printers that are attended all the time: what the measures make of a known log."""

from __future__ import annotations

import datetime
from array import array
from collections.abc import Iterable, Sequence

from shopsim.floor.record import STATE
from shopsim.floor.run import simulate
from shopsim.measures.facts import Facts
from shopsim.shop.scenario_file import check_values

Span = tuple[str, float, float]
"""State of a printer, start and end in minutes."""


def facts_of_printers(logs: Sequence[Iterable[Span]]) -> Facts:
    """What is known of a shop whose printers were in these states, a log a printer, and in none before and after."""
    scenario = check_values({
        "shop": {"name": "records", "starts": datetime.date(2026, 1, 5)},
        "printers": [
            {"id": f"press{i}", "modes": [{"id": "plain", "area_rate_m2_per_h": 60}]} for i in range(len(logs))
        ],
        "shifts": [{"id": "always", "round_the_clock": True}],
        "crews": [{"id": "operators", "count": len(logs), "skills": {"printing": 3, "general": 3}, "shift": "always"}],
        "products": [{"id": "visit", "route": [{"op": "work", "at": "desk", "minutes": 0}]}],
        "work_centres": [{"id": "desk"}],
        "demand": {"order_book": {"file": "not_read.csv"}},
        "study": {"weeks": 1, "opening": "empty"},
    }, "records")  # fmt: skip
    run = simulate(scenario, [])
    states = array("d")
    for printer, spans in enumerate(logs):
        for state, start, end in spans:
            states.extend((printer, STATE[state], start, end))
    run.columns["printer_states"] = states
    return Facts(run, scenario)
