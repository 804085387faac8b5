"""Tiny shops for stories, and the records of a run as lines to read: (what, who, start, end).

The standard printer makes the sums easy: pieces are 1 m wide on a web 1 m wide and printed at 1 m/min, the tail is
3 m, a full roll change 20 min with 4 m of leader, the warm-up 20 min. Whatever is random is fixed or left out until a
story asks for it. The standard operator comes at 07:00, so a first run is on the printer at 07:40 (20 min warm-up,
20 min roll change) unless a story says otherwise. Orders are called A, B, C, ... in order of receipt.
"""

from __future__ import annotations

import datetime
import math
import re
from typing import Any

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK, WEEKDAYS, parse_clock
from shopsim.floor.record import COLUMNS, ENDINGS, KINDS, METRE_CAUSES, STATES, RunLog
from shopsim.floor.run import simulate
from shopsim.shop.cross_checks import cross_check
from shopsim.shop.order_book import OrderLine
from shopsim.shop.scenario import Scenario

STARTS = datetime.date(2026, 1, 5)
Line = tuple[str, str, str, str]
Model = dict[str, Any]


# -- the shop on paper ----------------------------------------------------------------------------------------------


def merged(base: Model, changes: Model) -> Model:
    """`base` with changes; a mapping in both is merged, anything else replaced."""
    both = dict(base)
    for key, value in changes.items():
        old = both.get(key)
        both[key] = merged(old, value) if isinstance(old, dict) and isinstance(value, dict) else value
    return both


def fabric(name: str = "knit", **changes: Any) -> Model:
    """A fabric 1 m wide without shrinkage, in rolls of 100 m."""
    base = {
        "id": name, "family": "other", "roll_width_m": 1.0, "roll_length_m": 100.0, "shrink_along_pct": 0.0,
        "shrink_across_pct": 0.0, "plate_c": 190.0, "dwell_s": 40.0, "ink_ml_per_m2": 10.0,
    }  # fmt: skip
    return merged(base, changes)


def printer(name: str = "p1", **changes: Any) -> Model:
    """A printer at 60 m2/h on a web 1 m wide, which never fails."""
    base = {
        "id": name, "print_width_m": 1.0,
        "modes": [{"id": "std", "area_rate_m2_per_h": 60.0, "rated_width_m": 1.0, "achieved_share": 1.0}],
        "fixation": {"kind": "inline", "plate_m": 0.8, "tail_m": 3.0, "warm_up_min": 20.0},
        "roll_change": {"full_min": 20.0, "join_min": 10.0, "leader_m": 4.0, "join_waste_m": 2.0,
                        "seam_trouble_pct": 0.0, "needs_lift": False},
        "take_up": {"change_min": 5.0},
        "nozzle_check": None, "first_article": None, "minor_stops": None, "breakdowns": None, "attention_pct": 0.0,
        "care": {"daily_min": 0.0, "weekly_min": 0.0, "service_every_days": None},
    }  # fmt: skip
    return merged(base, changes)


def centre(name: str, kind: str = "general", **changes: Any) -> Model:
    """A work centre with one seat; the skill it needs is its own name."""
    return merged({"id": name, "kind": kind, "skill": name}, changes)


def shift(name: str, hours: str = "07:00-15:00", breaks: tuple[str, ...] = (), days: str = "mon tue wed thu fri",
          **changes: Any) -> Model:  # fmt: skip
    """The same hours on some days of every week."""
    block = {"days": days.split(), "hours": hours, "breaks": list(breaks)}
    return merged({"id": name, "weeks": [{"blocks": [block]}]}, changes)


def crew(name: str, skills: str, **changes: Any) -> Model:
    """Standard workers on day shift, with skills at level 3."""
    return merged({"id": name, "skills": dict.fromkeys(skills.split(), 3), "shift": "day"}, changes)


def product(name: str, *route: Model, **changes: Any) -> Model:
    """A product 1 m x 1 m; printed ones are on knit."""
    base: Model = {"id": name, "sizes": [{"width_m": 1.0, "height_m": 1.0}], "route": list(route)}
    if route[0]["op"] == "print":
        base["fabric"] = "knit"
    return merged(base, changes)


def to_print(mode: str = "std", **changes: Any) -> Model:
    """The step on the printer, without allowance on the edges."""
    return merged({"op": "print", "mode": mode, "edge_extra_m": 0.0}, changes)


def step(op: str, at: str, minutes: float, **changes: Any) -> Model:
    """A step with its minutes a piece given directly."""
    return merged({"op": op, "at": at, "minutes": minutes}, changes)


BANNER = product("banner", to_print())

_SHOP: Model = {
    "shop": {"name": "story", "starts": STARTS},
    "supplies": {"edge_margin_m": 0.0, "gap_m": 0.0, "remnant_keep_m": 4.0, "panel_overlap_m": 0.0},
    "shifts": [shift("day")],
    "demand": {"order_book": {"file": "orders.csv"}},
    "policies": {
        "quality": {"print_fault_pct": 0.0, "seen_at_printer_pct": 0.0, "cut_loss_pct": 0.0, "sewing_fault_pct": 0.0,
                    "missed_pct": 0.0, "repair_min": 15.0},
        "dispatch": {"cut_off": "16:00", "courier_days": 1.0},
    },
    "study": {"weeks": 1, "opening": "empty", "seed": 1},
}  # fmt: skip


