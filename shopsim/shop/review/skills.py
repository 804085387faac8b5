"""Hours in which work or a machine is there and nobody with the skill, and skills that one person alone holds."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from shopsim.shop.people import Crew
from shopsim.shop.printers import OfflineFixation
from shopsim.shop.products import At, Product
from shopsim.shop.review.finding import Finding, named, ways
from shopsim.shop.review.paper import Bools, Paper
from shopsim.shop.rough_hours import absent_share
from shopsim.shop.route_times import printers_for
from shopsim.shop.skills import PRINTING

# Shifts staggered by an hour or so are meant; from a whole shift a week on it is worth a word.
LEAST_HOURS_A_WEEK = 8.0
_WEEKS_A_YEAR = 52
_USUAL_ABSENCE = 0.04


def look(paper: Paper) -> Iterator[Finding]:
    """All places in use, the printers, and whoever mends machines."""
    yield from _one_person(paper)
    yield from _repairs(paper)
    yield from _print_room(paper)
    yield from _after_one_another(paper)


def _one_person(paper: Paper) -> Iterator[Finding]:
    by_crews: dict[tuple[str, ...], list[str]] = {}
    for place, skill in paper.skills_of_places.items():
        if paper.with_skill(skill).max() == 1:
            able = tuple(crew.id for crew in paper.hours.crews if skill in crew.skills)
            by_crews.setdefault(able, []).append(place)
    crews = {crew.id: crew for crew in paper.hours.crews}
    for able, places in by_crews.items():
        skills = list(dict.fromkeys(paper.skills_of_places[place] for place in places))
        who = named(able) if len(able) == 1 else f"{named(able)}, never two at a time"
        there = paper.heads(lambda crew, able=able: crew.id in able) > 0  # type: ignore[misc]
        learners = paper.could_learn(skills, there)
        yield Finding(
            "one_person_only", named(places),
            f"{named(skills)} only by {who}; {_days_away(paper, [crews[name] for name in able])}",
            ways(f"teach a second person to level 2 at least{f', say {named(learners, 3)}' if learners else ''}",
                 "or agree who stands in; holidays (PPL-14: 20 to 30 days a year) come on top"),
            "PPL-13, SEW-38", len(places),
        )  # fmt: skip


def _days_away(paper: Paper, able: list[Crew]) -> str:
    planned = {crew.id: _planned_days(paper, crew) for crew in able}
    sick = sum(planned[crew.id] * absent_share(crew.absence) for crew in able)
    if any(crew.absence is None for crew in able):
        usual = sum(planned.values()) * _USUAL_ABSENCE
        return f"the file has no sickness of theirs; the usual 4 % of planned days (PPL-12) are {usual:.0f} a year"
    return f"away {sick:.0f} days a year by the file's sickness, of {sum(planned.values()):.0f} planned"


def _planned_days(paper: Paper, crew: Crew) -> float:
    calendar = paper.hours.calendars[crew.shift]
    days = {day for day in calendar.start_days if 0 <= day < paper.weeks * 7}
    return len(days) / paper.weeks * _WEEKS_A_YEAR


def _repairs(paper: Paper) -> Iterator[Finding]:
    scenario = paper.scenario
    machines = [(each.id, each.breakdowns, PRINTING) for each in scenario.printers if paper.prints]
    machines += [(each.id, each.stops, each.needed_skill) for each in scenario.work_centres
                 if each.id in paper.skills_of_places]  # fmt: skip
    centres = scenario.by_id("work_centres")
    same: dict[tuple[str, float, float], list[str]] = {}
    for name, rule, skill in machines:
        if rule is None or rule.repair_at is None:
            continue
        mends = centres[rule.repair_at].needed_skill
        runs = paper.with_skill(skill) > 0
        alone = paper.hours_a_week(runs & (paper.with_skill(mends) == 0))
        if alone >= LEAST_HOURS_A_WEEK:
            same.setdefault((mends, alone, paper.hours_a_week(runs)), []).append(name)
    for (mends, alone, runs_h), names in same.items():
        yield Finding(
            "hours_without_repair", named(names),
            f"nobody with {mends} in {alone:.0f} of the {runs_h:.0f} h a week they run: what fails then stands until "
            "somebody comes",
            ways(f"a second person with {mends} in those hours, trained as the machine's maker asks",
                 "or a service on call"),
            "OPR-04, SHF-03", alone / runs_h,
        )  # fmt: skip


def _print_room(paper: Paper) -> Iterator[Finding]:
    """Printers stand though the house is not empty."""
    attended = [each.id for each in paper.scenario.printers if not each.unattended_running]
    if not paper.prints or not attended:
        return
    nobody = (paper.with_skill(PRINTING) == 0) & (paper.heads(lambda _: True) > 0)
    hours = paper.hours_a_week(nobody)
    if hours >= LEAST_HOURS_A_WEEK:
        learners = paper.could_learn([PRINTING], nobody)
        yield Finding(
            "printers_without_operator", named(attended),
            f"nobody with {PRINTING} in {hours:.0f} h a week in which others work{_whole_days(paper, nobody)}",
            ways(f"another shift for an operator{f', or teach {PRINTING} to {named(learners, 3)}' if learners else ''}",
                 "or leave it so: hours without printing may be meant"),
            "OPR-04, SHF-07", hours,
        )  # fmt: skip


def _after_one_another(paper: Paper) -> Iterator[Finding]:
    """Places whose neighbour before them on some route works in hours in which nobody of theirs is there."""
    worst: dict[str, tuple[float, str]] = {}
    for product in paper.scenario.products:
        for before, place in _neighbours(paper, product):
            hours = paper.hours_a_week(_lying(paper, before, place))
            if hours >= LEAST_HOURS_A_WEEK and hours > worst.get(place, (0.0, ""))[0]:
                worst[place] = hours, before
    same: dict[tuple[float, str], list[str]] = {}
    for place, case in worst.items():
        same.setdefault(case, []).append(place)
    for (hours, before), places in same.items():
        lying = _lying(paper, before, places[0])
        learners = paper.could_learn([paper.skills_of_places[place] for place in places], lying)
        yield Finding(
            "hours_without_skill", named(places),
            f"nobody there in {hours:.0f} h a week in which {before} works: what it makes then lies until they come"
            f"{_whole_days(paper, lying)}",
            "it may be meant; if the heap is too large, a later or second shift for some of them"
            f"{f', or teach it to {named(learners, 3)}, who are there' if learners else ''}",
            "SHF-02", hours,
        )  # fmt: skip


def _neighbours(paper: Paper, product: Product) -> Iterator[tuple[str, str]]:
    """Pairs of places that follow one another on a product's route, printers and calenders included."""
    places = [op.at for op in product.route if isinstance(op, At)]
    for printer in printers_for(paper.scenario, product)[:1] if paper.prints else ():
        fixing = [printer.fixation.calender] if isinstance(printer.fixation, OfflineFixation) else []
        places = [printer.id, *fixing, *places]
    yield from pairwise(places)


def _lying(paper: Paper, before: str, place: str) -> Bools:
    skills = paper.skills_of_places
    lying: Bools = (paper.with_skill(skills[before]) > 0) & (paper.with_skill(skills[place]) == 0)
    return lying


def _whole_days(paper: Paper, missing: Bools) -> str:
    """The days on which that holds whenever anybody works."""
    somebody = paper.by_day(paper.heads(lambda _: True) > 0)
    whole = somebody.any(axis=1) & (paper.by_day(missing) == somebody).all(axis=1)
    days = np.flatnonzero(whole)
    return f", all of {len(days) / paper.weeks:.2g} days a week" if len(days) / paper.weeks >= 0.2 else ""
