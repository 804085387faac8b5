"""A small shop whose inputs are known, and its records as an ugly export: what `fit` must find again."""

from __future__ import annotations

import copy
import datetime
from collections import Counter
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import numpy as np

from shopsim.clock import date_of
from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.order_table import LineDraw, OrderDraw, OrderMaker
from shopsim.floor.record import KIND, REMAKE_CAUSES, STATE, RunLog
from shopsim.floor.run import simulate
from shopsim.shop.exports.mapping import Mapping, parse_mapping
from shopsim.shop.route_times import web_pieces, web_width_m
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import check_values

Values = dict[str, Any]
DAYS = ["mon", "tue", "wed", "thu", "fri"]
MONDAY = datetime.date(2026, 1, 5)
_ROUTE = [
    {"op": "cut", "at": "cutting"}, {"op": "sew", "at": "sewing", "all_edges": "hem"},
    {"op": "inspect", "at": "table"}, {"op": "pack", "at": "packing"},
]  # fmt: skip

# The truth. Frames fill the web one beside none, so that every run has the same image width.
TRUE: Values = {
    "shop": {"name": "on record", "starts": MONDAY},
    "fabrics": [{"id": "knit", "family": "front_lit", "stock": {"rolls": 30, "reorder_at_rolls": 20,
                                                                         "order_rolls": 20}}],
    "printers": [{
        "id": "press", "modes": [{"id": "fast", "area_rate_m2_per_h": 45.0, "achieved_share": 0.86},
                                 {"id": "fine", "area_rate_m2_per_h": 30.0, "achieved_share": 0.8}],
        "fixation": {"kind": "inline", "plate_m": 1.2},
        "roll_change": {"full_min": {"gamma": {"mean": 24.0, "cv": 0.3}}},
        "nozzle_check": {"minutes": {"log_normal": {"median": 3.0, "p90": 5.0}}, "fails_pct": 14.0,
                         "fails_after_idle_pct": 40.0},
        "minor_stops": {"every_running_h": 4.0, "minutes": {"log_normal": {"median": 3.0, "p90": 8.0}}},
        "breakdowns": {"every_running_h": 35.0,
                       "repairs": [{"share_pct": 100.0, "hours": {"gamma": {"mean": 3.0, "cv": 0.6}}}]},
    }],
    "work_centres": [
        {"id": "cutting", "kind": "cutting", "method": "flatbed_knife", "spread": [0.7, 1.0, 1.3]},
        {"id": "sewing", "kind": "sewing", "seats": 4, "set_up_min": [1.0, 3.0, 5.0], "spread": [0.7, 1.0, 1.3]},
        {"id": "table", "kind": "inspection"}, {"id": "packing", "kind": "packing"},
    ],
    "shifts": [{"id": "day", "weeks": [{"blocks": [{"days": DAYS, "hours": "07:00-15:30",
                                                   "breaks": ["12:00-12:30"]}]}]}],
    "crews": [
        {"id": "printers", "count": 2, "skills": {"printing": 3}, "shift": "day"},
        {"id": "cutters", "skills": {"cutting": 3}, "shift": "day"},
        {"id": "sewers", "count": 4, "skills": {"sewing": 3}, "shift": "day", "efficiency_pct": 82.0},
        {"id": "packers", "count": 3, "skills": {"inspection": 3, "packing": 3}, "shift": "day"},
    ],
    "products": [
        {"id": "frame", "fabric": "knit", "sizes": [{"width_m": 2.8, "height_m": 1.0, "share": 70.0},
                                                    {"width_m": 2.8, "height_m": 2.0, "share": 30.0}],
         "route": [{"op": "print", "mode": "fast"}, *_ROUTE]},
        {"id": "light", "fabric": "knit", "sizes": [{"width_m": 2.8, "height_m": 1.5}],
         "route": [{"op": "print", "mode": "fine"}, *_ROUTE]},
    ],
    "demand": {
        "forecast": {
            "orders_per_week": 40.0, "day_to_day_dispersion": 1.9, "rush_pct": 20.0,
            "mix": [{"product": "frame", "share_pct": 65.0, "pieces": {"log_normal": {"median": 1.8, "p90": 5.0}}},
                    {"product": "light", "share_pct": 35.0, "pieces": {"gamma": {"mean": 2.2, "cv": 0.8}}}],
            "lines_per_order": {"discrete": {"values": [1.0, 2.0, 3.0], "weights": [70.0, 20.0, 10.0]}},
            "lead_days": {"discrete": {"values": [4.0, 6.0, 9.0], "weights": [3.0, 5.0, 2.0]}},
        },
        "artwork": {"new_file_pct": 60.0}, "cancellations": {"before_print_pct": 5.0, "after_print_pct": 1.0},
    },
    "policies": {"quality": {"print_fault_pct": 9.0, "cut_loss_pct": 2.0, "sewing_fault_pct": 5.0}},
    "study": {"weeks": 26.0, "opening": "empty", "seed": 1},
}  # fmt: skip


