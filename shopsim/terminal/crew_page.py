"""Crews on a terminal: the sentence, all crews from cheap to dear, and the crew each block of weeks asks for."""

from __future__ import annotations

from rich.console import Console

from shopsim.figures import ALIKE, figure, percent, plain
from shopsim.sentences import Answer
from shopsim.sentences.crews import heads_text, more_runs
from shopsim.sentences.words import OR_OTHERS, constraints_told
from shopsim.studies.crew import WHOLE, Candidate, CrewAnswer
from shopsim.terminal.tables import print_table, print_text

_SEATS = (
    " seats to add: how many people of the trade and shift have none at its places, and the price of so many by what "
    "the file says of those there are; neither pay nor what is left over counts them."
)


def print_crew(console: Console, found: CrewAnswer, answer: Answer) -> None:
    """Print the whole page to a console."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    scenario = found.candidates[0].found.scenario
    crews = list(found.candidates[0].heads)
    short = any(crew.short_of_seats for crew in found.candidates)
    rows = [(*(str(crew.heads[name]) for name in crews), *_cells(found, crew, short)) for crew in found.candidates]
    names = [name.replace("_", " ") for name in crews]
    columns = (*names, f"pay, {scenario.money.currency} a week", "left over", *(("seats to add",) if short else ()),
               "on time, %", f"{scenario.study.confidence_pct:g} %", "enough", "runs", "held back most by")  # fmt: skip
    last = len(columns) - 1
    note = (
        "enough: what the runs tell; - where they do not: a crew dearer than one that seems enough is not looked at "
        "further; ~ so close to the target that it may be either, which the tolerance allows; = a crew that surely "
        "costs less cannot be told to send less out on time. A crew told enough may show a mean a little below the "
        "target, since runs go on for other questions."
        f"{_SEATS if short else ''} held back most by: {OR_OTHERS}"
    )
    print_table(console, "Crews from cheap to dear", columns, rows, note, texts=(last - 2,), wraps=(last,),
                keys=len(crews), beside=(last - 3,))  # fmt: skip
    if len(found.enough) > 1:
        _print_blocks(console, found)


def _cells(found: CrewAnswer, crew: Candidate, short: bool) -> tuple[str, ...]:
    share = percent(crew.found.interval("measures", "on_time_share"))
    return (
        figure(crew.found.each(lambda row: row.pay_per_week)).mean,
        figure(crew.found.interval("measures", "margin_per_week")).mean, *((_seats(crew),) if short else ()),
        share.mean, share.between, _told(found, crew), str(len(crew.found.rows)),
        constraints_told(crew.found, with_share=True),
    )  # fmt: skip


def _seats(crew: Candidate) -> str:
    missing = sum(each.missing for each in crew.short_of_seats)
    price = sum(each.price for each in crew.short_of_seats)
    return "" if not missing else f"{missing}: {plain(price)}" if price else str(missing)


def _told(found: CrewAnswer, crew: Candidate) -> str:
    meets = crew.verdicts[WHOLE].meets
    signs = ["-" if meets is None else "yes" if meets else "no"]
    if meets is not None and found.is_close(crew):
        signs.append("~")
    if found.equalled_by_less(crew):
        signs.append("=")
    return " ".join(signs)


def _print_blocks(console: Console, found: CrewAnswer) -> None:
    rows = []
    for block in found.enough:
        share = percent(found.on_time_in(found.told_of(block), block))
        rows.append((block, _of_block(found, block), share.mean, "" if share.between == ALIKE else share.between))
    confidence = f"{found.candidates[0].found.scenario.study.confidence_pct:g} %"
    print_table(console, "Cheapest crew by the orders due in", ("", "crew", "on time, %", confidence), rows,
                "on time: with the crew named, over all its runs, each interval descriptive and for itself alone. The "
                "crew has that size throughout: work is carried over from block to block.",
                texts=(1,), wraps=(1,), beside=(3,))  # fmt: skip


def _of_block(found: CrewAnswer, block: str) -> str:
    crew = heads_text(found.told_of(block))
    if found.enough[block] is not None:
        return crew
    if block not in found.likely:
        return f"none of those tried; none can be told to do better than {crew}"
    return f"cannot be told yet; {crew} may do, about {more_runs(*found.likely[block]):,} more runs would tell"
