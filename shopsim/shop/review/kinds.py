"""Every kind of finding of the review, by the id that users and tests refer to. Nothing here is slow to import."""

from __future__ import annotations

from typing import NamedTuple

GRADES = ("cannot go on as it stands", "may go wrong", "good to know")


class Kind(NamedTuple):
    """A kind of finding: its id, its grade (position in `GRADES`), what it is about, and what it says of it.

    `subject` and `says` make a sentence of any such thing; `says` fits one and several.
    """

    id: str
    grade: int
    subject: str
    says: str

    @property
    def meaning(self) -> str:
        """`a place can never keep up`."""
        return f"{self.subject} {self.says}"


KINDS: tuple[Kind, ...] = (
    Kind("never_keeps_up", 0, "a place", "can never keep up"),
    Kind("runs_out_of_cloth", 0, "a fabric", "will often run out before it is delivered"),
    Kind("promise_impossible", 0, "a promise", "cannot be kept even by an empty shop"),
    Kind("rest_below_rule", 0, "a shift", "would fall short of a minimum rule of rest or working time"),
    Kind("value_far_outside", 1, "a value", "should be measured or mended: far outside the usual range"),
    Kind("overfull_week", 1, "a place", "cannot do the work of the worst week within it"),
    Kind("promise_short", 1, "a promise", "cannot be kept for part of the orders even by an empty shop"),
    Kind("dates_impossible", 1, "a date of the order book", "cannot be kept even by an empty shop"),
    Kind("promise_tight", 1, "a promise", "may not be kept with the usual waits in line"),
    Kind("runs_short_in_worst_week", 1, "a fabric", "can run out in the worst week"),
    Kind("opening_stock_short", 1, "a fabric", "can run out before the first delivery"),
    Kind("lot_too_small", 1, "a product", "cannot always come from one lot of fabric"),
    Kind("one_person_only", 1, "a place", "must stand when one person is away"),
    Kind("hours_without_repair", 1, "a machine", "cannot be repaired in part of the hours it runs"),
    Kind("printers_without_operator", 1, "the print room", "cannot work while others are in the house"),
    Kind("two_for_roll_change", 1, "a printer", "must wait for a second person to change rolls in some hours"),
    Kind("roll_change_by_hand", 1, "a printer", "would have heavy rolls changed by one person without a lift"),
    Kind("runs_unattended", 1, "a printer", "may run with nobody there"),
    Kind("hot_unattended", 1, "a printer", "may stay hot with nobody there"),
    Kind("one_printer_only", 1, "a product", "can be printed on one printer only"),
    Kind("rest_with_overtime", 1, "a shift", "would fall short of a minimum rule if all overtime is worked"),
    Kind("book_and_study", 1, "the order book", "should be set beside the weeks studied"),
    Kind("sold_for_nothing", 1, "a product", "would earn nothing"),
    Kind("tight_week", 2, "a place", "will have little time to spare in the worst week"),
    Kind("hours_without_skill", 2, "a place", "must leave work lying while the place before it works"),
    Kind("rest_against_guidance", 2, "a shift", "should be looked at beside guidance on shift work"),
    Kind("plate_caps_speed", 2, "a printer", "cannot fix as fast as its heads print"),
    Kind("set_point_waits", 2, "a printer", "must wait for the plate when fabrics alternate"),
    Kind("narrow_on_the_web", 2, "a product", "must leave much of the web's width unprinted"),
    Kind("roll_ends_left", 2, "a product", "must leave much of each roll over"),
    Kind("unusual_value", 2, "a value", "should be looked at: outside the usual range"),
    Kind("late_costs_nothing", 2, "the money", "would count late orders as free"),
    Kind("machine_costs_nothing", 2, "a machine", "would count as free"),
    Kind("money_by_default", 2, "the money", "should be your own: some prices are the handbook's"),
)