def true_shop(seed: int, weeks: float = 26.0) -> Scenario:
    """The shop as it really is."""
    values = copy.deepcopy(TRUE)
    values["study"] |= {"seed": seed, "weeks": weeks}
    return check_values(values, "true shop")


def believed_shop() -> Scenario:
    """What its owner believed before looking at the records: other values wherever `fit` may find some."""
    values = copy.deepcopy(TRUE)
    printer = values["printers"][0]
    for mode in printer["modes"]:
        mode["achieved_share"] = 0.95
    for part in ("roll_change", "nozzle_check", "minor_stops", "breakdowns"):
        printer.pop(part)
    values["crews"][2]["efficiency_pct"] = 100.0
    values["work_centres"][1]["set_up_min"] = 0.0
    forecast = values["demand"]["forecast"]
    values["demand"]["forecast"] = {"orders_per_week": 20.0, "mix": [{"product": "light", "share_pct": 1.0}],
                                    "month_index": forecast.get("month_index")}  # fmt: skip
    if values["demand"]["forecast"]["month_index"] is None:
        values["demand"]["forecast"].pop("month_index")
    values["demand"].pop("cancellations")
    values["policies"] = {}
    return check_values(values, "believed shop")


# -- the records, as ugly as they come --------------------------------------------------------------------------------

ORDER_MAP = """\
table: orders
decimal_mark: ","
columns:
  order_id: Auftrag
  received: {heading: [Datum, Uhrzeit]}
  due: Termin
  product: {heading: Artikel, values: {Rahmen vorn: frame, Rahmen hinten: light}}
  pieces: Menge
  size: {heading: Format, unit: cm}
  rush: {heading: Eilig, values: {"": no}}
  repeat: {heading: Wiederholung, values: {"": no}}
  approved: Freigabe
  cancelled: Storno
duplicates: {exact: keep}
"""
PRINTER_MAP = """\
table: printer_log
decimal_mark: ","
columns:
  printer: {heading: Maschine, values: {D1: press}}
  fabric: {always: knit}
  event: Vorgang
  mode: {heading: Modus, values: {schnell: fast, fein: fine}}
  start: Von
  end: Bis
  minutes: {heading: Dauer, unit: min}
  width_m: {heading: Breite, unit: cm}
  metres: {heading: Laufmeter, unit: m}
"""
WORK_MAP = """\
table: work_log
decimal_mark: ","
columns:
  place: {heading: Platz, values: {Zuschnitt: cutting, Nähen: sewing, Kontrolle: table}}
  person: Name
  ticket: Laufzettel
  product: {heading: Artikel, values: {Rahmen vorn: frame, Rahmen hinten: light}}
  size: {heading: Format, unit: cm}
  start: Von
  end: Bis
  pieces: Menge
  rejected: {heading: Ausschuss, values: {"": 0}}
  cause: Grund
"""
_PRODUCT = {"frame": "Rahmen vorn", "light": "Rahmen hinten"}
_EVENTS = {KIND["roll_change"]: "Rollenwechsel", KIND["nozzle_check"]: "Düsentest", KIND["cleaning"]: "Reinigung",
           KIND["minor_stop"]: "Stopp"}  # fmt: skip


def maps() -> dict[str, Mapping]:
    """The mapping of each table."""
    texts = {"orders": ORDER_MAP, "printer_log": PRINTER_MAP, "work_log": WORK_MAP}
    return {name: parse_mapping(text, name) for name, text in texts.items()}


def write_records(folder: Path, scenario: Scenario) -> dict[str, Path]:
    """Simulate the shop and write its order list, printer log and work log."""
    log = simulate(scenario, (), 0)
    orders = OrderMaker(scenario, (), ReplicationDraws(scenario.study.seed, 0)).make()
    tables = {"orders": _orders(orders), "printer_log": _printer_log(log, scenario), "work_log": _work_log(log)}
    paths = {}
    for name, (heading, rows) in tables.items():
        paths[name] = folder / f"{name}.csv"
        lines = [f"Liste {name};erstellt am Monatsende", "", heading, *rows, f"Summe;{len(rows)}"]
        paths[name].write_text("\n".join(lines) + "\n", encoding="cp1252")
    return paths


def _orders(orders: Sequence[OrderDraw]) -> tuple[str, list[str]]:
    rows = [_order_row(number, order, line) for number, order in enumerate(orders) for line in order.lines]
    return "Auftrag;Datum;Uhrzeit;Termin;Artikel;Menge;Format;Eilig;Wiederholung;Freigabe;Storno", rows


def _order_row(number: int, order: OrderDraw, line: LineDraw) -> str:
    received = _stamp(order.received)
    cancelled = _stamp(order.cancel_at) if np.isfinite(order.cancel_at) else ""
    return ";".join((
        f"A{number}", received[:10], received[11:], _stamp(order.due)[:10], list(_PRODUCT.values())[line.product],
        f"{line.pieces} Stk.", f"{line.width_m * 100:g} x {line.height_m * 100:g}", "ja" if order.rush else "",
        "x" if order.repeat else "", _stamp(order.received + order.artwork_min), cancelled,
    ))  # fmt: skip


