"""Speed, dwell, shrinkage, rolls and heat from definitions and physics."""

from __future__ import annotations

from collections.abc import Iterator
from math import pi

from shopsim.craft.fixation import (
    calender_speed_m_per_h,
    dwell_s,
    fixation_cap_m_per_h,
    run_speed_m_per_h,
    tail_min,
    useful_heat_kw,
    width_at_cap_m,
)
from shopsim.craft.hazards import burn_threshold_c, burns_within_s
from shopsim.craft.layout import print_size
from shopsim.craft.printing import area_rate_m2_per_h, feed_from_rate, run_min
from shopsim.craft.rolls import length_on_core_m, needs_lift, roll_diameter_m, roll_mass_kg
from shopsim.published.case import Case, Finding

DIVIDED = "1e-9 for division"


def _facts(_full: bool) -> Iterator[Finding]:
    feed = feed_from_rate(90, 3.2, 3.2)
    cap = fixation_cap_m_per_h(1.2, 45)
    line = run_speed_m_per_h(feed, cap)
    yield Finding("90 m2/h on 3.2 m: feed, m/h", 28.125, feed, 1e-12)
    yield Finding("the same, mm/s", 7.8125, feed * 1000 / 3600, 1e-9)
    yield Finding("plate of 1.2 m, 45 s: highest speed, m/h", 96, cap, 1e-12)
    yield Finding("speed of both together, m/h", 28.125, line, 1e-12)
    yield Finding("dwell at that speed, s", 153.6, dwell_s(1.2, line), 1e-9)
    yield Finding("width below which fixation limits, m", 0.9375, width_at_cap_m(90, cap), 1e-9)
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
        yield Finding(f"{name}: outer diameter, m", outer, roll_diameter_m(counted, thickness, core), 1e-9)
    yield Finding("200 turns of 0.5 mm on 100 mm: 40 pi m", 125.663706144, length_on_core_m(0.3, 0.0005, 0.1), 1e-9)


def _dwell(_full: bool) -> Iterator[Finding]:
    cap = fixation_cap_m_per_h(0.8, 40)
    yield Finding("plate of 0.8 m, 40 s: highest speed, m/h", 72, cap, 1e-9)
    yield Finding("10 m at that speed, min", 8.3333333333, run_min(10, cap), 1e-9)
    yield Finding("tail of 3 m at that speed, min", 2.5, tail_min(3, cap), 1e-9)
    # A drum 1/pi m across has a girth of 1 m.
    yield Finding(
        "drum of 1 m girth, three quarters wrapped, 30 s: m/h", 90, calender_speed_m_per_h(1 / pi, 0.75, 30), 1e-9
    )
    square_feet = area_rate_m2_per_h(28.125, 3.2) / 0.3048**2
    yield Finding("28.125 m/h on 3.2 m, square feet an hour", 968.751937503875, square_feet, 1e-9)
    for change_pct in (-0.5, -1.0, -2.5, -4.0):
        # 12 mm of edge on each side.
        printed = print_size(2.0, 5.0, -change_pct / 100, -change_pct / 100, 0.012)
        for side, before, after in (("width", printed.across_m, 2.024), ("length", printed.along_m, 5.024)):
            found = (after - before) / before * 100
            yield Finding(f"2 x 5 m printed for {change_pct:g} %: change of {side}, %", change_pct, found, 1e-9)


def _steam(_full: bool) -> Iterator[Finding]:
    # One square metre a second with a litre of ink each: kW are kJ/kg of water.
    for plate_c, table in ((100, 2592), (150, 2693), (200, 2791)):
        found = useful_heat_kw(3600, 100, 1000, plate_c).ink_water_kw
        yield Finding(f"water of 20 °C to steam of {plate_c} °C, kJ/kg", table, found, 0.001 * table)


def _lift(_full: bool) -> Iterator[Finding]:
    wide, narrow = roll_mass_kg(210, 3.2, 100, core_kg=0), roll_mass_kg(110, 1.6, 30, core_kg=0)
    yield Finding("100 m of 210 g/m2, 3.2 m wide, kg", 67.2, wide, 1e-9)
    yield Finding("30 m of 110 g/m2, 1.6 m wide, kg", 5.28, narrow, 1e-9)
    for mass, expected in ((25.0, "no"), (25.1, "yes"), (wide, "yes"), (narrow, "no")):
        yield Finding(f"{mass:g} kg: lift called for", expected, "yes" if needs_lift(mass) else "no")


# A public table for hot water: °C, and seconds until it burns.
_SCALDS = ((68.0, 1), (60.0, 5), (55.0, 30), (49.0, 300))


def _burns(_full: bool) -> Iterator[Finding]:
    for surface_c, seconds in _SCALDS:
        yield Finding(f"touch of {seconds} s: burns from, °C", surface_c, burn_threshold_c(seconds), 3)
    for contact, seconds, threshold_c in (("1 min", 60, 51), ("10 min", 600, 48), ("8 h", 28_800, 43)):
        yield Finding(f"bare metal, touch of {contact}: burns from, °C", threshold_c, burn_threshold_c(seconds), 1e-9)
    for surface_c, least in ((170, "1 s"), (65, "1 s"), (64.9, "60 s"), (50, "600 s"), (43, "28800 s"), (42.9, "none")):
        found = burns_within_s(surface_c)
        yield Finding(f"{surface_c:g} °C: shortest touch told of", least, "none" if found is None else f"{found:g} s")


CASES = (
    Case(
        "J-01", "Area rate, speed, dwell, shrinkage, roll length and mass",
        "SI definitions; dimensional change as in ISO 5077; a wound roll has the cross-section of its cloth; numbers "
        "derived, recomputed",
        "1e-9 for division; 1e-6 for rolls", _facts,
        left_out="4.1 m, the wrong way of adding 2.5 % to 4 m, and ounces a square yard, a unit that files do not know",
    ),
    Case(
        "X-56", "A roll counted turn by turn",
        "derived: geometry of a spiral taken as rings",
        DIVIDED, _turns,
    ),
    Case(
        "X-57", "Dwell is length over speed; shrinkage as ISO 5077 measures it; square feet",
        "derived from the definitions; ISO 5077: (final - original) / original; 1 ft = 0.3048 m exactly (1959)",
        DIVIDED, _dwell,
    ),
    Case(
        "X-58", "Heat to dry ink: steam tables",
        "saturated and superheated steam at 1 bar: 2676, 2777 and 2875 kJ/kg less 84 of water at 20 °C (steam tables, "
        "from memory)",
        "0.1 %: rounded constants", _steam,
    ),
    Case(
        "X-60", "Burns: how hot a surface may be touched for how long",
        "ISO 13732-1, bare metal, 1 s 65-70 °C, 1 min 51, 10 min 48, 8 h 43 (title and scope confirmed, values from "
        "memory); a public table for hot water: 68 °C about 1 s, 60 °C under 5 s, 55 °C about 30 s, 49 °C over 5 min",
        "metal and water differ by up to 3 °C; the standard's figures exactly", _burns,
    ),
    Case(
        "X-59", "Rolls that call for a lift",
        "ISO 11228-1: reference mass of 25 kg for ideal lifting (from memory); masses derived",
        DIVIDED, _lift,
    ),
)  # fmt: skip
