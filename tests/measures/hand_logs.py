"""A shop small enough for sums by hand, and records written row by row instead of simulated.

One printer with its operator, two sewers at two seats. Everybody works 07:00-11:00 and 11:30-15:30, Monday to Friday;
the simulation lasts one week, with nothing left out. Minute 420 is Monday 07:00, 660 the break, 690 its end, 930 home.
"""

from __future__ import annotations

from typing import Any

from shopsim.floor.record import COLUMNS, RunLog
from shopsim.shift_plans import build_calendar
from shopsim.shop.scenario import Scenario
from tests.stories.shops import centre, crew, fabric, merged, printer, product, shift, shop, step, to_print

WEEK = 10080.0
_NONE = {"seat", "person", "helper", "order", "bundle", "parent", "printer", "last_bundle", "check_task"}
_NEVER = {"released", "complete", "dispatched", "delivered"}


def hand_shop(**changes: Any) -> Scenario:
    """The shop on paper: knit at 4 CU/m2, ink at 50 CU/l, wages of 20 CU/h, a banner of 1 m2 at 30 CU/m2."""
    base: dict[str, Any] = {
        "fabrics": [fabric(price_per_m2=4.0)],
        "supplies": {"ink_price_per_l": 50.0},
        "printers": [printer(power={"running_kw": 10.0, "standby_kw": 4.0, "off_kw": 0.0},
                             money={"price": 36525.0, "life_years": 5.0, "resale_pct": 20.0,
                                    "service_pct_per_year": 10.0, "floor_m2": 30.0})],
        "work_centres": [centre("sewing", seats=2)],
        "shifts": [shift("day", "07:00-15:30", ("11:00-11:30",))],
        "crews": [crew("op", "printing", wage_per_h=20.0), crew("sewers", "sewing", count=2, wage_per_h=20.0)],
        "products": [product("banner", to_print(), step("work", "sewing", 10.0), price_per_m2=30.0)],
        "money": {"minimum_order": 40.0, "packing_and_freight_per_order": 12.0, "other_floor_m2": 70.0},
    }  # fmt: skip
    return shop(**merged(base, changes))


def hand_log(scenario: Scenario, warm_up_min: float = 0.0, **tables: list[dict[str, float]]) -> RunLog:
    """A log of the hand shop over one week. Columns left out are -1 where that means none or never, else 0."""
    log = RunLog(WEEK, warm_up_min, 1, 0)
    for i, model in enumerate(scenario.crews):
        for number in range(model.count):
            log.add_person(f"{model.id} {number + 1}", i)
    log.printers = [model.id for model in scenario.printers]
    log.places = [*(model.id for model in scenario.work_centres), "print room"]
    log.place_seats = [*(model.seats for model in scenario.work_centres), None]
    log.crews = [model.id for model in scenario.crews]
    log.fabrics = [model.id for model in scenario.fabrics]
    log.products = [model.id for model in scenario.products]
    calendars = {
        model.id: build_calendar(model.rotation(), WEEK + 28 * 1440, scenario.closed_days) for model in scenario.shifts
    }
    log.crew_calendars = [calendars[model.shift] for model in scenario.crews]
    log.place_calendars = [calendars[scenario.crews[-1].shift]] * len(log.places)
    log.attended = calendars[scenario.crews[0].shift].envelope()
    for table, rows in tables.items():
        for values in rows:
            assert values.keys() <= set(COLUMNS[table]), values
            log.columns[table].extend(
                float(values.get(name, -1.0 if name in _NONE | _NEVER else 0.0)) for name in COLUMNS[table]
            )
    return log


def operation(task: int, kind: int, start: float, end: float, **more: float) -> dict[str, float]:
    """A stretch of work that is ready when it starts, is done with it, and has no break inside."""
    given = {
        "task": task,
        "kind": kind,
        "ready": start,
        "start": start,
        "end": end,
        "worked_min": end - start,
        "last": 1,
    }
    return given | more


def shipped(order: int, received: float, due: float, dispatched: float, **more: float) -> dict[str, float]:
    """An order that was dispatched; complete and released at once unless told otherwise."""
    given = {
        "order": order, "received": received, "released": received, "due": due, "complete": dispatched,
        "dispatched": dispatched, "delivered": dispatched, "ending": 1, "ended": dispatched, "pieces": 1,
    }  # fmt: skip
    return given | more
