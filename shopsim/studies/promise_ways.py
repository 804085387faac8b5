"""Ways to make a request's date: as asked, as a rush order, with overtime, bought in, and with what-ifs.

Only what the house rules allow is offered: rush where rush orders go first, overtime of the crews that may be asked,
work bought in where the shop buys in. What-ifs may allow more.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopsim.clock import MINUTES_PER_DAY, WEEKDAYS, date_of
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import Shop
from shopsim.shop.skills import PRINTING
from shopsim.shop.today_model import AgreedOvertime, OpenOrder
from shopsim.shop.today_start import Start
from shopsim.shop.today_words import places_by_word
from shopsim.studies.futures import MorningOption, morning_option

AS_ASKED, RUSH, OVERTIME, OUTSIDE, WHAT_IF = "as asked", "rush", "overtime", "bought in", "what-if"


@dataclass(frozen=True)
class Way:
    """One way: its kind, its name and what it is in a sentence, the option, and the regular wages it costs until money
    is no longer counted."""

    kind: str
    name: str
    words: str
    option: MorningOption
    wages_cu: float = 0.0


def ways_of(
    shop: Shop, plain: Start, request: OpenOrder, until: float, changed: Sequence[tuple[str, Shop]] = ()
) -> list[Way]:  # fmt: skip
    """Every way the shop allows, as asked first, then those of what-ifs."""
    scenario = shop.scenario
    asked = replace(plain, requests=(request,))
    found = [(AS_ASKED, AS_ASKED, AS_ASKED, asked)]
    if scenario.policies.printing.rush_first and not request.rush:
        rush = replace(plain, requests=(request.model_copy(update={"rush": True}),))
        found.append((RUSH, "rush order", "a rush order", rush))
    agreed = agreed_overtime(scenario, plain, until)
    if agreed:
        today = plain.today.model_copy(update={"overtime": (*plain.today.overtime, *agreed)})
        found.append((OVERTIME, OVERTIME, overtime_words(agreed), replace(asked, today=today)))
    for place in places_outside(scenario, request):
        words = f"{place} bought in"
        found.append((OUTSIDE, words, words, replace(asked, outside=place)))
    made = [
        Way(kind, name, words, morning_option(name, scenario, shop.order_lines, start))
        for kind, name, words, start in found
    ]
    now = plain.now_min(scenario)
    for name, other in changed:
        wages = regular_wages(other.scenario, now, until) - regular_wages(scenario, now, until)
        option = morning_option(name, other.scenario, other.order_lines, asked)
        made.append(Way(WHAT_IF, name, f"“{name}”", option, wages))
    return made


def agreed_overtime(scenario: Scenario, plain: Start, until: float) -> tuple[AgreedOvertime, ...]:
    """Overtime of every crew that may be asked, on every day of its rule until then, whatever its queue."""
    first = int(plain.now_min(scenario) // MINUTES_PER_DAY)
    told = {(each.crew, each.on) for each in plain.today.overtime}
    found = []
    for rule in scenario.policies.overtime:
        days = {_SHORT.index(day) for day in rule.days}
        for day in range(first, int(until // MINUTES_PER_DAY) + 1):
            on = date_of(day * MINUTES_PER_DAY, scenario.shop.starts)
            if day % 7 in days and day not in scenario.closed_days:
                found += [
                    AgreedOvertime(crew=crew, on=on, minutes=rule.minutes)
                    for crew in rule.crews
                    if (crew, on) not in told
                ]
    return tuple(found)


_SHORT = tuple(day.lower() for day in WEEKDAYS)


def overtime_words(agreed: Sequence[AgreedOvertime]) -> str:
    """`overtime of sewers, 60 min a day until 24 September`."""
    crews = ", ".join(dict.fromkeys(each.crew for each in agreed))
    minutes = sorted({each.minutes for each in agreed})
    long = " to ".join(f"{each:g}" for each in minutes[:: max(1, len(minutes) - 1)])
    return f"overtime of {crews}, {long} min a day until {max(each.on for each in agreed):%d %B}"


def places_outside(scenario: Scenario, request: OpenOrder) -> list[str]:
    """Places of the request's routes whose work the shop buys in; `printing` for whole lines."""
    products = scenario.by_id("products")
    ordered = [products[line.product] for line in request.lines]
    places = {place for product in ordered for place in places_by_word(product).values()}
    found = [rule.at for rule in scenario.policies.bought_in if rule.at in places]
    if scenario.policies.bought_in_print is not None and any(each.print_step is not None for each in ordered):
        found.append(PRINTING)
    return found


def regular_wages(scenario: Scenario, start: float, end: float) -> float:
    """Pay of all crews for their regular hours in [start, end), absence lying in the all-in wage (PPL-11)."""
    shifts = scenario.by_id("shifts")
    total = 0.0
    for crew in scenario.crews:
        shift = shifts[crew.shift]
        open_min = shift.calendar(end + MINUTES_PER_DAY, scenario.closed_days).work_between(start, end)
        total += crew.count * open_min / 60 * crew.wage_per_h * (1 + shift.premium_pct / 100)
    return total
