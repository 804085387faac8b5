"""How the shop does as it stands, on a terminal: the sentence, then tables from orders to money."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator

from rich.console import Console

from shopsim.figures import Figure, figure, measured, percent
from shopsim.sentences import Answer, spoken, weeks_text
from shopsim.shop.review.stock import USUAL_LOSSES
from shopsim.studies.precision import Interval
from shopsim.studies.replicate import Replications
from shopsim.terminal.people_tables import print_people, print_places
from shopsim.terminal.printer_tables import print_printers
from shopsim.terminal.tables import print_table, print_text

IN_ALL = "in all"
_ORDERS: tuple[tuple[str, str, str, float], ...] = (
    # name, words, unit, scale
    ("orders_received_per_week", "Orders received", "a week", 1),
    ("orders_per_week", "Orders dispatched", "a week", 1),
    ("on_time_share", "On time, of orders due", "%", 100),
    ("late_orders", "Late or overdue", IN_ALL, 1),
    ("tardiness_mean_h", "Hours late, on time counted as 0", "h", 1),
    ("lead_time_mean_h", "Receipt to dispatch, mean", "days", 1 / 24),
    ("lead_time_p50_h", "  half of the orders within", "days", 1 / 24),
    ("lead_time_p90_h", "  nine orders in ten within", "days", 1 / 24),
    ("work_in_process_orders", "Orders in the shop at a time", "orders", 1),
    ("held_back_orders", "Orders held back, the shop being full", "orders", 1),
    ("turned_away_orders", "Turned away, the shop being full", IN_ALL, 1),
    ("turned_away_share", "  of orders received", "%", 100),
    ("cancelled_orders", "Cancelled", IN_ALL, 1),
    ("claims_share", "Sent out with a fault nobody found", "%", 100),
    ("lot_broken_orders", "One lot wanted, several used", IN_ALL, 1),
    ("printed_m2_per_week", "Printed, reprints included", "m² a week", 1),
    ("reprint_share", "Made again, of the printed area", "%", 100),
    ("roll_changes_per_week", "Rolls changed or joined", "a week", 1),
    ("unattended_hot_h_per_week", "Printers hot, nobody there (SAF-08)", "h a week", 1),
    ("overtime_h_per_week", "Overtime, hours of people", "h a week", 1),
)
_WEB = {
    "pieces": "under printed pieces", "gaps_and_edges": "gaps between pieces and edges",
    "leader": "leaders for threading", "join": "joins", "tail_blank": "blank behind the last print",
    "stop": "stops in mid-run", "test": "nozzle tests", "first_article": "first-article strips",
    "calender": "leaders at the calender", "remnant_scrapped": "ends of rolls too short to keep",
}  # fmt: skip
_REASONS = {
    "before_start": "received before the start", "artwork_check": "artwork check",
    "approval": "with the customer: files, approval", "release_wait": "held back, shop full",
    "gang_wait": "waiting for its run",
    "printer_wait": "waiting for a printer", "printing": "printing", "drying": "drying, resting",
    "people_wait": "waiting for people", "put_aside": "begun, put aside for more urgent work",
    "seat_wait": "waiting for a seat", "room_wait": "no room at the next place", "work": "being worked at",
    "off_shift": "nobody there: nights, breaks, weekends", "rework": "lost to faults: made again, repaired",
    "bought_in": "outside the shop", "order_check": "complete order being checked",
    "dispatch_wait": "waiting for collection",
}  # fmt: skip
_MONEY = {
    "revenue": "Sales of orders dispatched", "late_penalties": "less late penalties", "fabric": "Fabric",
    "ink": "Ink", "energy": "Energy", "wages": "Wages", "overtime_pay": "Overtime pay",
    "service": "Machine service", "write_off": "Machine write-off", "rent": "Rent and heat",
    "packing_and_freight": "Packing and freight", "bought_in": "Work bought in", "cost": "All cost",
    "margin": "What is left over",
}  # fmt: skip
_SHOWN_CONSTRAINTS = 5
_EMPTY = ("0", "-")


def print_run(console: Console, found: Replications, answer: Answer) -> None:
    """Print the whole page to a console."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    _print_orders(console, found)
    print_printers(console, found)
    print_places(console, found)
    print_people(console, found)
    _print_constraint(console, found)
    _print_reasons(console, found)
    _print_web(console, found)
    _print_money(console, found)


