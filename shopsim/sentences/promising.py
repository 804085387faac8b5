"""What can be promised this morning: orders at risk and why, a date for a request, ways to make it earlier."""

from __future__ import annotations

import datetime
import math

from shopsim.clock import date_of, stamp
from shopsim.figures import ALIKE, figure
from shopsim.sentences.words import Answer, listed
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_model import OpenOrder, Today
from shopsim.studies.promise import Promised, WayFound
from shopsim.studies.promise_outlook import Outlook, futures_needed
from shopsim.studies.shares import Share

_NAMED = 3
_WAITS = {
    "approval": "the customer's approval",
    "artwork_check": "its files to be checked",
    "gang_wait": "enough work for its run",
    "printer_wait": "a printer",
    "people_wait": "people{at}",
    "seat_wait": "a free seat{at}",
    "room_wait": "room{at}",
    "put_aside": "more urgent work{at}",
    "release_wait": "a place in the full shop",
    "bought_in": "work outside to come back",
    "drying": "rest and drying",
}


def promised(found: Promised, notes: tuple[str, ...] = ()) -> Answer:
    """A request's date and ways first, if there is one, then the orders at risk."""
    parts = [_request(found)] if found.ways else []
    parts += [_at_risk(found), _left_out(found), _without_future(found)]
    return Answer(" ".join(filter(None, parts)), _below(found, notes))


def day_text(minute: float, scenario: Scenario) -> str:
    """`Thu 24 Sep`."""
    return f"{date_of(minute, scenario.shop.starts):%a %d %b}"


def due_text(due: datetime.date) -> str:
    """As `day_text`, from a date."""
    return f"{due:%a %d %b}"


def chance_text(share: Share, confidence_pct: float | None = None) -> str:
    """`83 %`, or with its interval `83 % (95 % interval 74 to 90)`; 0 or 100 only where no or every future says so."""
    mean = share.mean * 100
    text = f"{mean:.0f}" if 1 <= mean <= 99 or mean in (0, 100) else f"{mean:.1f}"
    if confidence_pct is None:
        return f"{text} %"
    low, high = math.floor(share.low * 100), math.ceil(share.high * 100)
    return f"{text} % ({confidence_pct:g} % interval {low} to {high})"


def asked_text(request: OpenOrder) -> str:
    """`12 pieces of front_frame`."""
    return listed([f"{line.pieces} piece{'s' if line.pieces != 1 else ''} of {line.product}" for line in request.lines])


def leave_text(request: OpenOrder) -> str:
    """`leave`, or `leaves` of a single piece."""
    return "leaves" if request.pieces == 1 else "leave"


def waits_text(outlook: Outlook, order: int) -> str:
    """`waits for a free seat at the cutter`; empty where nothing can be told."""
    waits = outlook.waits_for(order)
    if waits is None:
        return ""
    reason, place, _ = waits
    at = f" at the {place.replace('_', ' ')}" if place else ""
    return f"waits for {_WAITS[reason].format(at=at)}"


def _request(found: Promised) -> str:
    asked = found.ways[0]
    scenario, order = asked.outlook.option.scenario, found.request
    what, leave = asked_text(asked.outlook.orders[order]), leave_text(asked.outlook.orders[order])
    if asked.date.at is None:
        first = f"No date can be told by which {what} {leave} with {found.chance_pct:g} %: {_why_none(asked)}."
    else:
        sure = chance_text(asked.outlook.chance(order, asked.date.at), asked.outlook.confidence_pct)
        first = f"{what} {leave} by {day_text(asked.date.at, scenario)} with a chance of {sure}{_to_be_sure(asked)}."
    return " ".join(part for part in (first, _wanted(found, asked), _best(found, asked), _others(asked)) if part)


def _to_be_sure(asked: WayFound) -> str:
    """The day that has the wanted chance even at the far end of the interval."""
    date, scenario = asked.date, asked.outlook.option.scenario
    if date.high is None or date.at is None or date.high <= date.at:
        return ""
    return f"; to be sure of {date.chance_pct:g} %, {day_text(date.high, scenario)}"


def _why_none(asked: WayFound) -> str:
    outlook = asked.outlook
    n = len(outlook.futures)
    gone = sum(math.isfinite(out) for out in outlook.outs(len(outlook.orders) - 1))
    if gone == n:
        return f"{n} futures are too few, {futures_needed(asked.date.chance_pct)} are needed"
    return f"it has left in {gone} of {n} futures within the time simulated"


def _wanted(found: Promised, asked: WayFound) -> str:
    if found.wanted_min is None or asked.by_wanted is None:
        return ""
    by = day_text(found.wanted_min, asked.outlook.option.scenario)
    return f"By {by} it leaves with {chance_text(asked.by_wanted, asked.outlook.confidence_pct)}."


def _best(found: Promised, asked: WayFound) -> str:
    if len(found.ways) == 1:
        return ""
    best = found.best()
    if best is None:
        goal = "keeps that date" if found.wanted_min is not None else "surely makes it earlier"
        return f"No way that the house rules or what-ifs offer {goal}."
    if best is asked:
        return "It needs nothing more."
    scenario, order = best.outlook.option.scenario, found.request
    if found.wanted_min is not None:
        share = chance_text(best.outlook.chance(order, found.wanted_min))
        return f"The cheapest way to keep it is {best.way.words}: {share}, {cost_text(best, scenario)}{_also(best)}."
    at = best.date.at
    assert at is not None
    now, then = (chance_text(each.outlook.chance(order, at)) for each in (best, asked))
    return (
        f"The cheapest earlier way is {best.way.words}: {day_text(at, scenario)} (by then {now}, against {then}"
        f" as asked), {cost_text(best, scenario)}{_also(best)}."
    )


