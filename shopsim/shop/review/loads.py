"""Places, printers and people that cannot keep up, or hardly: hours missing, and what would bring them."""

from __future__ import annotations

import math
from collections.abc import Iterator

from shopsim.shop.policies import Overtime
from shopsim.shop.review.finding import Finding, counted, named, ways
from shopsim.shop.review.paper import Paper
from shopsim.shop.rough_cut import FULL, TIGHT, USUALLY_PRINTING, Load
from shopsim.shop.skills import PRINTING

# So little is found without anybody new.
_FEW_HOURS = 4.0
_WHAT = {"seats": "seat hours", "people": "hours of people", "machine": "machine hours"}


def look(paper: Paper) -> Iterator[Finding]:
    """Every place over its limit, on average or in the worst week."""
    for load in paper.cut.loads:
        if _told_with_others(paper, load):
            continue
        if load.share > FULL:
            yield _never(paper, load)
        elif max(load.by_week) > FULL:
            yield _overfull(paper, load)
        elif max(load.by_week) > _limit(load):
            yield _tight(paper, load)


def _told_with_others(paper: Paper, load: Load) -> bool:
    """Whether the people of a place are short with those of other places at least as much: one shortage, told once."""
    return load.limit == "people" and any(
        load.id in group.places and group.kind == "people" and max(group.by_week) >= max(load.by_week)
        and (group.share > FULL or load.share <= FULL)
        for group in paper.cut.loads
    )  # fmt: skip


def _limit(load: Load) -> float:
    return USUALLY_PRINTING if load.kind == "printer" else TIGHT


def _never(paper: Paper, load: Load) -> Finding:
    weeks = len(paper.cut.mondays)
    asked_h, there_h = sum(load.asked_h) / weeks, sum(load.there_h) / weeks
    missing_h = asked_h - there_h
    found = f"{asked_h:.1f} h a week asked, {there_h:.1f} h there: {missing_h:.1f} {_WHAT[load.limit]} a week missing"
    if weeks > 1:
        worst_h = max(a - t for a, t in zip(load.asked_h, load.there_h, strict=True))
        found += f", {worst_h:.1f} h in the worst week"
    return Finding(
        "never_keeps_up", _where(load), found, _do(paper, load, missing_h, asked_h, there_h), _basis(load), load.share
    )


def _overfull(paper: Paper, load: Load) -> Finding:
    asked_h, there_h = load.asked_h[load.peak], load.there_h[load.peak]
    missing_h = asked_h - there_h
    found = (
        f"{asked_h:.1f} h asked in the week of {paper.cut.mondays[load.peak]}, {there_h:.1f} h there: "
        f"{missing_h:.1f} {_WHAT[load.limit]} missing"
    )
    later = "or agree later dates for that much of its work"
    do = ways(_do(paper, load, missing_h, asked_h, there_h), later)
    return Finding("overfull_week", _where(load), found, do, _basis(load), max(load.by_week))


def _tight(paper: Paper, load: Load) -> Finding:
    asked_h, there_h, limit = load.asked_h[load.peak], load.there_h[load.peak], _limit(load)
    printing = "in mixed work printers really print 35 to 65 % of their time"
    why = printing if load.kind == "printer" else "from 85 % on lines grow fast"
    found = (
        f"{asked_h:.1f} of {there_h:.1f} {_WHAT[load.limit]} asked in the week of {paper.cut.mondays[load.peak]}, "
        f"{asked_h / there_h * 100:.0f} %; {why}"
    )
    do = ways(f"keep {asked_h - limit * there_h:.1f} h of the week's work away or find them",
              _do(paper, load, asked_h - limit * there_h, asked_h, there_h))  # fmt: skip
    return Finding("tight_week", _where(load), found, do, _basis(load), max(load.by_week))


def _where(load: Load) -> str:
    if load.kind == "print_room":
        return "people at the printers"
    return f"people shared by {named(load.places)}" if load.kind == "people" else load.id


def _basis(load: Load) -> str:
    return "MNT-08" if load.kind == "printer" else "section 6.3: plan people to 85 %"


def _do(paper: Paper, load: Load, missing_h: float, asked_h: float, there_h: float) -> str:
    if load.limit == "people":
        return ways(
            _more_people(paper, load, missing_h, asked_h, there_h), _overtime(paper, load), _bought_in(paper, load)
        )
    if load.limit == "seats":
        return ways(_more_seats(paper, load, missing_h, there_h), _overtime(paper, load), _bought_in(paper, load))
    return _more_machines(paper, load, missing_h, there_h)


