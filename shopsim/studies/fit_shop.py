"""`fit`: a shop's own records into its scenario. Start reading at `fit_shop`.

Each part of the records is fitted in its own room (`fit_rates`, `fit_orders`, `fit_printers`, `fit_work`); here they
are put together, and what was found is checked against the scenario before anybody sees it (`fit_together`).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shopsim.craft.sewers import skill_speed
from shopsim.shop.changes import Change, changed_values
from shopsim.shop.ranges_file import InputRange, RangesFile
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import scenario_or_faults
from shopsim.shop.skills import PRINTING
from shopsim.studies.fit_clock import RecordClock
from shopsim.studies.fit_found import Findings, Fitted
from shopsim.studies.fit_history import History, known_history, order_history
from shopsim.studies.fit_orders import fit_orders
from shopsim.studies.fit_printers import fit_printers
from shopsim.studies.fit_rates import fit_rates
from shopsim.studies.fit_together import fresh_forecast, put_in
from shopsim.studies.fit_work import fit_work

Rows = Sequence[Mapping[str, Any]]
# Parts of a scenario that logs say nothing about; said so that nobody takes them for measured.
NEVER_FITTED = "wages and prices, shifts, stocks, power, care and service, absence, the heat plate"


@dataclass(frozen=True, slots=True)
class ShopFit:
    """What was found, the changes that put it into the scenario, the ranges for `sensitivity`, and what is left.

    `rows` counts the rows used by table; `history` is None without orders.
    """

    fitted: tuple[Fitted, ...]
    changes: tuple[Change, ...]
    ranges: tuple[InputRange, ...]
    left: tuple[str, ...]
    rows: Mapping[str, int]
    history: History | None
    confidence_pct: float

    @property
    def written(self) -> list[Fitted]:
        """What stands in the scenario; the rest is told only."""
        return [one for one in self.fitted if one.path]


def fit_shop(scenario: Scenario, orders: Rows = (), printer_log: Rows = (), work_log: Rows = (),
             confidence_pct: float = 95.0) -> ShopFit:  # fmt: skip
    """Fit a scenario to rows in our own columns. Raises ValueError for an order history below two weeks, and one of
    products that the scenario does not have."""
    found = Findings()
    history = known_history(order_history(orders), scenario, found.left) if orders else None
    if history is not None:
        base = scenario.demand.forecast or fresh_forecast(scenario)
        found.add(fit_rates(history, base, confidence_pct))
        found.add(fit_orders(history, scenario, confidence_pct))
        if history.outside:
            found.left.append(f"{history.outside} orders of weeks that are not wholly on record")
    else:
        found.left.append("demand: no order history given")
    clock = RecordClock(scenario, [*printer_log, *work_log])
    if printer_log:
        speed = _hands_speed(scenario)
        found.add(fit_printers(printer_log, scenario, clock.attended, speed, confidence_pct))
    else:
        found.left.append("printers: no printer log given")
    if work_log:
        found.add(fit_work(work_log, scenario, clock.at_place, confidence_pct))
    else:
        found.left.append("work after the printer: no work log given")
    made, changes = put_in(scenario, found, history is not None)
    ranges = _ranges(scenario, made, changes)
    lines = 0 if history is None else sum(len(order.lines) for order in history.orders)
    rows = {"orders": lines, "printer_log": len(printer_log), "work_log": len(work_log)}
    return ShopFit(tuple(made), tuple(changes), tuple(ranges), tuple(found.left), rows, history, confidence_pct)


def ranges_text(fit: ShopFit) -> dict[str, Any]:
    """The ranges as plain values of a file of ranges."""
    return RangesFile(ranges=fit.ranges).model_dump(mode="json", exclude_defaults=True)


def _hands_speed(scenario: Scenario) -> float:
    """Standard minutes a minute of the people who serve printers, on the average of heads."""
    crews = [crew for crew in scenario.crews if crew.skills.get(PRINTING) and crew.count]
    heads = sum(crew.count for crew in crews)
    if not heads:
        return 1.0
    return sum(crew.count * skill_speed(crew.skills[PRINTING]) * crew.efficiency_pct / 100 for crew in crews) / heads


def _ranges(scenario: Scenario, made: Sequence[Fitted], changes: Sequence[Change]) -> list[InputRange]:
    """The doubts as ranges that fit the fitted scenario; those that do not are left out."""
    from shopsim.errors import RangesError
    from shopsim.shop.ranges_file import check_ranges

    values = scenario_values(scenario)
    for change in changes:
        values = changed_values(values, change)
    fitted = scenario_or_faults(values)
    if not isinstance(fitted, Scenario):
        return []
    ranges = []
    for doubt in (doubt for one in made for doubt in one.doubts):
        one = InputRange(path=doubt.path, low=doubt.low, high=doubt.high)
        try:
            check_ranges([one], fitted, "fit")
        except RangesError:
            continue
        ranges.append(one)
    return ranges
