"""Promises made by hand: every future is written down, and what is said of them."""

from __future__ import annotations

import datetime
import io
from collections.abc import Sequence
from typing import Any

from rich.console import Console

from shopsim.sentences.promising import cost_text, promised, waits_text
from shopsim.shop.today_model import OpenLine, OpenOrder, Today
from shopsim.shop.today_start import Start
from shopsim.studies.futures import Future, MorningOption
from shopsim.studies.precision import Interval
from shopsim.studies.promise import LateBy, Promised, WayFound
from shopsim.studies.promise_outlook import Outlook
from shopsim.studies.promise_ways import OVERTIME, Way
from shopsim.studies.replication import Replication
from shopsim.terminal.promise_page import print_promise
from tests.stories.shops import centre, crew, order, product, shop, step

NOW = datetime.datetime(2026, 1, 5, 8, 0)
SHOP = shop(
    work_centres=[centre("bench")], crews=[crew("op", "bench")], products=[product("job", step("work", "bench", 10))]
)
FORECAST = SHOP.model_copy(update={"demand": SHOP.demand.model_copy(update={"forecast": object()})})
TUE, WED, THU, NEVER = 1440 + 960.0, 2 * 1440 + 960.0, 3 * 1440 + 960.0, float("inf")
COST = Interval(120.0, 100.0, 140.0, 20.0, 20)


def open_order(name: str, pieces: int = 1, due: int = 6) -> OpenOrder:
    line = OpenLine(product="job", pieces=pieces)
    return OpenOrder(order=name, received=NOW, due=datetime.date(2026, 1, due), lines=(line,))


def outlook(outs: Sequence[Sequence[float]], *orders: OpenOrder, scenario: Any = SHOP, **more: Any) -> Outlook:
    """Futures, of which each holds when every order leaves; orders beyond the first `open` are requests."""
    waits = more.get("waits", {})
    start = Start(
        Today(now=NOW, orders=orders[: more.get("open", len(orders))]), orders[more.get("open", len(orders)) :]
    )
    option = MorningOption("x", scenario, more.get("lines", ()), start=start)
    rows = (
        Replication(i, {f"out {o}": out for o, out in enumerate(each)}, {}, {}, {}, {}, waits, {})
        for i, each in enumerate(outs)
    )
    return Outlook(option, tuple(Future(row) for row in rows), 95.0)


def way(outs: Sequence[float], name: str = "as asked", pieces: int = 12, late: int = 0, sure: bool = False,
        wanted: float | None = None, cost: Interval | None = None, earlier: bool = False, scenario: Any = SHOP,
        kind: str = "asked") -> WayFound:  # fmt: skip
    """A way to make one request beside five open orders that all leave on Tuesday."""
    orders = [*(open_order(f"A{i}") for i in range(5)), open_order("request", pieces, 9)]
    found = outlook([[TUE] * 5 + [out] for out in outs], *orders, scenario=scenario, open=5)
    made = Way(kind, name, f"to {name}", found.option)
    by_wanted = None if wanted is None else found.chance(5, wanted)
    moved = tuple(LateBy(i, 9, 0, sure) for i in range(late))
    return WayFound(made, found, found.date_at(5, 80), by_wanted, cost, moved, earlier, earlier)


def found(*ways: WayFound, wanted: float | None = None, scenario: Any = SHOP, lines: Any = ()) -> Promised:
    orders = [open_order(f"A{i}") for i in range(5)]
    return Promised(480.0, 80.0, wanted, outlook([[TUE] * 5] * 20, *orders, scenario=scenario, lines=lines), ways)


ASKED = way([TUE] * 17 + [WED] * 3)
OPEN = "All 5 open orders leave by their dates with 80 % or more."
NO_MORE = "No further order comes in, so chances beyond a few days are too good: the shop's file has no forecast."


def said(asked: Promised) -> str:
    """The sentence, without what it says of the five open orders."""
    sentence = promised(asked).sentence
    assert sentence.endswith(f" {OPEN} {NO_MORE}")
    return sentence.removesuffix(f" {OPEN} {NO_MORE}")


def test_a_date_and_the_day_to_be_sure_of_it() -> None:
    # 17 of 20 are the rank of 80 %; the interval of that quantile reaches beyond the 17th.
    assert said(found(ASKED)) == (
        "12 pieces of job leave by Tue 06 Jan with a chance of 85 % (95 % interval 62 to 97); to be sure of 80 %, "
        "Wed 07 Jan. As asked no open order is seen to become late by it."
    )
    assert promised(found(ASKED)).below == (
        "20 futures of what is told of 2026-01-05 08:00; to come: nothing; the request is planned for Fri 09 Jan."
    )