def _more_people(paper: Paper, load: Load, missing_h: float, asked_h: float, there_h: float) -> str:
    skills = _skills(paper, load)
    skill_text = " or ".join(skills)
    heads = paper.people(skills)
    if not heads or there_h <= 0:
        return f"plan hours for {skill_text} in these weeks"
    each_h = there_h / heads
    least = math.ceil(missing_h / each_h - 1e-9)
    # Planned to 85 % they keep up: lines grow fast beyond.
    enough = max(least, math.ceil((asked_h / TIGHT - there_h) / each_h - 1e-9))
    people = counted(least, "more person", "more people")
    planned = f", {enough} to plan them all to {TIGHT * 100:.0f} %" if enough > least else ""
    text = f"{people} with {skill_text} ({each_h:.1f} h a week each as those there){planned}"
    if there_h < asked_h <= there_h + _FEW_HOURS:
        text = f"{missing_h:.1f} more hours of those with {skill_text}; or {text}"
    learners = paper.could_learn(skills)
    return ways(text, f"or teach it to {named(learners, 3)}, whose own work fills 60 % at most" if learners else "")


def _more_seats(paper: Paper, load: Load, missing_h: float, there_h: float) -> str:
    centre = paper.scenario.by_id("work_centres")[load.id]
    if there_h <= 0:
        return "plan people there in these weeks"
    each_h = there_h / centre.seats
    more = math.ceil(missing_h / each_h - 1e-9)
    text = f"{counted(more, 'more seat')} ({each_h:.1f} h a week each), or people at it in other hours than now"
    short_h = load.asked_h[load.peak] - paper.earned_h(centre.needed_skill, load.peak)
    return ways(text, f"{short_h:.1f} hours of people are missing as well" if short_h > 0 else "")


def _more_machines(paper: Paper, load: Load, missing_h: float, there_h: float) -> str:
    kind = "calender" if load.kind == "calender" else "printer"
    if there_h <= 0:
        return f"plan hours with somebody at the {kind} in these weeks"
    count = paper.scenario.by_id("calenders")[load.id].count if kind == "calender" else 1
    each_h = there_h / count
    more = math.ceil(missing_h / each_h - 1e-9)
    text = f"{counted(more, f'more {kind}')} ({each_h:.1f} h a week each), or {missing_h:.1f} more attended hours"
    if kind == "calender":
        return text
    fixed = _bound_to(paper, load.id)
    bought = paper.scenario.policies.bought_in_print
    return ways(
        text,
        f"let other printers print {named(fixed, 3)} too" if fixed and len(paper.scenario.printers) > 1 else "",
        "prints are bought in when the line is long, which is not counted here" if bought else
        "or buy prints in (policies.bought_in_print)",
    )  # fmt: skip


def _bound_to(paper: Paper, printer: str) -> list[str]:
    return [each.id for each in paper.scenario.products
            if each.print_step is not None and each.print_step.printers == (printer,)]  # fmt: skip


def _skills(paper: Paper, load: Load) -> list[str]:
    if load.kind == "print_room":
        return [PRINTING]
    places = [place for place in load.places or (load.id,) if place in paper.skills_of_places]
    shared = [PRINTING] if len(places) < len(load.places) else []
    return list(dict.fromkeys([*(paper.skills_of_places[place] for place in places), *shared]))


def _overtime(paper: Paper, load: Load) -> str:
    skills = set(_skills(paper, load))
    able = {crew.id: crew.count for crew in paper.hours.crews if skills & crew.skills.keys()}
    agreed = [rule for rule in paper.scenario.policies.overtime if able.keys() & set(rule.crews)]
    seats = None
    if load.limit == "seats":
        seats = paper.scenario.by_id("work_centres")[load.id].seats
    if not agreed:
        return "or overtime (policies.overtime has none for them)"
    most_h = sum(_overtime_h(rule, able, seats) for rule in agreed)
    return f"overtime agreed in the file may bring up to {most_h:.1f} h a week, not counted here"


def _overtime_h(rule: Overtime, able: dict[str, int], seats: int | None) -> float:
    people = sum(able.get(name, 0) for name in rule.crews)
    return rule.minutes / 60 * len(rule.days) * (people if seats is None else min(people, seats))


def _bought_in(paper: Paper, load: Load) -> str:
    places = load.places or (load.id,)
    bought = [rule.at for rule in paper.scenario.policies.bought_in if rule.at in places]
    if bought:
        return f"work at {named(bought)} is bought in when the line is long, which is not counted here"
    centres = paper.scenario.by_id("work_centres")
    if any(place in centres and centres[place].kind == "sewing" for place in places):
        return "or buy sewing in (policies.bought_in)"
    return ""
