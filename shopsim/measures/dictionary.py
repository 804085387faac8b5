"""The data dictionary: unit, meaning and "when empty" of every column of every table that leaves the program.

A `time` column of a record is minutes since 00:00 of the start Monday. Where a table is for reading, each of its time
columns has a stamp beside it, named `<column>_iso`: ISO 8601 text, empty where the minutes are.
"""

from __future__ import annotations

Entry = tuple[str, str, str]
"""(unit, meaning, when empty); unit 1 for counts, shares and running numbers, `name` for text, `yes/no` for flags."""

_NEVER = "never"
_PRINTER = ("name", "Printer", "not at a printer")
_FABRIC = ("name", "Fabric", _NEVER)
_PRODUCT = ("name", "Product", _NEVER)
_ORDER = ("1", "Running number of the order, from 0 in order of receipt", "work for no order")
_BUNDLE = ("1", "Running number of the bundle, from 0", "work on no bundle")
_PIECES = ("1", "Pieces", _NEVER)
_ATTEMPT = ("1", "0 for the first make, 1 for the first remake, and so on", _NEVER)


def _time(meaning: str, empty: str = _NEVER) -> Entry:
    return ("min", meaning, empty)


_RECORDS: dict[str, dict[str, Entry]] = {
    "operations": {
        "task": ("1", "Running number of the task; a task has several rows if it was put down", _NEVER),
        "part": ("1", "0 for the first stretch of the task, 1 for the next, and so on", _NEVER),
        "kind": ("name", "Kind of work", _NEVER),
        "place": ("name", "Where it is booked", "side work"),
        "seat": ("1", "Seat of the place from 0; at the print room the printer's number", "takes no seat"),
        "person": ("name", "Who does it", "done outside"),
        "helper": ("name", "Second person", "one person is enough"),
        "order": _ORDER,
        "bundle": _BUNDLE,
        "pieces": _PIECES,
        "attempt": _ATTEMPT,
        "ready": _time("When the task came into line"),
        "start": _time("Start of this stretch"),
        "end": _time("End of this stretch as known at the horizon, beyond which it may lie"),
        "worked_min": _time("Minutes worked in this stretch, breaks left out"),
        "wait_seat_min": _time("Open minutes between ready and start in which all seats were taken; first part only"),
        "last": ("yes/no", "Whether the task is done with this stretch", _NEVER),
    },
    "prints": {
        "printer": _PRINTER,
        "order": _ORDER,
        "bundle": _BUNDLE,
        "pieces": _PIECES,
        "attempt": _ATTEMPT,
        "ready": _time("When the pieces could be printed"),
        "gang_ready": _time("When their run could be made"),
        "start": _time("Start of the run"),
        "end": _time("Off the printer"),
        "run": ("1", "Running number of the run", _NEVER),
    },
    "runs": {
        "run": ("1", "Running number of the run; a run handed on in parts has several rows", _NEVER),
        "printer": _PRINTER,
        "fabric": _FABRIC,
        "mode": ("1", "Number of the printer's mode in the file, from 0", _NEVER),
        "start": _time("Start of the run"),
        "end": _time("When this part was printed"),
        "web_m": ("m", "Web printed in this part", _NEVER),
        "pieces_m2": ("m2", "Area of its pieces at print size", _NEVER),
        "pieces": _PIECES,
        "speed_m_per_min": ("m/min", "Web speed", _NEVER),
    },
    "printer_states": {
        "printer": _PRINTER,
        "state": ("name", "State; the spans of a printer tile the horizon", _NEVER),
        "start": _time("Start"),
        "end": _time("End"),
    },
    "calendered": {
        "task": ("1", "Task of the calender, see operations", _NEVER),
        "bundle": _BUNDLE,
        "order": _ORDER,
    },
    "metres": {
        "at": _time("When it was bought or used"),
        "printer": _PRINTER,
        "fabric": _FABRIC,
        "lot": ("1", "Delivery the roll came with; 0 is the opening stock", _NEVER),
        "cause": ("name", "What it was used for, or that it was bought", _NEVER),
        "metres": ("m", "Length; negative where metres booked before are booked anew", _NEVER),
        "m2": ("m2", "Length by roll width", _NEVER),
        "pieces_m2": ("m2", "Area of pieces on it, at print size", _NEVER),
    },
    "ink": {
        "at": _time("When it was used"),
        "printer": _PRINTER,
        "cause": ("name", "What it was used for", _NEVER),
        "ml": ("ml", "Ink", _NEVER),
    },
    "bundles": {
        "bundle": _BUNDLE,
        "parent": ("1", "Bundle a piece was taken out of for repair", "not taken out of another"),
        "order": _ORDER,
        "line": ("1", "Line of the order, from 0", _NEVER),
        "product": _PRODUCT,
        "pieces": ("1", "Pieces when it was made up", _NEVER),
        "attempt": _ATTEMPT,
        "made": _time("When it was made up"),
    },
    "lines": {
        "order": _ORDER,
        "line": ("1", "Line of the order, from 0", _NEVER),
        "product": _PRODUCT,
        "pieces": _PIECES,
        "width_m": ("m", "Finished width; 0 for a product without sizes", _NEVER),
        "height_m": ("m", "Finished height; 0 for a product without sizes", _NEVER),
    },
    "orders": {
        "order": _ORDER,
        "received": _time("Receipt; negative before the start"),
        "released": _time("Artwork approved, work may begin", "not released yet"),
        "due": _time("Latest dispatch promised"),
        "rush": ("yes/no", "Rush order", _NEVER),
        "complete": _time("All pieces finished and checked", "not complete"),
        "dispatched": _time("Leaves with the collection; may lie beyond the horizon", "not dispatched"),
        "delivered": _time("At the customer; may lie beyond the horizon", "not dispatched"),
        "ending": ("name", "How it ended, or that it is inside", _NEVER),
        "ended": _time("When it was dispatched, cancelled or turned away", "still inside"),
        "last_bundle": ("1", "Bundle finished last", "nothing finished"),
        "pieces": ("1", "Pieces ordered", _NEVER),
        "reprints": ("1", "Pieces made again", _NEVER),
        "claims": ("1", "Faulty pieces nobody found", _NEVER),
        "lot_broken": ("yes/no", "Wanted one fabric lot, got several", _NEVER),
        "check_task": ("1", "Task of the order check, see operations", "no order check"),
    },
    "remakes": {
        "at": _time("When the fault was found"),
        "order": _ORDER,
        "product": _PRODUCT,
        "attempt": ("1", "Attempt at which the piece was lost", _NEVER),
        "cause": ("name", "What was wrong", _NEVER),
        "found_at": ("name", "Kind of work at which it was found", _NEVER),
        "m2": ("m2", "Finished area of the piece", _NEVER),
    },
    "overtime": {
        "crew": ("name", "Crew that stays on", _NEVER),
        "start": _time("End of its shift"),
        "end": _time("End of the overtime"),
        "people": ("1", "People present", _NEVER),
    },
    "absences": {
        "person": ("name", "Who is away", _NEVER),
        "day": ("1", "Number of the day on which the missed shift begins, 0 the start Monday", _NEVER),
    },
    "bought_in": {
        "at": _time("When the work was given out"),
        "back": _time("When it comes back"),
        "order": _ORDER,
        "place": ("name", "The place that would have done it", _NEVER),
        "pieces": _PIECES,
        "cost": ("CU", "Price paid", _NEVER),
    },
    "release_waits": {
        "order": _ORDER,
        "start": _time("Approved, but the shop was full"),
        "end": _time("Released or cancelled", "still held back"),
    },
    "room_waits": {
        "bundle": _BUNDLE,
        "order": _ORDER,
        "place": ("name", "The place that has no room", _NEVER),
        "start": _time("Finished where it was"),
        "end": _time("Let in, or its order cancelled", "still waiting"),
        "kept_place": ("name", "Where it keeps a seat meanwhile", "keeps no seat"),
        "kept_seat": ("1", "The seat it keeps, from 0", "keeps no seat"),
        "kept_task": ("1", "The finished task it keeps the seat of, see operations", "keeps no seat"),
    },
    "interruptions": {
        "at": _time("When the piece was taken off its seat for more urgent work"),
        "task": ("1", "Its task, see operations", _NEVER),
        "part": ("1", "The part of the task that came before", _NEVER),
        "gave_way_to": ("1", "Task of the more urgent work", _NEVER),
    },
    "person_spans": {
        "person": ("name", "Who", _NEVER),
        "state": ("name", "Kind of work, or idle, break, off_shift, absent; a person's spans tile the horizon", _NEVER),
        "overtime": ("yes/no", "Whether the span lies in overtime", _NEVER),
        "start": _time("Start"),
        "end": _time("End"),
    },
    "seat_spans": {
        "place": ("name", "Where", _NEVER),
        "seat": ("1", "Seat of the place, from 0", _NEVER),
        "state": ("name", "busy, set_aside, blocked, idle, closed; the spans of a seat tile the horizon", _NEVER),
        "start": _time("Start"),
        "end": _time("End"),
    },
}  # fmt: skip

_DURATIONS = {"worked_min", "wait_seat_min"}


def stamped(table: str) -> list[str]:
    """The columns of a table that are points in time."""
    return [name for name, (unit, _, _) in _RECORDS[table].items() if unit == "min" and name not in _DURATIONS]


DICTIONARY: dict[str, dict[str, Entry]] = {
    table: entries | {f"{name}_iso": ("ISO 8601", entries[name][1], entries[name][2]) for name in stamped(table)}
    for table, entries in _RECORDS.items()
}
"""Table -> column -> (unit, meaning, when empty), stamps included."""
