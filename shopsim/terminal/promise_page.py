"""A morning on a terminal: the sentence, the ways to make a request, the list of orders at risk, every open order."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rich.console import Console

from shopsim.figures import NOTHING, figure
from shopsim.sentences import Answer
from shopsim.sentences.promising import chance_text, day_text, due_text, waits_text
from shopsim.sentences.words import listed
from shopsim.studies.promise import Promised, WayFound
from shopsim.studies.promise_outlook import LEVELS, DateAt
from shopsim.studies.promise_ways import OVERTIME
from shopsim.terminal.tables import print_notes, print_table, print_text


def print_promise(
    console: Console, found: Promised, answer: Answer, notes: Mapping[str, Sequence[str]] | None = None
) -> None:
    """Print the whole page to a console; `notes` tells what to be careful about in each way."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    if found.ways:
        _print_ways(console, found)
    _print_risks(console, found)
    _print_orders(console, found)
    print_notes(console, notes or {})


def _print_ways(console: Console, found: Promised) -> None:
    rows = []
    wanted = found.wanted_min is not None
    for each in found.ways:
        delivered = each.outlook.delivered_at(found.request, found.chance_pct)
        days = (_short(each.date.at, found), _between(each.date, found), _short(delivered.at, found))
        row = [each.way.name, *days]
        if wanted and each.by_wanted is not None:
            row.append(chance_text(each.by_wanted))
        cost = None if each.cost_cu is None else figure(each.cost_cu)
        rows.append([*row, NOTHING if cost is None else cost.short, *_late(each)])
    confidence, currency = found.base.confidence_pct, found.base.option.scenario.money.currency
    by = [f"by {day_text(found.wanted_min, found.base.option.scenario)}"] if found.wanted_min is not None else []
    print_table(
        console, f"Ways to make the request, dates at {found.chance_pct:g} %",
        ("", "leaves by", f"{confidence:g} % interval", "with customer", *by, f"{currency} more", "late", "may be"),
        rows, _note(found), texts=(1, 2, 3), wraps=(0,),
    )  # fmt: skip


def _note(found: Promised) -> str:
    """What stands in the table, what overtime is meant, and what was only looked at."""
    told = [f"{each.way.name}: {each.way.words}." for each in found.ways if each.way.kind == OVERTIME]
    late = "late, may be: open orders that surely, or perhaps, are late with it and not without it."
    looked = [each for each in found.ways if each.futures < found.ways[0].futures]
    if looked:
        told.append(f"Only looked at, {looked[0].futures} futures: {listed([each.way.name for each in looked])}.")
    return " ".join([*told, late])


def _short(minute: float | None, found: Promised) -> str:
    """`24 Sep`: the table must fit a narrow screen."""
    return NOTHING if minute is None else day_text(minute, found.base.option.scenario)[4:]


def _between(date: DateAt, found: Promised) -> str:
    ends = dict.fromkeys(_short(minute, found) for minute in (date.low, date.high))
    return NOTHING if NOTHING in ends else " to ".join(ends)


def _late(each: WayFound) -> list[str]:
    sure = sum(late.sure for late in each.late)
    return [str(sure), str(len(each.late) - sure)]


def _day(date: DateAt, found: Promised) -> str:
    return NOTHING if date.at is None else day_text(date.at, found.base.option.scenario)


def _print_risks(console: Console, found: Promised) -> None:
    base, risky = found.base, found.at_risk()
    if not risky:
        return
    rows = [
        (base.orders[order].order, due_text(base.orders[order].due), chance_text(base.chance(order)),
         _day(base.date_at(order, found.chance_pct), found), waits_text(base, order) or NOTHING)
        for order in risky
    ]  # fmt: skip
    print_table(
        console, f"Orders at risk: less than {found.chance_pct:g} % to leave by their date",
        ("order", "due", "chance", f"leaves by, {found.chance_pct:g} %", "from now on it mostly"), rows,
        texts=(0, 1, 3), wraps=(4,),
    )  # fmt: skip


def _print_orders(console: Console, found: Promised) -> None:
    base = found.base
    if not base.orders:
        return
    rows = []
    for order in sorted(range(len(base.orders)), key=lambda number: (base.due_min(number), number)):
        share = base.chance(order)
        interval = f"{share.low * 100:.0f} to {share.high * 100:.0f}"
        days = [_day(base.date_at(order, level), found) for level in LEVELS]
        told = base.orders[order]
        rows.append((told.order, due_text(told.due), chance_text(share), interval, *days))
    print_table(
        console, "Open orders by due date: chance to leave by then, and dates by which they leave",
        ("order", "due", "chance", f"{base.confidence_pct:g} % interval", *(f"{level:g} %" for level in LEVELS)),
        rows, texts=(0, 1, 4, 5, 6), wraps=(),
    )  # fmt: skip
