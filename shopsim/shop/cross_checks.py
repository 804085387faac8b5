"""What no part of a scenario can see alone: names that lead nowhere, pieces no web can take, work nobody can do.

Each check takes the scenario and yields faults, a path of keys and list positions with a message. A new check is one
function and one entry in `CHECKS`; the checks themselves stand in `id_checks`, `sequence_checks`, `printing_checks`,
`route_checks`, `limit_checks`, `people_checks` and `scale_checks`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from pathlib import PurePosixPath, PureWindowsPath

from shopsim.clock import MINUTES_PER_DAY, WEEKDAYS
from shopsim.shop.id_checks import find_dangling, find_doubles
from shopsim.shop.limit_checks import check_orders_at_once, check_rooms
from shopsim.shop.model_paths import Path
from shopsim.shop.people_checks import check_helpers, check_shifts, check_skills
from shopsim.shop.printers import Breakdowns
from shopsim.shop.printing_checks import check_modes, check_pieces, check_print_steps
from shopsim.shop.route_checks import check_places, check_sizes
from shopsim.shop.scale_checks import check_scale
from shopsim.shop.scenario import Scenario
from shopsim.shop.sequence_checks import check_sequences

Fault = tuple[Path, str]

# Beyond these years arithmetic on dates leaves the calendar.
_YEARS = range(1970, 2201)
# Due dates are looked up so far beyond the horizon.
_DAYS_AHEAD = 400


def cross_check(scenario: Scenario) -> list[Fault]:
    """All faults between the parts of a scenario; an empty list means it can be simulated.

    A name that leads nowhere is told once: the other checks pass over it.
    """
    return [fault for check in CHECKS for fault in check(scenario)]


def _check_start(scenario: Scenario) -> Iterator[Fault]:
    starts = scenario.shop.starts
    if starts.weekday() != 0:
        yield ("shop", "starts"), f"must be a Monday, but {starts.isoformat()} is a {WEEKDAYS[starts.weekday()]}"
    if starts.year not in _YEARS:
        yield ("shop", "starts"), f"must lie in the years {_YEARS[0]} to {_YEARS[-1]}, found {starts.isoformat()}"


def _check_order_book_place(scenario: Scenario) -> Iterator[Fault]:
    book = scenario.demand.order_book
    if book is None:
        return
    path: Path = ("demand", "order_book", "file")
    inside = PurePosixPath(book.file.replace("\\", "/"))
    if inside.is_absolute() or PureWindowsPath(book.file).drive or ".." in inside.parts:
        yield path, f"must lie in the scenario's folder, without `..`, found {book.file!r}"
    elif inside.suffix.lower() not in (".csv", ".xlsx"):
        yield path, f"must be a .csv or .xlsx file, found {book.file!r}"


def _check_endless_work(scenario: Scenario) -> Iterator[Fault]:
    quality = scenario.policies.quality
    for name in ("print_fault_pct", "cut_loss_pct"):
        if getattr(quality, name) >= 100:
            yield ("policies", "quality", name), "must be below 100: at 100 no piece is ever good"
    if quality.sewing_fault_pct >= 100 and quality.sewing_repaired_pct < 100:
        yield ("policies", "quality", "sewing_fault_pct"), "must be below 100: at 100 some pieces are never good"
    for index, calender in enumerate(scenario.calenders):
        if calender.reject_pct >= 100:
            yield ("calenders", index, "reject_pct"), "must be below 100: at 100 no piece is ever good"


def _check_repairs(scenario: Scenario) -> Iterator[Fault]:
    machines = [(("printers", i, "breakdowns"), each.breakdowns) for i, each in enumerate(scenario.printers)]
    machines += [(("work_centres", i, "stops"), each.stops) for i, each in enumerate(scenario.work_centres)]
    for path, breakdowns in machines:
        if breakdowns is not None:
            yield from _check_breakdowns(path, breakdowns)


def _check_breakdowns(path: Path, rule: Breakdowns) -> Iterator[Fault]:
    if not any(repair.share_pct > 0 for repair in rule.repairs):
        yield (*path, "repairs"), "at least one repair needs a share above 0"
    if (rule.every_running_h is None) == (rule.every_calendar_h is None):
        both = "neither is given" if rule.every_calendar_h is None else "both are given"
        yield path, f"give either `every_running_h` or `every_calendar_h`; {both}"
    elif rule.renew_after_running_h is not None and rule.every_running_h is None:
        yield (*path, "renew_after_running_h"), "belongs to `every_running_h`; this machine fails by the calendar"


def _check_collections(scenario: Scenario) -> Iterator[Fault]:
    """Deliveries, work from outside and dispatch count days with collections: there must be some."""
    days = {WEEKDAYS.index(day.capitalize()) for day in scenario.policies.dispatch.days}
    horizon_days = int(scenario.horizon_min // MINUTES_PER_DAY)
    if all(day % 7 not in days or day in scenario.closed_days for day in range(horizon_days + _DAYS_AHEAD)):
        yield ("closed",), "leaves no day on which orders are collected"


CHECKS: Iterable[Callable[[Scenario], Iterable[Fault]]] = (
    _check_start,
    _check_order_book_place,
    _check_collections,
    check_shifts,
    find_doubles,
    find_dangling,
    check_sequences,
    check_orders_at_once,
    check_rooms,
    check_modes,
    _check_endless_work,
    _check_repairs,
    check_print_steps,
    check_places,
    check_sizes,
    check_pieces,
    check_skills,
    check_helpers,
    check_scale,
)