def cost_text(way: WayFound, scenario: Scenario) -> str:
    """What a way costs more than as asked, with its interval."""
    cost, currency = way.cost_cu, scenario.money.currency
    if cost is None:
        return "at no further cost"
    text = figure(cost)
    if not any(sign in "123456789" for sign in text.mean) and text.between in ("", ALIKE):
        return "at no further cost"
    between = f" ({text.between})" if text.between not in ("", ALIKE) else ""
    return f"at {text.mean} {currency}{between} more"


def _also(way: WayFound) -> str:
    orders = way.outlook.orders
    sure = [orders[each.order].order for each in way.late if each.sure]
    may = len(way.late) - len(sure)
    if sure:
        more = [f"{len(sure) - _NAMED} more"] if len(sure) > _NAMED else []
        return f"; it surely makes {listed([*sure[:_NAMED], *more])} late"
    return f"; it may make {may} open order{'s' if may != 1 else ''} late" if may else ""


def _more(count: int) -> str:
    return f" and {count - _NAMED} more" if count > _NAMED else ""


def _others(asked: WayFound) -> str:
    if not asked.late:
        return "As asked no open order is seen to become late by it."
    return f"As asked{_also(asked).removeprefix(';')}."


def _at_risk(found: Promised) -> str:
    base = found.base
    count = len(base.orders)
    if not count:
        return "No order is open."
    risky = found.at_risk()
    if not risky:
        return f"{_all(count)} with {found.chance_pct:g} % or more."
    late = [order for order in risky if base.due_min(order) < found.now_min]
    told = [_risk(base, order) for order in risky if order not in late][:_NAMED]
    already = (f", {len(late)} of them late already" if count > 1 else ", late already") if late else ""
    worst = f"; least likely {listed(told)}" if told else ""
    of = f"{len(risky)} of {count} open orders" if count > 1 else "The open order"
    are = "is" if len(risky) == 1 else "are"
    return f"{of} {are} at risk, below {found.chance_pct:g} %{already}{worst}."


def _all(count: int) -> str:
    if count == 1:
        return "The open order leaves by its date"
    return f"{'Both' if count == 2 else f'All {count}'} open orders leave by their dates"


def _risk(base: Outlook, order: int) -> str:
    told = base.orders[order]
    why = waits_text(base, order)
    return f"{told.order} (due {due_text(told.due)}, {chance_text(base.chance(order))}{', ' + why if why else ''})"


def told_of(today: Today) -> tuple[str, ...]:
    """What a morning's file says of it, and why rows of the order book are not in it."""
    left_out = (
        f"Left out: {each.reason} ({each.rows:,} row{'s' if each.rows != 1 else ''}, first {each.first})."
        for each in today.left_out
    )
    return tuple(filter(None, (today.note, *left_out)))


def _left_out(found: Promised) -> str:
    """Rows left out, with the shortest words for the most frequent reasons; all of them in full stand below."""
    left = found.base.option.start.today.left_out
    if not left:
        return ""
    count = sum(each.rows for each in left)
    why = [f"{each.reason.split(';')[0]} ({each.rows:,})" for each in left[:_NAMED]]
    rows = f"{count:,} rows of the order book are" if count != 1 else "1 row of the order book is"
    return f"{rows} left out and in none of these dates: {'; '.join(why)}{_more(len(left))}."


def _below(found: Promised, notes: tuple[str, ...]) -> str:
    base = found.base
    scenario = base.option.scenario
    n = len(base.futures)
    told = [f"{n} futures of what is told of {stamp(found.now_min, scenario.shop.starts)}", _to_come(found)]
    if found.ways:
        request = found.ways[0].outlook.orders[found.request]
        told.append(f"the request is planned for {due_text(request.due)}")
    return f"{'; '.join(told)}. {' '.join(notes)}".rstrip()


def _to_come(found: Promised) -> str:
    later = _received_later(found)
    parts = []
    if later:
        orders, were = (f"{later:,} orders", "they were") if later > 1 else ("order", "it was")
        parts.append(f"the {orders} the book receives later, as if {were} known")
    if found.base.option.scenario.demand.forecast is not None:
        parts.append("forecast orders")
    return f"to come: {' and '.join(parts) or 'nothing'}"


def _received_later(found: Promised) -> int:
    """Orders of the scenario's book that come in from now on."""
    option = found.base.option
    start = datetime.datetime.combine(option.scenario.shop.starts, datetime.time())
    now = start + datetime.timedelta(minutes=found.now_min)
    return len({line.order_id for line in option.order_lines if line.received >= now})


def _without_future(found: Promised) -> str:
    """A warning where all that is to come is left out."""
    if found.base.option.scenario.demand.forecast is not None or _received_later(found):
        return ""
    return "No further order comes in, so chances beyond a few days are too good: the shop's file has no forecast."
