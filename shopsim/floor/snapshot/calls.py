"""What may be called later, by the name of a part and of one of its methods, and with which values.

Nothing outside these tables is ever called from a state, whatever the file says.
"""

from __future__ import annotations

from functools import partial
from typing import Any

from shopsim.floor.snapshot.kinds import (
    NOTHING,
    NUMBER,
    TEXT,
    TRUTH,
    WHOLE,
    Book,
    Cell,
    Kind,
    Maybe,
    Several,
    Shelf,
    Thing,
    Together,
    UnfitError,
    read_each,
    refuse,
)
from shopsim.floor.snapshot.values import PERSON, PORTION, TASK

Calls = dict[str, dict[str, tuple[Kind, ...]]]

# Pending events: class, method, its one value.
EVENTS: Calls = {
    "Receipt": {"_next_comes": (NOTHING,)},
    "Hours": {"_come": (WHOLE,), "_begin": (WHOLE,)},
    "OvertimeDesk": {"_notice": (WHOLE,), "_noticed": (WHOLE,)},
    "SideWorkCrew": {"_take_up": (PERSON,), "_back": (PERSON,)},
    "Intake": {"_cancel": (Thing("orders"),), "_approved": (Thing("orders"),)},
    "FleetOut": {"_come_back": (NOTHING,)},
    "Flow": {"_rested": (Thing("bundles"),)},
    "Station": {"_end_stretch": (TASK,), "up_again": (WHOLE,)},
    "DrumStation": {"_has_become_hot": (WHOLE,)},
    "InterruptedStation": {"_people_come": (WHOLE,), "_people_are_there": (WHOLE,), "_look_again": (NOTHING,)},
    "SeatRepairs": {"clock_struck": (WHOLE,), "_is_up": (Together(WHOLE, Maybe(TASK)),)},
    "CalenderLine": {"_dried": (Together(Several(Thing("bundles")), NUMBER),)},
    "PrintRoom": {
        "wake": (NOTHING,), "_waited_long": (Thing("groups"),), "_returned": (Together(Thing("lines"), WHOLE),),
    },
    "Shelf": {"_delivered": (WHOLE,)},
    "PrinterProcess": {"go_on": (NOTHING,), "_looks_up": (NOTHING,), "_day_over": (NOTHING,)},
    "WebPath": {"_fixed": (PORTION,)},
}  # fmt: skip

# What follows a task that is done, and what follows an order that has left.
ENDINGS: Calls = {
    "Intake": {"_checked": ()},
    "Dispatch": {"_checked": ()},
    "Flow": {"done": (), "_mended": ()},
    "SeatRepairs": {"_mended": (WHOLE, Maybe(TASK))},
    "CalenderLine": {"_done": ()},
    "PrinterProcess": {"hands_done": (), "_looked_after": ()},
    "FleetOut": {"_send_out": ()},
}

# What may stand on a printer's agenda.
STEPS: Calls = {
    "PrinterProcess": {
        "hands": (TEXT, NUMBER, WHOLE, TRUTH), "_call_hands": (TEXT, NUMBER, WHOLE, TRUTH), "_service": (),
        "_switch_on": (NUMBER, Maybe(NUMBER)), "_warm_up": (NUMBER,), "_is_ready": (), "_is_in_mode": (TEXT,),
    },
    "WebPath": {"feed_tail": (), "empty_take_up": ()},
    "RollChanger": {
        "_take": (TRUTH,), "_seam_made": (), "_is_on": (NUMBER, TEXT), "_heat": (), "_is_hot": (NUMBER,),
    },
    "PrintRun": {"_printed": (NUMBER, NUMBER), "_end": ()},
    "RunningStops": {"stop": (), "_restart": (), "_renew": (), "_is_up": (), "_repaired": (NUMBER,)},
    "NozzleCare": {
        "_look_at_pattern": (), "_clean": (WHOLE,), "_cleaned": (WHOLE,), "service": (), "_serviced": (),
    },
    "FirstArticles": {"_print_strip": (NUMBER, WHOLE), "_judge": (WHOLE,)},
}  # fmt: skip
# `hands` may be asked for without saying how many people and whether with a lift.
_MAY_LACK = {"hands": 2}


class Call:
    """A method of a part, with plain values bound to it."""

    def __init__(self, known: Calls) -> None:
        self.known = known

    def _kinds(self, part: object, method: str) -> tuple[Kind, ...] | None:
        for each in type(part).__mro__:
            kinds = self.known.get(each.__name__, {}).get(method)
            if kinds is not None:
                return kinds
        return None

    def write(self, value: Any, book: Book) -> Cell:
        """The plain form: part, method, values."""
        bound: tuple[Any, ...] = ()
        if isinstance(value, partial):
            value, bound = value.func, value.args
        return self.write_with(value, bound, book)

    def write_with(self, method: Any, values: tuple[Any, ...], book: Book) -> Cell:
        """The plain form of a method and the values it is to be called with."""
        kinds = self._kinds(method.__self__, method.__name__)
        assert kinds is not None, method
        # Written as short as they were said: what is left out has a default.
        cells = [kind.write(value, book) for kind, value in zip(kinds, values, strict=False)]
        return [book.name(method.__self__), method.__name__, *cells]

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The method, its values bound to it."""
        method, values = self.read_with(cell, shelf)
        return partial(method, *values) if values else method

    def read_with(self, cell: Cell, shelf: Shelf) -> tuple[Any, tuple[Any, ...]]:
        """The method and its values."""
        if not isinstance(cell, list) or len(cell) < 2 or not all(isinstance(name, str) for name in cell[:2]):
            refuse("a part, what it does and with what", cell)
        name, method, *cells = cell
        part = shelf.part(name)
        if part is None:
            raise UnfitError(f"the floor has no {name!r}").under("[0]")
        kinds = self._kinds(part, method)
        if kinds is None:
            raise UnfitError(f"{method!r} is nothing that {name} does here").under("[1]")
        if not len(kinds) - _MAY_LACK.get(method, 0) <= len(cells) <= len(kinds):
            refuse(f"{len(kinds)} values after the first two", cell)
        return getattr(part, method), tuple(read_each(zip(kinds, cells, strict=False), shelf, first=2))


class _Step(Call):
    """A method and its values, not bound to it."""

    def write(self, value: Any, book: Book) -> Cell:
        """The plain form."""
        method, values = value
        return self.write_with(method, values, book)

    def read(self, cell: Cell, shelf: Shelf) -> Any:
        """The method and its values."""
        return self.read_with(cell, shelf)


ENDING = Call(ENDINGS)
# The next step of an agenda stands last.
AGENDA = Several(_Step(STEPS))
# Minute, priority, what is called with which value.
EVENT = Together(NUMBER, WHOLE, _Step(EVENTS))
