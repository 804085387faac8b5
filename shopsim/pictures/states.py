"""What printers, seats and people do, in groups that a picture can tell apart, coloured by meaning.

Blue makes what is sold, green gets ready for it, vermilion is time lost to a stop or a wait for hands, purple is work
lying about or beside the orders, grey is nothing to do. The groups of printers follow the time words of ISO 22400-2:
production, set-up, delay, down, not planned.
"""

from __future__ import annotations

from shopsim.pictures.style import BLUE, GREEN, GREY, PURPLE, VERMILION, Fill

GROUPS: dict[str, Fill] = {
    "printing": Fill(BLUE),
    "at work": Fill(BLUE),
    "tail": Fill(BLUE, "/"),
    "set-up": Fill(GREEN),
    "watching a printer": Fill(GREEN, "/"),
    "care and service": Fill(GREEN, "."),
    "stops and breakdowns": Fill(VERMILION),
    "mending a machine": Fill(VERMILION, "."),
    "waiting for an operator": Fill(VERMILION, "/"),
    "waiting for cloth": Fill(VERMILION, "x"),
    "lying aside": Fill(PURPLE, "."),
    "no room ahead": Fill(PURPLE),
    "side work": Fill(PURPLE, "/"),
    "no work": Fill(GREY, "."),
    "absent": Fill(GREY, "x"),
    "break": Fill(GREY, "-"),
}
"""Group -> its colour and pattern, in the order in which they are stacked."""

_SET_UP = ("warming", "roll_change", "join", "take_up_change", "set_point", "mode_change", "nozzle_check",
           "first_article")  # fmt: skip
_OF_STATE: dict[str, str] = {
    "printing": "printing", "tail": "tail", **dict.fromkeys(_SET_UP, "set-up"),
    "waiting_operator": "waiting for an operator", "waiting_material": "waiting for cloth", "waiting_job": "no work",
    "cleaning": "stops and breakdowns", "minor_stop": "stops and breakdowns",
    "breakdown": "stops and breakdowns", "service": "care and service", "care": "care and service",
    "busy": "at work", "set_aside": "lying aside", "blocked": "no room ahead", "idle": "no work",
    "absent": "absent", "break": "break", "side_work": "side work", "attention": "watching a printer",
    "machine_repair": "mending a machine", "head_service": "care and service",
}  # fmt: skip
_NOT_THERE = ("off", "off_shift", "closed")


def group_of(kind: str, state: str) -> str | None:
    """The group of a state of a `printer`, `place`, `person` or `crew`; None while it is off or closed.

    What is no state of its own is a kind of work people do.
    """
    if state in _NOT_THERE:
        return None
    if kind not in ("printer", "place") and state in ("cleaning", "minor_stop"):
        return "set-up"
    return _OF_STATE.get(state, "at work")
