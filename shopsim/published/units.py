"""Speed, dwell, shrinkage, rolls and burns from definitions and physics."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from shopsim.craft.fixation import calender_speed_m_per_h, fixation_cap_m_per_h
from shopsim.craft.hazards import burns_within_s
from shopsim.craft.layout import print_size
from shopsim.craft.printing import feed_from_rate
from shopsim.craft.rolls import length_on_core_m, needs_lift, roll_mass_kg
from shopsim.published.case import Case, Finding
from shopsim.shop.materials import Fabric
from shopsim.shop.printers import Printer
from shopsim.shop.route_times import feed_m_per_min, speed_cap_m_per_min, speed_m_per_min

DIVIDED = "1e-9 for division"


def _facts(_full: bool) -> Iterator[Finding]:
    press = Printer.model_validate({
        "id": "press", "print_width_m": 3.2, "fixation": {"kind": "inline", "plate_m": 1.2},
        "modes": [{"id": "rated", "area_rate_m2_per_h": 90, "rated_width_m": 3.2, "achieved_share": 1.0}],
    })  # fmt: skip
    cloth = Fabric.model_validate({"id": "cloth", "family": "front_lit", "roll_width_m": 3.2, "dwell_s": 45})
    # As `check` and the floor take a printer's speed.
    feed, cap = 60 * feed_m_per_min(press, press.modes[0], 3.2), 60 * speed_cap_m_per_min(press, cloth)
    yield Finding("90 m2/h on 3.2 m: feed, m/h", 28.125, feed, 1e-12)
    yield Finding("the same, mm/s", 7.8125, feed * 1000 / 3600, 1e-9)
    yield Finding("plate of 1.2 m, 45 s: highest speed, m/h", 96, cap, 1e-12)
    line = 60 * speed_m_per_min(press, press.modes[0], cloth, 3.2)
    yield Finding("speed of both together, m/h", 28.125, line, 1e-12)
    yield Finding("dwell of 153.6 s: highest speed, m/h", 28.125, fixation_cap_m_per_h(1.2, 153.6), 1e-9)
    narrow = feed_from_rate(90, 3.2, 0.9375, fixed_share_of_stroke=0)
    yield Finding("90 m2/h on 0.9375 m, below which fixation limits: feed, m/h", 96, narrow, 1e-9)
    yield Finding("print length for 4 m that shrink by 2.5 %, m", 4.10256410256, print_size(4, 4, 0, 0.025, 0).along_m,
                  1e-9)  # fmt: skip
    length = length_on_core_m(0.320, 0.00038, 0.090)
    yield Finding("roll of 320 mm on a core of 90 mm, cloth of 0.38 mm: length, m", 194.902754759, length, 1e-6)
    yield Finding("the same of 210 g/m2, 3.2 m wide: mass without core, kg", 130.974651198,
                  roll_mass_kg(210, 3.2, length, core_kg=0), 1e-6)  # fmt: skip


def _turns(_full: bool) -> Iterator[Finding]:
    for turns, thickness, core in ((200, 0.0005, 0.1), (350, 0.00038, 0.0762), (60, 0.0008, 0.15)):
        # The k-th turn lies at the mean diameter core + (2 k - 1) thicknesses.
        counted = sum(pi * (core + (2 * k - 1) * thickness) for k in range(1, turns + 1))
        name = f"{turns} turns of {thickness * 1000:g} mm on {core * 1000:g} mm"
        outer = core + 2 * turns * thickness
        yield Finding(f"{name}: length, m", counted, length_on_core_m(outer, thickness, core), 1e-9)
    yield Finding("200 turns of 0.5 mm on 100 mm: 40 pi m", 125.663706144, length_on_core_m(0.3, 0.0005, 0.1), 1e-9)


def _dwell(_full: bool) -> Iterator[Finding]:
    cap = fixation_cap_m_per_h(0.8, 40)
    yield Finding("plate of 0.8 m, 40 s: highest speed, m/h", 72, cap, 1e-9)
    # A drum 1/pi m across has a girth of 1 m.
    yield Finding(
        "drum of 1 m girth, three quarters wrapped, 30 s: m/h", 90, calender_speed_m_per_h(1 / pi, 0.75, 30), 1e-9
    )
    for change_pct in (-0.5, -1.0, -2.5, -4.0):
        # 12 mm of edge on each side.
        printed = print_size(2.0, 5.0, -change_pct / 100, -change_pct / 100, 0.012)
        for side, before, after in (("width", printed.across_m, 2.024), ("length", printed.along_m, 5.024)):
            found = (after - before) / before * 100
            yield Finding(f"2 x 5 m printed for {change_pct:g} %: change of {side}, %", change_pct, found, 1e-9)


def _lift(_full: bool) -> Iterator[Finding]:
    wide, narrow = roll_mass_kg(210, 3.2, 100, core_kg=0), roll_mass_kg(110, 1.6, 30, core_kg=0)
    yield Finding("100 m of 210 g/m2, 3.2 m wide, kg", 67.2, wide, 1e-9)
    yield Finding("30 m of 110 g/m2, 1.6 m wide, kg", 5.28, narrow, 1e-9)
    for mass, expected in ((25.0, "no"), (25.1, "yes"), (wide, "yes"), (narrow, "no")):
        yield Finding(f"{mass:g} kg: lift called for", expected, "yes" if needs_lift(mass) else "no")


def _burns(_full: bool) -> Iterator[Finding]:
    # Bare metal: the shortest touch at the standard's heat, and just below it.
    for contact_s, threshold_c, below in ((60, 51, "600 s"), (600, 48, "28800 s"), (28_800, 43, "none")):
        yield Finding(f"{threshold_c} °C: shortest touch told of", f"{contact_s} s", _shortest(threshold_c))
        yield Finding(f"{threshold_c - 0.1:g} °C: shortest touch told of", below, _shortest(threshold_c - 0.1))
    for surface_c, least in ((170, "1 s"), (65, "1 s"), (64.9, "60 s")):
        yield Finding(f"{surface_c:g} °C: shortest touch told of", least, _shortest(surface_c))


def _shortest(surface_c: float) -> str:
    found = burns_within_s(surface_c)
    return "none" if found is None else f"{found:g} s"


CASES = (
    Case(
        "J-01", "Area rate, speed, dwell, shrinkage, roll length and mass",
        "SI definitions; dimensional change as in ISO 5077; a wound roll has the cross-section of its cloth; numbers "
        "derived, recomputed",
        "1e-9 for division; 1e-6 for rolls", _facts,
        left_out="4.1 m, the wrong way of adding 2.5 % to 4 m, and ounces a square yard, a unit that files do not know",
        path="library",
    ),
    Case(
        "X-56", "A roll counted turn by turn",
        "derived: geometry of a spiral taken as rings",
        DIVIDED, _turns, path="library",
    ),
    Case(
        "X-57", "Dwell is length over speed; shrinkage as ISO 5077 measures it",
        "derived from the definitions; ISO 5077: (final - original) / original",
        DIVIDED, _dwell,
    ),
    Case(
        "X-60", "Burns: how hot a surface may be touched for how long",
        "ISO 13732-1, bare metal, 1 s 65-70 °C, 1 min 51, 10 min 48, 8 h 43 (title and scope confirmed, values from "
        "memory)",
        "exact; of a range the lower end", _burns,
        left_out="scalds by hot water, which are another matter",
    ),
    Case(
        "X-59", "Rolls that call for a lift",
        "ISO 11228-1: reference mass of 25 kg for ideal lifting (from memory); masses derived",
        DIVIDED, _lift,
    ),
)  # fmt: skip