def _print_means(
    console: Console, title: str, found: Replications, rows: Iterable[tuple[str, Figure, str]], note: str = ""
) -> None:
    """A table of means with intervals and units; of one replication without intervals."""
    if len(found.rows) == 1:
        cells: list[tuple[str, ...]] = [(words, text.mean, unit) for words, text, unit in rows]
        print_table(console, title, ("", "", ""), cells, note, texts=(2,))
    else:
        cells = [(words, text.mean, text.between, unit) for words, text, unit in rows]
        between = f"{found.scenario.study.confidence_pct:g} % interval"
        print_table(console, title, ("", "mean", between, ""), cells, note, texts=(3,))


def _print_orders(console: Console, found: Replications) -> None:
    def rows() -> Iterator[tuple[str, Figure, str]]:
        for name, words, unit, scale in _ORDERS:
            text = measured(found.interval("measures", name), name, scale)
            if text.mean not in _EMPTY or name in ("on_time_share", "late_orders"):
                yield words, text, f"in {weeks_text(found.scenario.study.weeks)}" if unit == IN_ALL else unit

    _print_means(console, "Orders and dates", found, rows())


def _print_constraint(console: Console, found: Replications) -> None:
    shares = {str(name): found.interval("constraint", name) for name in found.keys("constraint")}
    top = sorted((name for name in shares if shares[name].mean > 0.005), key=lambda name: -shares[name].mean)
    rows = [(spoken(found.scenario, name), percent(shares[name]), "%") for name in top[:_SHOWN_CONSTRAINTS]]
    _print_means(
        console, "What holds the shop back, share of the time somebody is at work", found, rows,
        "The one that has been busy longest without a pause holds the shop back at that moment. Shares may overlap.",
    )  # fmt: skip


def _print_reasons(console: Console, found: Replications) -> None:
    rows = []
    for reason, words in _REASONS.items():
        texts = [figure(found.interval("reasons_h", (whose, reason)), least=0) for whose in ("late", "all")]
        if any(text.mean not in _EMPTY for text in texts):
            rows.append((words, *(text.short for text in texts)))
    columns = ("", "late orders, h", "all orders, h")
    print_table(console, "Where the hours go from receipt to dispatch, mean of an order", columns, rows)


_UNUSUAL = (
    f"Shops usually lose {100 * USUAL_LOSSES[0]:.0f} to {100 * USUAL_LOSSES[1]:.0f} % of their cloth, all causes "
    "together (MAT-37, from memory)."
)


def _print_web(console: Console, found: Replications) -> None:
    keys = found.keys("web_per_week")
    if not keys:
        return
    rows = []
    for cause, words in _WEB.items():
        if (cause, "m") not in keys:
            continue
        share = found.each(lambda row, cause=cause: _share_of_web(row.web_per_week, cause))  # type: ignore[misc]
        metres, area = (figure(found.interval("web_per_week", (cause, unit)), least=0) for unit in ("m", "m2"))
        rows.append((words, metres.short, area.short, percent(share).short))
    lost = found.interval("measures", "fabric_waste_share")
    rows.append(("waste together: all but the pieces", "", "", percent(lost).short))
    print_table(
        console, "Where the cloth goes, a week", ("", "m", "m²", "% of cloth used"), rows,
        _UNUSUAL if _surely_unusual(lost) else "",
    )  # fmt: skip


def _surely_unusual(lost: Interval) -> bool:
    low, high = USUAL_LOSSES
    return lost.low is not None and lost.high is not None and (lost.low > high or lost.high < low)


def _share_of_web(web: dict[tuple[str, str], float], cause: str) -> float:
    total = sum(amount for (_, unit), amount in web.items() if unit == "m2")
    return web.get((cause, "m2"), 0.0) / total if total else float("nan")


def _print_money(console: Console, found: Replications) -> None:
    def rows() -> Iterator[tuple[str, Figure, str]]:
        for name, words in _MONEY.items():
            least = -math.inf if name == "margin" else 0.0
            text = figure(found.interval("money_per_week", name), least=least)
            if text.mean not in _EMPTY:
                yield words, text, f"{currency} a week"
        yield "All cost, by area dispatched", figure(found.interval("measures", "cost_per_m2")), f"{currency} a m²"

    currency = found.scenario.money.currency
    _print_means(console, "Money", found, rows())
