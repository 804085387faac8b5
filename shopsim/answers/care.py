"""What a shop asks to be careful about, its parts called by name, and what a change asks on top.

A change asks on top what the shop as it stood did not, and adds to the caution on burns whatever leaves less time at a
hot surface or keeps it hot (handbook SAF-01). Nothing here says that something is safe or allowed.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from shopsim.cautions import Caution, caution_on, cautions
from shopsim.shop.names import by_name, cut_by_name, words_for
from shopsim.shop.printers import Calender, InlineFixation, Printer
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import Shop

_BURNS = "SAF-01"
Minutes = tuple[str, float, float]


def cautions_of(shop: Shop) -> list[Caution]:
    """The cautions that a shop calls for, its parts called by name."""
    return cautions(by_name(shop.scenario), cut_by_name(shop.scenario, shop.rough_cut))


def cautions_added(base: Shop, now: Shop) -> list[Caution]:
    """The cautions that a changed shop adds to those of the base, in the order of the handbook.

    Parts are matched by their ids, so that another name alone adds nothing.
    """
    known = {(each.row, each.where) for each in cautions(base.scenario, base.rough_cut)}
    news = {each.row for each in cautions(now.scenario, now.rough_cut) if (each.row, each.where) not in known}
    found = [each for each in cautions_of(now) if each.row in news]
    hurried = "; ".join(less_time_at_hot_surfaces(base.scenario, now.scenario))
    if not hurried:
        return found
    if found and found[0].row == _BURNS:
        return [replace(found[0], where=f"{found[0].where}; {hurried}"), *found[1:]]
    return [caution_on(_BURNS, hurried), *found]


def caution_line(each: Caution) -> str:
    """A caution as one line, the hazard first; the row of the handbook stands at its end, for who looks it up."""
    hazard, advice = (text[:1].upper() + text[1:] for text in (each.hazard, each.advice))
    return f"{hazard}: {each.where}. {advice} ({each.row})."


def less_time_at_hot_surfaces(base: Scenario, now: Scenario) -> Iterator[str]:
    """Where a change leaves less time for work at a hot surface on average, or has it stay hot meanwhile."""
    words = words_for(now)
    hot = [printer for printer in now.printers if isinstance(printer.fixation, InlineFixation)]
    before: Mapping[str, Printer] = base.by_id("printers")
    for printer in hot:
        if printer.id in before:
            yield from _less(words[printer.id], _of_printer(before[printer.id], printer))
    drums: Mapping[str, Calender] = base.by_id("calenders")
    for drum in now.calenders:
        if drum.id in drums:
            yield from _less(words[drum.id], _of_calender(drums[drum.id], drum))
    if hot and (base.policies.printing.roll_change, now.policies.printing.roll_change) == ("full", "join"):
        yield "new rolls joined to the old web beside the hot plate instead of a full roll change"


def _of_printer(before: Printer, now: Printer) -> Iterator[Minutes]:
    yield "full roll change", before.roll_change.full_min.mean, now.roll_change.full_min.mean
    yield "joining a new roll", before.roll_change.join_min.mean, now.roll_change.join_min.mean
    if isinstance(before.fixation, InlineFixation) and isinstance(now.fixation, InlineFixation):
        yield "warm-up of the plate", before.fixation.warm_up_min, now.fixation.warm_up_min


def _of_calender(before: Calender, now: Calender) -> Iterator[Minutes]:
    yield "set-up of the drum", before.set_up_min.mean, now.set_up_min.mean
    yield "warm-up of the drum", before.warm_up_min, now.warm_up_min


def _less(machine: str, minutes: Iterator[Minutes]) -> Iterator[str]:
    for what, before_min, now_min in minutes:
        if now_min < before_min:
            yield f"{what} at {machine} in {now_min:.3g} min instead of {before_min:.3g} min"
