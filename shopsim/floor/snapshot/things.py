"""What comes and goes on the floor and may be referred to from several places: orders, lines, bundles, tasks, jobs.

`made` are the attributes a thing is made of, in the order in which its maker takes them; `further` are set once all
things are there, for they may refer to each other.
"""

from __future__ import annotations

from collections import deque

from shopsim.floor.printer import PrinterProcess
from shopsim.floor.record import ENDINGS, KINDS
from shopsim.floor.snapshot.calls import ENDING
from shopsim.floor.snapshot.kinds import (
    NUMBER,
    TEXT,
    TRUTH,
    WHOLE,
    Attributes,
    Coded,
    Kind,
    Mapping,
    Maybe,
    Part,
    Several,
    Thing,
    Together,
)
from shopsim.floor.snapshot.values import BAND, LINE, ORDER, OWNERS, PERSON, STATION

_PIECES = Several(WHOLE)

# In the order in which they are made: what a thing is made of stands above it.
_MADE: dict[str, dict[str, Kind]] = {
    "orders": {"number": WHOLE, "draw": ORDER},
    "lines": {"order": Thing("orders"), "number": WHOLE, "draw": LINE},
    "bundles": {
        "number": WHOLE, "line": Thing("lines"), "pieces": _PIECES, "attempt": WHOLE, "step": WHOLE, "run": WHOLE,
    },
    "jobs": {"line": Thing("lines"), "pieces": _PIECES, "attempt": WHOLE, "lane": WHOLE, "ready": NUMBER},
    "groups": {"fabric": WHOLE, "mode": TEXT, "able": Several(WHOLE, tuple)},
    "gangs": {
        "run": WHOLE, "fabric": WHOLE, "mode": TEXT, "image_width_m": NUMBER, "bands": Several(BAND),
        "jobs": Several(Thing("jobs")), "made_at": NUMBER,
    },
    "tasks": {"station": STATION, "kind": Coded(KINDS), "minutes": NUMBER},
}  # fmt: skip

_FURTHER: dict[str, dict[str, Kind]] = {
    "orders": {
        "lines": Several(Thing("lines")), "left": WHOLE, "released": NUMBER, "complete": NUMBER, "gone": TRUTH,
        "printed": TRUTH, "ending": Coded(ENDINGS), "last_bundle": WHOLE, "check_task": WHOLE, "remakes": WHOLE,
        "claims": WHOLE, "lots": Mapping(WHOLE, WHOLE), "lot_broken": TRUTH, "return_to": Maybe(ENDING),
    },
    "lines": {},
    "bundles": {"faults": Mapping(WHOLE, WHOLE), "mended": TRUTH},
    "jobs": {"gang_ready": NUMBER, "open": TRUTH},
    "groups": {
        "heap": Several(Together(WHOLE, NUMBER, WHOLE, Thing("jobs"))), "arrivals": Several(Thing("jobs"), deque),
        "web_m": NUMBER, "urgent": WHOLE, "ready_since": Maybe(NUMBER), "looks_again_at": NUMBER,
    },
    "gangs": {
        "started": NUMBER, "next": WHOLE, "done": OWNERS, "done_m": NUMBER, "done_m2": NUMBER, "first_article": TRUTH,
        "days_put_off": WHOLE,
    },
    "tasks": {
        "place": WHOLE, "people": WHOLE, "needs_lift": TRUTH, "lane": WHOLE, "due": NUMBER, "family": WHOLE,
        "order": Maybe(Thing("orders")), "bundle": Maybe(Thing("bundles")), "pieces": WHOLE, "attempt": WHOLE,
        "labour": NUMBER, "cargo": Several(Thing("bundles")), "part": WHOLE, "seat": WHOLE, "number": WHOLE,
        "ready": NUMBER, "full_at": NUMBER, "left_min": NUMBER, "lift": TRUTH, "person": Maybe(PERSON),
        "partner": Maybe(PERSON), "last_person": Maybe(PERSON), "on_done": ENDING,
        "watcher": Maybe(Part(PrinterProcess, "a printer")),
    },
}  # fmt: skip

MADE = {table: Attributes(kinds) for table, kinds in _MADE.items()}
FURTHER = {table: Attributes(kinds) for table, kinds in _FURTHER.items()}