def shop(**changes: Any) -> Scenario:
    """A sound scenario; lists (fabrics, printers, ...) replace the standard ones, mappings are merged."""
    scenario = Scenario.model_validate(merged(_SHOP, changes))
    assert cross_check(scenario) == []
    return scenario


def print_shop(**changes: Any) -> Scenario:
    """The standard printer with its operator, making banners."""
    base: Model = {"fabrics": [fabric()], "printers": [printer()], "crews": [crew("op", "printing")],
                   "products": [BANNER]}  # fmt: skip
    return shop(**merged(base, changes))


def order(received: str, what: str = "banner", pieces: int = 1, due: str = "Fri", **more: Any) -> OrderLine:
    """One order of one line; `more` may hold `order_id`, `width_m`, `rush`, ..., and times as text."""
    order.count += 1  # type: ignore[attr-defined]
    times = {key: moment(more.pop(key)) for key in ("approved", "cancelled") if key in more}
    day = datetime.timedelta(days=int(minute(f"{due} 00:00") // MINUTES_PER_DAY))
    name = more.pop("order_id", f"order {order.count}")  # type: ignore[attr-defined]
    return OrderLine(order_id=name, received=moment(received), due=STARTS + day, product=what, pieces=pieces, **times,
                     **more)  # fmt: skip


order.count = 0  # type: ignore[attr-defined]


def run(scenario: Scenario, *orders: OrderLine) -> RunLog:
    """One replication."""
    return simulate(scenario, orders)


# -- clocks ---------------------------------------------------------------------------------------------------------


def minute(text: str) -> float:
    """Minutes of "Tue 07:20"; "Tue2 07:20" is a week later."""
    match = re.fullmatch(r"([A-Z][a-z]{2})(\d?) (\d\d:\d\d)", text)
    assert match is not None, text
    week = int(match[2] or 1) - 1
    return float(week * MINUTES_PER_WEEK + WEEKDAYS.index(match[1]) * MINUTES_PER_DAY + parse_clock(match[3]))


def moment(text: str) -> datetime.datetime:
    """The date and time of "Tue 07:20"."""
    return datetime.datetime.combine(STARTS, datetime.time()) + datetime.timedelta(minutes=minute(text))


def clock(t: float) -> str:
    """Text of minute `t`, with seconds if it is no whole minute; a millionth of a minute counts as rounding."""
    if t < 0 or math.isinf(t):
        return "never"
    seconds = round(t * 60, 4)
    whole, rest = divmod(seconds, 60)
    day, clock_min = divmod(int(whole), MINUTES_PER_DAY)
    week, weekday = divmod(day, 7)
    text = f"{WEEKDAYS[weekday]}{week + 1 if week else ''} {clock_min // 60:02d}:{clock_min % 60:02d}"
    return text if rest == 0 else f"{text}:{rest:07.4f}".rstrip("0").rstrip(".")


# -- the records as lines ---------------------------------------------------------------------------------------------


def rows(log: RunLog, table: str) -> list[dict[str, float]]:
    """The rows of a table by column name, in the order in which they were written."""
    return [dict(zip(COLUMNS[table], row, strict=True)) for row in log.table(table).tolist()]


def letter(number: float) -> str:
    """A for the first order received, B for the second, ..."""
    return chr(ord("A") + int(number))


def _who(log: RunLog, row: dict[str, float]) -> str:
    people = [log.people[int(row[who])].name for who in ("person", "helper") if row[who] >= 0]
    return " + ".join(people) or "outside"


def story(log: RunLog, *kinds: str) -> list[Line]:
    """Operations in order of their start, all or of some kinds; an order's letter stands after the kind."""
    lines = []
    for row in sorted(rows(log, "operations"), key=lambda row: row["start"]):
        kind = KINDS[int(row["kind"])]
        if not kinds or kind in kinds:
            what = f"{kind} {letter(row['order'])}" if row["order"] >= 0 else kind
            lines.append((what, _who(log, row), clock(row["start"]), clock(row["end"])))
    return lines


def machine(log: RunLog, name: str = "p1", start: str = "Mon 07:00", end: str = "Mon 15:00") -> list[Line]:
    """The states of a printer between two clocks."""
    first, last = minute(start), minute(end)
    return [
        (STATES[int(row["state"])], name, clock(max(first, row["start"])), clock(min(last, row["end"])))
        for row in rows(log, "printer_states")
        if log.printers[int(row["printer"])] == name and row["start"] < last and row["end"] > first
    ]


def printed(log: RunLog) -> list[Line]:
    """What came off the printers: pieces and order, printer, start of the run, off the printer."""
    return [
        (f"{row['pieces']:g} of {letter(row['order'])}", log.printers[int(row["printer"])], clock(row["start"]),
         clock(row["end"]))
        for row in rows(log, "prints")
    ]  # fmt: skip


def metres(log: RunLog) -> dict[str, float]:
    """Metres of web by cause."""
    found: dict[str, float] = {}
    for row in rows(log, "metres"):
        cause = METRE_CAUSES[int(row["cause"])]
        found[cause] = round(found.get(cause, 0.0) + row["metres"], 9)
    return found


def endings(log: RunLog) -> list[Line]:
    """How orders ended, by letter: ending, letter, complete, dispatched."""
    return [
        (ENDINGS[int(row["ending"])], letter(row["order"]), clock(row["complete"]), clock(row["dispatched"]))
        for row in sorted(rows(log, "orders"), key=lambda row: row["order"])
    ]
