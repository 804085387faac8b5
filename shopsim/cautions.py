"""Safety cautions that a shop on paper calls for (handbook section 12): where each applies, and who decides.

A caution points out; it never says that something is safe, allowed or enough.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from shopsim.craft.hazards import EQUATION_KG, GUIDELINE_MEN_KG, GUIDELINE_WOMEN_KG, burns_within_s
from shopsim.craft.rolls import needs_lift, roll_mass_kg
from shopsim.shop.lone_work import HOT_METHODS, lone_hours_a_week
from shopsim.shop.printers import InlineFixation
from shopsim.shop.rest_times import shift_findings
from shopsim.shop.review.finding import counted
from shopsim.shop.rough_cut import Load, RoughCut
from shopsim.shop.scenario import Scenario

STANDING_TEXT = (
    "Planning aid only. The maker's manual, local codes, your risk assessment and competent/licensed persons decide. "
    "This tool does not make any practice safe or legal."
)
NOBODY_THERE = "SAF-08"
"""The row on hot machines with nobody there, which is never folded away."""
_LEAST_ALLOWANCE_PCT = 12
_HIGH_LOAD = 0.9


@dataclass(frozen=True, slots=True)
class Caution:
    """One row of the handbook that applies: the hazard, where in this shop, and what to look at before deciding."""

    row: str
    hazard: str
    where: str
    advice: str


class Plan(NamedTuple):
    """What a caution looks at."""

    scenario: Scenario
    cut: RoughCut


def cautions(scenario: Scenario, cut: RoughCut) -> list[Caution]:
    """All cautions that apply to a scenario, in the order of the handbook."""
    found = []
    for row, hazard, applies, advice in _ROWS:
        where = "; ".join(applies(Plan(scenario, cut)))
        if where:
            found.append(Caution(row, hazard, where, advice))
    return found


def caution_on(row: str, where: str) -> Caution:
    """The caution of a row of the handbook, in a place that only a comparison finds. Raises KeyError without it."""
    hazard, advice = {each: (hazard, advice) for each, hazard, _, advice in _ROWS}[row]
    return Caution(row, hazard, where, advice)


def _hot_surfaces(plan: Plan) -> Iterator[str]:
    plates = [printer.id for printer in plan.scenario.printers if isinstance(printer.fixation, InlineFixation)]
    if plates and plan.scenario.fabrics:
        hottest_c = max(fabric.plate_c for fabric in plan.scenario.fabrics)
        yield f"heat plate of {_and(plates)}, up to {hottest_c:g} °C{_burning(hottest_c)}"
    yield from (f"drum of {drum.id}" for drum in plan.scenario.calenders)
    yield from (f"hot knife at {centre.id}" for centre in plan.scenario.work_centres if centre.method == "hot_knife")


def _burning(surface_c: float) -> str:
    seconds = burns_within_s(surface_c)
    return "" if seconds is None else f", bare metal burns within {seconds:g} s of touch"


def _fixing(plan: Plan) -> Iterator[str]:
    yield from _loads_of(plan.cut, ("printer", "calender"), "printing and fixing about {:.0f} h a week")


def _loads_of(cut: RoughCut, kinds: tuple[str, ...], text: str) -> Iterator[str]:
    loads = [load for load in cut.loads if load.kind in kinds]
    if loads:
        hours = sum(sum(load.asked_h) for load in loads) / len(cut.mondays)
        yield f"{_and([load.id for load in loads])}: {text.format(hours)}"


def _heavy_rolls(plan: Plan) -> Iterator[str]:
    for fabric in plan.scenario.fabrics:
        mass = roll_mass_kg(fabric.mass_g_per_m2, fabric.roll_width_m, fabric.roll_length_m)
        if needs_lift(mass):
            yield f"{fabric.id} {mass:.0f} kg"
        elif mass > GUIDELINE_WOMEN_KG:
            yield f"{fabric.id} {mass:.0f} kg, above {GUIDELINE_WOMEN_KG:g} kg"
    alone = [printer.id for printer in plan.scenario.printers if printer.roll_change.people == 1]
    if alone and any(not printer.roll_change.needs_lift for printer in plan.scenario.printers if printer.id in alone):
        yield f"roll change by one person without a lift at {_and(alone)}"


def _rollers(plan: Plan) -> Iterator[str]:
    machines = [each.id for each in plan.scenario.printers] + [each.id for each in plan.scenario.calenders]
    if machines:
        yield f"roll change, crease clearing and jogging at {_and(machines)}"


def _needles(plan: Plan) -> Iterator[str]:
    for centre in plan.scenario.work_centres:
        if centre.kind == "sewing":
            levels = [(crew, crew.skills.get(centre.needed_skill)) for crew in plan.scenario.crews if crew.count]
            new = [crew.id for crew, level in levels if level == 1 or (level and crew.learning is not None)]
            yield centre.id + (f", with trainees or beginners ({_and(new)})" if new else "")


def _laser(plan: Plan) -> Iterator[str]:
    yield from (centre.id for centre in plan.scenario.work_centres if centre.method == "laser")


def _cutting_fume(plan: Plan) -> Iterator[str]:
    yield from (f"{c.id} ({c.method.replace('_', ' ')})" for c in plan.scenario.work_centres if c.method in HOT_METHODS)


def _unattended(plan: Plan) -> Iterator[str]:
    for printer in plan.scenario.printers:
        if printer.unattended_running:
            yield f"{printer.id} may run with nobody there"
        if printer.hot_overnight:
            yield f"{printer.id} stays hot when nobody is there"


def _noise(plan: Plan) -> Iterator[str]:
    sewing = sum(centre.seats for centre in plan.scenario.work_centres if centre.kind == "sewing")
    printers, drums = len(plan.scenario.printers), sum(drum.count for drum in plan.scenario.calenders)
    if sewing > 1 or printers + drums > 1:
        there = ((sewing, "sewing seat"), (printers, "printer"), (drums, "calender"))
        yield _and([counted(count, one) for count, one in there if count])


def _repetitive(plan: Plan) -> Iterator[str]:
    loads: dict[str, Load] = {load.id: load for load in plan.cut.loads}
    for centre in plan.scenario.work_centres:
        if centre.kind != "sewing":
            continue
        if centre.allowance_pct < _LEAST_ALLOWANCE_PCT:
            yield f"{centre.id}: allowance for rest {centre.allowance_pct:g} %, below {_LEAST_ALLOWANCE_PCT} %"
        if centre.id in loads and loads[centre.id].share > _HIGH_LOAD:
            yield f"{centre.id}: load {loads[centre.id].share * 100:.0f} % on average"


def _alone(plan: Plan) -> Iterator[str]:
    hours = lone_hours_a_week(plan.scenario)
    if hours >= 0.5:
        yield f"only one person planned for about {hours:.1f} h a week"
    weekend = [s.id for s in plan.scenario.shifts for w in s.weeks for b in w.blocks if {"sat", "sun"} & set(b.days)]
    if weekend:
        yield f"weekend work in shift {_and(list(dict.fromkeys(weekend)))}"


def _shifts(plan: Plan) -> Iterator[str]:
    yield from shift_findings(plan.scenario)


def _solvents(plan: Plan) -> Iterator[str]:
    wet = [printer.id for printer in plan.scenario.printers if printer.nozzle_check and printer.nozzle_check.ladder]
    if wet:
        yield f"cleaning at {_and(wet)}"


def _and(names: list[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"


_ROWS: tuple[tuple[str, str, Callable[[Plan], Iterator[str]], str], ...] = (
    ("SAF-01", "burns", _hot_surfaces, "hot surface: threading only as the maker's manual says"),
    ("SAF-02", "fumes and vapour", _fixing, "is the exhaust sized for this load? Local codes and tests decide"),
    ("SAF-03", "heavy rolls", _heavy_rolls,
     (f"use lift or trolley, see your risk assessment; guidelines name about {GUIDELINE_MEN_KG:g} kg for men, "
      f"{GUIDELINE_WOMEN_KG:g} kg for women and {EQUATION_KG:g} kg at best, which are no limits")),
    ("SAF-04", "rollers, nips, carriage", _rollers, "guards and hold-to-run as the maker's manual says"),
    ("SAF-05", "needles", _needles, "guards on; machine off for threading, as the maker's manual says"),
    ("SAF-06", "laser", _laser, "only enclosed and interlocked, never unattended; local codes decide"),
    ("SAF-07", "fume from hot cutting", _cutting_fume, "extract at the source; never unknown coatings or vinyl"),
    (NOBODY_THERE, "fire, hot machine with nobody there", _unattended,
     "maker's manual, fire risk assessment, insurer and local code decide"),
    ("SAF-09", "nights, long shifts, short rests", _shifts,
     "local law and agreements rule; ask a competent person"),
    ("SAF-10", "noise", _noise, "measure it before adding machines; local limits rule"),
    ("SAF-11", "repetitive sewing", _repetitive, "rotate tasks, rest, adjustable seats; see your risk assessment"),
    ("SAF-12", "lone working, exits", _alone, "local fire code and lone-work rules decide"),
    ("SAF-13", "cleaners and ink waste", _solvents, "safety data sheets; licensed disposal"),
)  # fmt: skip