def test_the_cheapest_earlier_way_says_whom_it_makes_late() -> None:
    asked = way([WED] * 20, late=2)
    stay = {"name": "stay on", "earlier": True, "sure": True}
    assert said(found(asked, way([TUE] * 20, cost=COST, late=4, **stay))) == (
        "12 pieces of job leave by Wed 07 Jan with a chance of 100 % (95 % interval 83 to 100). The cheapest earlier "
        "way is to stay on: Tue 06 Jan (by then 100 %, against 0 % as asked), at 120 CU (100 to 140) more; it surely "
        "makes A0, A1, A2 and 1 more late. As asked it may make 2 open orders late."
    )
    assert "it surely makes A0 and A1 late." in said(found(asked, way([TUE] * 20, late=2, **stay)))
    # Earlier by luck or not: nothing is told to be earlier.
    assert "No way that the house rules or what-ifs offer surely makes it earlier." in said(
        found(asked, way([TUE] * 20, "stay on"))
    )


def test_the_cheapest_way_to_keep_a_wanted_date() -> None:
    asked = way([WED] * 20, wanted=TUE)
    assert said(found(asked, way([TUE] * 20, "stay on", late=1, wanted=TUE), wanted=TUE)) == (
        "12 pieces of job leave by Wed 07 Jan with a chance of 100 % (95 % interval 83 to 100). By Tue 06 Jan it "
        "leaves with 0 % (95 % interval 0 to 17). The cheapest way to keep it is to stay on: 100 %, at no further "
        "cost; it may make 1 open order late. As asked no open order is seen to become late by it."
    )
    late = way([WED] * 20, "stay on", wanted=TUE)
    assert "No way that the house rules or what-ifs offer keeps that date." in said(found(asked, late, wanted=TUE))
    kept = way([WED] * 20, pieces=1, wanted=WED)
    assert said(found(kept, way([TUE] * 20, "stay on", wanted=TUE), wanted=WED)) == (
        "1 piece of job leaves by Wed 07 Jan with a chance of 100 % (95 % interval 83 to 100). By Wed 07 Jan it leaves "
        "with 100 % (95 % interval 83 to 100). It needs nothing more. As asked no open order is seen to become late by "
        "it."
    )


def test_why_no_date_can_be_told() -> None:
    assert said(found(way([WED] * 3, pieces=1))).startswith(
        "No date can be told by which 1 piece of job leaves with 80 %: 3 futures are too few, 4 are needed."
    )
    assert said(found(way([WED] * 3 + [NEVER] * 17))).startswith(
        "No date can be told by which 12 pieces of job leave with 80 %: it has left in 3 of 20 futures within the time "
        "simulated."
    )


def test_what_is_still_to_come_is_told_and_without_it_a_warning() -> None:
    known = (order("Tue 07:00", "job"), order("Wed 07:00", "job"), order("Mon 07:00", "job"))
    for asked, to_come in (
        (found(scenario=FORECAST), "forecast orders"),
        (found(lines=known), "the 2 orders the book receives later, as if they were known"),
        (found(lines=known[1:]), "the order the book receives later, as if it was known"),
    ):
        answer = promised(asked)
        assert answer.sentence == OPEN
        assert answer.below == f"20 futures of what is told of 2026-01-05 08:00; to come: {to_come}."
    assert promised(found()).sentence == f"{OPEN} {NO_MORE}"


def test_what_an_order_waits_for() -> None:
    waits = {("0", "seat_wait|packing_bench"): 3.0, ("0", "printer_wait|"): 2.0, ("0", "transport|"): 9.0}
    assert waits_text(outlook([[TUE]], open_order("A"), waits=waits), 0) == "waits for a free seat at the packing bench"
    # Nobody knows what an order waits for that has left in no future.
    assert waits_text(outlook([[NEVER]], open_order("A"), waits=waits), 0) == ""
    assert waits_text(outlook([[TUE]], open_order("A")), 0) == ""


def test_what_a_way_costs() -> None:
    none, some = Interval(0.0, 0.0, 0.0, 0.0, 20), Interval(0.0, -5.0, 5.0, 5.0, 20)
    costs = [cost_text(way([TUE] * 20, cost=cost), SHOP) for cost in (None, none, some, COST)]
    assert costs == [
        "at no further cost",
        "at no further cost",
        "at 0 CU (−5 to 5) more",
        "at 120 CU (100 to 140) more",
    ]


def page(asked: Promised) -> str:
    out = io.StringIO()
    print_promise(Console(file=out, width=100, highlight=False), asked, promised(asked))
    return out.getvalue()


def test_the_page_of_a_request_that_is_wanted_by_a_day() -> None:
    stay = way([TUE] * 4, "overtime", wanted=TUE, cost=COST, late=1, kind=OVERTIME)
    told = page(found(way([WED] * 20, wanted=TUE), stay, wanted=TUE))
    rows = [line.split() for line in told.splitlines() if line.startswith(("as asked", "overtime"))]
    assert rows[0][2:] == ["07", "Jan", "07", "Jan", "-", "0", "%", "-", "0", "0"]
    assert rows[1][1:] == ["06", "Jan", "-", "-", "100", "%", "120", "±20", "0", "1"]
    assert "overtime: to overtime. Only looked at, 4 futures: overtime." in " ".join(told.split())


def test_the_page_of_a_morning_without_orders() -> None:
    empty = Promised(480.0, 80.0, None, outlook([[]] * 20), ())
    answer = promised(empty)
    assert answer.sentence == f"No order is open. {NO_MORE}"
    assert " ".join(page(empty).split()) == f"{answer.sentence} {answer.below}"
