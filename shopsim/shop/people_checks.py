"""Whether shifts are sound, and whether for each place somebody is there who can work at it, alone or in pairs."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.shop.model_paths import Path
from shopsim.shop.people import Crew, Shift
from shopsim.shop.plain_messages import choices
from shopsim.shop.printers import OfflineFixation
from shopsim.shop.printing_checks import largest_pieces
from shopsim.shop.products import At
from shopsim.shop.route_times import people_needed
from shopsim.shop.scenario import Scenario
from shopsim.shop.skills import HELPER, PRINTING, skill_for_calenders
from shopsim.shop.work_centres import WorkCentre

Fault = tuple[Path, str]

# Whether two crews ever meet shows within twice the longest rotation of 26 weeks, or not for a very long time.
_MEET_WITHIN_MIN = 52 * MINUTES_PER_WEEK


def check_shifts(scenario: Scenario) -> Iterator[Fault]:
    """Shifts must not overlap themselves, and begin within their rotation."""
    for i, shift in enumerate(scenario.shifts):
        if shift.round_the_clock:
            continue
        try:
            shift.calendar(MINUTES_PER_WEEK)
        except ValueError as error:
            yield ("shifts", i), str(error)
        if shift.first_week >= len(shift.weeks):
            yield (
                ("shifts", i, "first_week"),
                f"must be below the number of weeks, {len(shift.weeks)} (0 is the first), found {shift.first_week}",
            )


def check_skills(scenario: Scenario) -> Iterator[Fault]:
    """Each place in use needs somebody with its skill."""
    for path, name, skill in _needs(scenario):
        able = [crew for crew in scenario.crews if skill in crew.skills]
        if not able:
            known = sorted({each for crew in scenario.crews for each in crew.skills})
            lacking = f"no crew has the skill {skill!r}{choices(skill, known, 'crews have')}"
            yield path, f"nobody can work at {name}: {lacking}"
        elif not any(crew.count for crew in able):
            names = ", ".join(crew.id for crew in able)
            yield path, f"nobody can work at {name}: the crews with the skill {skill!r} have a count of 0 ({names})"


def check_helpers(scenario: Scenario) -> Iterator[Fault]:
    """Work for two needs two people at the same time: one with the skill, another with it or with `helper`."""
    for path, what, skill in _pair_needs(scenario):
        able = [crew for crew in scenario.crews if skill in crew.skills and crew.count]
        if able and not _two_meet(scenario, able, skill):
            yield path, f"{what} takes two people at a time; add a second with the skill {skill!r} or {HELPER!r}"
    for i, printer in enumerate(scenario.printers):
        if printer.roll_change.needs_lift and scenario.policies.lifts == 0:
            yield ("printers", i, "roll_change"), "needs a lift, but `policies.lifts` is 0; say `needs_lift: false`"


def _needs(scenario: Scenario) -> Iterator[tuple[Path, str, str]]:
    if any(product.print_step for product in scenario.products) and scenario.printers:
        yield ("printers",), "the printers", PRINTING
        if any(isinstance(printer.fixation, OfflineFixation) for printer in scenario.printers):
            yield ("calenders",), "the calenders", skill_for_calenders(scenario)
    used = _used_places(scenario)
    for i, centre in enumerate(scenario.work_centres):
        if centre.id in used:
            yield ("work_centres", i), repr(centre.id), centre.needed_skill


def _used_places(scenario: Scenario) -> set[str]:
    used = {step.at for product in scenario.products for step in product.route if isinstance(step, At)}
    breakdowns = [printer.breakdowns for printer in scenario.printers]
    breakdowns += [centre.stops for centre in scenario.work_centres]
    used |= {each.repair_at for each in breakdowns if each is not None and each.repair_at is not None}
    artwork = scenario.demand.artwork
    others = (scenario.policies.dispatch.order_check_at, artwork.check_at if artwork is not None else None)
    return used | {place for place in others if place is not None}


def _pair_needs(scenario: Scenario) -> Iterator[tuple[Path, str, str]]:
    for i, printer in enumerate(scenario.printers):
        if printer.roll_change.people == 2:
            yield ("printers", i, "roll_change", "people"), "a roll change", PRINTING
    for i, calender in enumerate(scenario.calenders):
        if calender.people == 2:
            yield ("calenders", i, "people"), f"the calender {calender.id!r}", skill_for_calenders(scenario)
    for i, centre in enumerate(scenario.work_centres):
        if _needs_pairs(scenario, centre):
            yield ("work_centres", i), f"a large piece at {centre.id!r}", centre.needed_skill


def _needs_pairs(scenario: Scenario, centre: WorkCentre) -> bool:
    return any(
        people_needed(step, centre, piece.width_m, piece.height_m) == 2
        for product in scenario.products
        for step in product.route
        # A cut without method and minutes is a fault of its own.
        if isinstance(step, At) and step.at == centre.id and (centre.method or step.minutes or step.op != "cut")
        for _, piece in largest_pieces(product)
    )


def _two_meet(scenario: Scenario, able: list[Crew], skill: str) -> bool:
    if any(crew.count > 1 for crew in able):
        return True
    second = [crew for crew in scenario.crews if crew.count and (skill in crew.skills or HELPER in crew.skills)]
    shifts = scenario.by_id("shifts")
    pairs = ((one, two) for one in able for two in second if one.id != two.id)
    return any(_meet(shifts.get(one.shift), shifts.get(two.shift)) for one, two in pairs)


def _meet(one: Shift | None, two: Shift | None) -> bool:
    if one is None or two is None or one.id == two.id:
        return True
    try:
        return one.calendar(_MEET_WITHIN_MIN).overlaps(two.calendar(_MEET_WITHIN_MIN))
    except ValueError:
        # A shift that overlaps itself has been told already.
        return True