def _printer_log(log: RunLog, scenario: Scenario) -> tuple[str, list[str]]:
    """Printing stretch by stretch, with the metres that were fed, and what hands did to the printer."""
    spans = log.table("printer_states").tolist()
    timed: list[tuple[float, str]] = []
    across = _comma(_image_width_m(scenario) * 100)
    noise = np.random.default_rng(scenario.study.seed).normal(0, 0.03, len(spans)).tolist()
    runs = log.table("runs").tolist()
    for (_, state, start, end), off in zip(spans, noise, strict=True):
        run = next((each for each in runs if each[4] <= start < each[5]), None)
        if state == STATE["printing"] and run is not None and end > start:
            times = f"{_stamp(start)};{_stamp(end)};{_comma((end - start) * (1 + off))}"
            metres = f"{_comma((end - start) * run[9])} lfm"
            timed.append((start, f"D1;Druck;{('schnell', 'fein')[int(run[3])]};{times};{across};{metres}"))
        elif state == STATE["breakdown"] and end > start:
            timed.append((start, f"D1;Störung;;{_stamp(start)};{_stamp(end)};;;"))
    by_task: dict[float, list[list[float]]] = {}
    for row in log.table("operations").tolist():
        if int(row[2]) in _EVENTS:
            by_task.setdefault(row[0], []).append(row)
    for parts in by_task.values():
        start, end = parts[0][12], parts[-1][13]
        timed.append((start, f"D1;{_EVENTS[int(parts[0][2])]};;{_stamp(start)};{_stamp(end)};;;"))
    return "Maschine;Vorgang;Modus;Von;Bis;Dauer;Breite;Laufmeter", [text for _, text in sorted(timed)]


def _image_width_m(scenario: Scenario) -> float:
    product = scenario.products[0]
    pieces = web_pieces(product, scenario.fabrics[0], web_width_m(scenario, product), 0.03, 2.8, 1.0)
    return pieces.sizes[0].across_m


def _work_log(log: RunLog) -> tuple[str, list[str]]:
    lines = {(int(o), int(k)): (p, w, h) for o, k, p, _, w, h in log.table("lines").tolist()}
    of_bundle = {int(row[0]): (int(row[2]), int(row[3])) for row in log.table("bundles").tolist()}
    rejects = _rejects(log)
    rows = []
    kinds = {KIND["cut"]: "Zuschnitt", KIND["sew"]: "Nähen", KIND["inspect"]: "Kontrolle"}
    columns = log.table("operations").tolist()
    for task, _, kind, _, _, person, _, order, bundle, pieces, _, _, start, end, _, _, last in columns:
        if int(kind) not in kinds or end <= start:
            continue
        product, width, height = lines[of_bundle[int(bundle)]]
        what = (
            f"{list(_PRODUCT.values())[int(product)]};{width * 100:g} x {height * 100:g};{_stamp(start)};{_stamp(end)}"
        )
        found = rejects.pop((int(order), round(end, 6)), None) if last and int(kind) != KIND["sew"] else None
        # A second cause stands in a row of its own, under another ticket.
        for number, (cause, count) in enumerate((found or {"": 0}).items()):
            ticket, shown = f"T{int(task)}{'b' * number}", int(pieces) if not number else 1
            rows.append(f"{kinds[int(kind)]};Kraft {int(person)};{ticket};{what};{shown} Stk;{count or ''};{cause}")
    return "Platz;Name;Laufzettel;Artikel;Format;Von;Bis;Menge;Ausschuss;Grund", rows


def _rejects(log: RunLog) -> dict[tuple[int, float], Counter[str]]:
    """Pieces rejected by order and minute: what is made again, and what is mended."""
    found: dict[tuple[int, float], Counter[str]] = {}
    words = {"print_fault": "Druck", "cut_loss": "Zuschnitt", "sewing_fault": "Naht"}
    for at, order, _, _, cause, _, _ in log.table("remakes").tolist():
        word = words.get(REMAKE_CAUSES[int(cause)])
        if word:
            found.setdefault((int(order), round(at, 6)), Counter())[word] += 1
    seen = set()
    for row in log.table("operations").tolist():
        if int(row[2]) == KIND["repair"] and row[0] not in seen:
            seen.add(row[0])
            found.setdefault((int(row[7]), round(row[11], 6)), Counter())["Naht"] += int(row[9])
    return found


def _stamp(minute: float) -> str:
    seconds = round(minute * 60)
    day = date_of(seconds / 60, MONDAY)
    rest = seconds % 86400
    return f"{day:%d.%m.%Y} {rest // 3600:02d}:{rest % 3600 // 60:02d}:{rest % 60:02d}"


def _comma(number: float) -> str:
    return f"{number:.3f}".replace(".", ",")
