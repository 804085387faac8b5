"""Printers: where the plate is the brake, what one machine alone can print, temperatures, hands, hours alone."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

import numpy as np

from shopsim.craft.fixation import stabilise_min
from shopsim.craft.rolls import needs_lift, roll_mass_kg
from shopsim.shop.materials import Fabric
from shopsim.shop.print_speeds import PrintSpeed, print_speeds
from shopsim.shop.printers import InlineFixation, Printer
from shopsim.shop.review.finding import COMMON_PRACTICE, Finding, counted, named, ways
from shopsim.shop.review.paper import Paper
from shopsim.shop.route_times import printers_for
from shopsim.shop.skills import PRINTING

_LEAST_CHANGE_MIN = 1.0
_LEAST_HOURS_A_WEEK = 1.0
_DAYS_A_WEEK = 5


def look(paper: Paper) -> Iterator[Finding]:
    """All printers of a shop that prints."""
    if paper.prints:
        yield from _plates(paper)
        yield from _one_printer(paper)
        yield from _set_points(paper)
        yield from _alone(paper)
        yield from _hot_alone(paper)
        yield from _roll_changes(paper)


def _plates(paper: Paper) -> Iterator[Finding]:
    same: dict[tuple[str, str, float, float], list[str]] = {}
    for speed in print_speeds(paper.scenario):
        kept = _mode_share(paper, speed)
        if speed.plate is not None and speed.plate < speed.rated * kept - 1e-9:
            key = (speed.fabric, speed.mode, speed.rated * kept, speed.plate)
            same.setdefault(key, []).append(speed.printer)
    for (fabric, mode, heads, plate), printers in same.items():
        yield Finding(
            "plate_caps_speed", named(printers),
            f"{mode} on {fabric}: the heads would keep up {heads:.0f} m² an hour, the plate fixes {plate:.0f}",
            f"more passes cost nothing down to {plate:.0f} m² an hour; faster only with a longer plate or a cloth of "
            "shorter dwell, as the makers of machine and ink allow",
            "FIX-05", heads / plate,
        )  # fmt: skip


def _mode_share(paper: Paper, speed: PrintSpeed) -> float:
    printer: Printer = paper.scenario.by_id("printers")[speed.printer]
    return next(mode.achieved_share for mode in printer.modes if mode.id == speed.mode)


def _one_printer(paper: Paper) -> Iterator[Finding]:
    scenario = paper.scenario
    only: dict[str, list[str]] = {}
    for product in scenario.products:
        able = printers_for(scenario, product)
        if len(able) == 1 and any(flow.product.id == product.id and flow.pieces.sum() for flow in paper.asked.flows):
            only.setdefault(able[0].id, []).append(product.id)
    for printer, products in only.items():
        alone = len(scenario.printers) == 1
        others = "" if alone else "let another printer have the mode and the cloth (modes, printers of the route)"
        bought = "" if scenario.policies.bought_in_print else "agree who prints for you on such days (bought_in_print)"
        what = "the shop's only printer" if alone else f"only {printer} may"
        yield Finding(
            "one_printer_only", named(products), f"{what}; {_down(scenario.by_id('printers')[printer])}",
            ways(others, bought, "keep wearing parts in the house"), "MNT-05, MNT-06", len(products),
        )  # fmt: skip


def _down(printer: Printer) -> str:
    rule = printer.breakdowns
    if rule is None:
        return "the file lets it never break down"
    mean_h = float(np.average([each.hours.mean for each in rule.repairs], weights=[r.share_pct for r in rule.repairs]))
    life, clock = (rule.every_running_h, "running ") if rule.every_calendar_h is None else (rule.every_calendar_h, "")
    assert life is not None  # cross_checks: one of them is given
    return f"a breakdown every {life.mean:.0f} {clock}hours on average, {mean_h:.1f} h to mend"


def _set_points(paper: Paper) -> Iterator[Finding]:
    """Fabrics of other temperatures on one printer, where the plate takes longer than the roll change it is done in."""
    for printer in paper.scenario.printers:
        if not isinstance(printer.fixation, InlineFixation):
            continue
        join = paper.scenario.policies.printing.roll_change == "join"
        hidden_min = (printer.roll_change.join_min if join else printer.roll_change.full_min).mean
        worst: tuple[float, str] = (0.0, "")
        for one, two in combinations(_fabrics(paper, printer), 2):
            wait_min = sum(
                max(0.0, stabilise_min(a, b, printer.fixation.up_min_per_10c, printer.fixation.down_min_per_10c)
                    - hidden_min)
                for a, b in ((one.plate_c, two.plate_c), (two.plate_c, one.plate_c))
            )  # fmt: skip
            worst = max(worst, (wait_min, f"{one.id} ({one.plate_c:g} °C) and {two.id} ({two.plate_c:g} °C)"))
        wait_min, pair = worst
        if wait_min >= _LEAST_CHANGE_MIN:
            yield Finding(
                "set_point_waits", printer.id,
                f"{pair}: there and back the plate takes {wait_min:.0f} min longer than the roll changes it is set "
                f"during; once a day that is {wait_min * _DAYS_A_WEEK / 60:.1f} h in five days",
                "stay longer on a fabric (stay_on_fabric_h, gang_min_web_m), one temperature to a printer, or a common "
                "set point if the makers allow",
                "FIX-14", wait_min,
            )  # fmt: skip


def _fabrics(paper: Paper, printer: Printer) -> list[Fabric]:
    used = {product.fabric for product in paper.scenario.products
            if any(each.id == printer.id for each in printers_for(paper.scenario, product))}  # fmt: skip
    return [fabric for fabric in paper.scenario.fabrics if fabric.id in used]


def _alone(paper: Paper) -> Iterator[Finding]:
    free = [each for each in paper.scenario.printers if each.unattended_running]
    hours = paper.hours_a_week(paper.with_skill(PRINTING) == 0)
    if not free or hours <= 0:
        return
    yield Finding(
        "runs_unattended", named([each.id for each in free]),
        f"{hours:.0f} h a week with nobody at the printers{_roll_lasts(paper, free)}",
        "the maker's manual, the fire risk assessment, the insurer and local code decide; count on stops: of 8 h runs "
        "20 to 70 % end early, and then the machine waits for the next shift",
        "SAF-08, OPR-05", hours,
    )  # fmt: skip


def _hot_alone(paper: Paper) -> Iterator[Finding]:
    plates = {each.id: each.fixation for each in paper.scenario.printers if each.hot_overnight}
    warm_up = {name: plate.warm_up_min for name, plate in plates.items() if isinstance(plate, InlineFixation)}
    hours = paper.hours_a_week(paper.with_skill(PRINTING) == 0)
    if warm_up and hours > 0:
        yield Finding(
            "hot_unattended", named(list(warm_up)),
            f"the plate stays hot for {hours:.0f} h a week with nobody at the printers",
            "the maker's manual, the fire risk assessment, the insurer and local code decide; switched off, the plate "
            f"takes {max(warm_up.values()):.0f} min to warm up",
            "SAF-08, FIX-13", hours,
        )  # fmt: skip


def _roll_lasts(paper: Paper, free: list[Printer]) -> str:
    """How soon the end of a roll stops a printer by itself."""
    lengths = {fabric.id: fabric.roll_length_m for fabric in paper.scenario.fabrics}
    names = {each.id for each in free}
    lasts = [lengths[s.fabric] / (s.real / s.width_m) for s in print_speeds(paper.scenario)
             if s.printer in names]  # fmt: skip
    return f"; a full roll lasts {min(lasts):.1f} h in the fastest mode" if lasts else ""


def _roll_changes(paper: Paper) -> Iterator[Finding]:
    pairs = [each.id for each in paper.scenario.printers if each.roll_change.people == 2]
    attended = paper.with_skill(PRINTING) > 0
    if pairs:
        hours = paper.hours_a_week(attended & (paper.pairs(PRINTING) < 2))
        if hours >= _LEAST_HOURS_A_WEEK:
            yield Finding(
                "two_for_roll_change", named(pairs),
                f"a roll change takes two; in {hours:.0f} of {paper.hours_a_week(attended):.0f} attended hours a week "
                "one person is there who could",
                "a second person with printing or helper in those hours, or a lift and one person (roll_change.people, "
                "needs_lift), as the maker's manual and your risk assessment allow",
                "CHG-05, SAF-03", hours,
            )  # fmt: skip
    by_hand = [each.id for each in paper.scenario.printers
               if each.roll_change.people == 1 and not each.roll_change.needs_lift]  # fmt: skip
    heavy = [(roll_mass_kg(f.mass_g_per_m2, f.roll_width_m, f.roll_length_m), f.id) for f in paper.scenario.fabrics]
    lifted = [(mass, name) for mass, name in heavy if needs_lift(mass)]
    if by_hand and lifted:
        mass, name = max(lifted)
        yield Finding(
            "roll_change_by_hand", named(by_hand),
            f"one person, no lift, and {counted(len(lifted), 'fabric')} above 25 kg a roll, {name} {mass:.0f} kg",
            "use a lift or trolley (roll_change.needs_lift, policies.lifts), or two people (roll_change.people), see "
            "your risk assessment",
            f"CHG-05, SAF-03, {COMMON_PRACTICE}", mass,
        )  # fmt: skip
