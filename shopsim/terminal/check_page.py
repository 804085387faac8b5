"""What follows from a shop on paper, on a terminal: real printing speeds, rolls, load against capacity, cautions."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import astuple

from rich.console import Console

from shopsim.cautions import STANDING_TEXT, Caution
from shopsim.craft.rolls import needs_lift, roll_mass_kg
from shopsim.sentences import Answer, weeks_text
from shopsim.shop.print_speeds import NARROW_M, PrintSpeed
from shopsim.shop.rest_words import rules_words
from shopsim.shop.review.finding import Finding
from shopsim.shop.rough_cut import FULL, TIGHT, USUALLY_PRINTING, Load, RoughCut
from shopsim.shop.scenario import Scenario
from shopsim.shop.shift_breaches import crews_not_judged, rest_findings
from shopsim.shop.worn_parts import WornPart, worn_parts
from shopsim.terminal.rest_rows import HOW_JUDGED, rest_rows
from shopsim.terminal.review_list import print_review
from shopsim.terminal.tables import print_table, print_text

_BLOCKS = "▁▂▃▄▅▆▇█"
_NAMES = {"people": "shared people", "print_room": "watching printers"}
HOPELESS_WORD, FULL_WORD, TIGHT_WORD, LONG_WORD = "TOO MUCH", "OVERFULL", "tight", "long"


def print_check(
    console: Console,
    scenario: Scenario,
    answer: Answer,
    findings: Sequence[Finding],
    speeds: Sequence[PrintSpeed],
    cut: RoughCut,
    found: Sequence[Caution],
) -> None:
    """Print the whole page to a console."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    print_review(console, findings)
    if cut.loads:
        _print_loads(console, cut)
        _print_weeks(console, cut)
    if speeds:
        _print_speeds(console, speeds)
    if scenario.fabrics:
        _print_rolls(console, scenario)
    _print_worn_parts(console, worn_parts(scenario))
    _print_rest_times(console, scenario)
    _print_cautions(console, found)


def _print_rest_times(console: Console, scenario: Scenario) -> None:
    rows, not_judged = list(rest_rows(rest_findings(scenario))), crews_not_judged(scenario)
    rules = rules_words(scenario.policies.working_time)
    if rows:
        print_table(
            console, "Rest times, over the whole rotation of each shift",
            ("who", "what", "kind", "dates", "found", "asked"), rows,
            f"Rule: {rules}. Advice: a regulator's guidance for shift work, a stricter reading of a rule, and what "
            f"overtime would break. {HOW_JUDGED} Derogations exist; local law and agreements rule: ask a competent "
            "person.",
            texts=(2,), wraps=(0, 1, 3),
        )  # fmt: skip
    elif scenario.policies.working_time is not None:
        console.print()
        print_text(console, f"No rest-time finding. Judged by {rules}. Local law and agreements rule.")
    if not_judged:
        console.print()
        print_text(console, f"Rest times not judged, as their shift is round the clock: {', '.join(not_judged)}.")


def _print_speeds(console: Console, speeds: Sequence[PrintSpeed]) -> None:
    like: dict[tuple[object, ...], list[str]] = {}
    for speed in speeds:
        like.setdefault(astuple(speed)[1:], []).append(speed.printer)
    by_printers: dict[str, list[tuple[object, ...]]] = {}
    for values, printers in like.items():
        by_printers.setdefault(", ".join(printers), []).append(values)
    rows: list[tuple[str, ...]] = []
    for names, modes in by_printers.items():
        rows.append((names, *[""] * 6))
        rows += [(f"  {fabric}, {mode}", *map(_number, numbers), str(limit))
                 for fabric, mode, _, *numbers, limit in modes]  # fmt: skip
    print_table(
        console, "Printing speeds of the modes in use, m² an hour",
        ("", "rated", "real", "narrow", "plate", "as m/h", "limit"), rows,
        "Rated: by brochure or formula, widest image. Real: kept up while printing; changes, checks and waits come on "
        f"top. Narrow: an image {NARROW_M:g} m wide loses area, so pieces are laid side by side. Plate: the fastest "
        "that still fixes the colour, also in metres of web an hour. Limit: what sets the real speed.",
        texts=(6,),
    )  # fmt: skip


def _number(value: object) -> str:
    return f"{value:.0f}" if isinstance(value, float) else "-"


def _print_rolls(console: Console, scenario: Scenario) -> None:
    rows = []
    for fabric in scenario.fabrics:
        mass = roll_mass_kg(fabric.mass_g_per_m2, fabric.roll_width_m, fabric.roll_length_m)
        size = f"{fabric.roll_width_m:g} x {fabric.roll_length_m:g}"
        rows.append((fabric.id, "lift or trolley (SAF-03)" if needs_lift(mass) else "", size, f"{mass:.0f}"))
    columns = ("", "", "width x length, m", "kg with core")
    print_table(console, "Rolls", columns, rows, texts=(1,))


def _print_worn_parts(console: Console, parts: Sequence[WornPart]) -> None:
    rows = [
        (part.machine, _age(part.renewed_after_h), _age(part.best_after_h), f"{part.standing_h:.3g}",
         f"{part.standing_at_best_h:.3g}", f"{part.standing_never_h:.3g}")
        for part in parts
    ]  # fmt: skip
    if rows:
        print_table(
            console, "Worn parts, renewed after so many running hours",
            ("", "now", "best", "stands", "at best", "never"), rows,
            "Stands: hours a machine stands for repairs and renewals in 1000 running hours, now, at the best age, and "
            "if nothing is renewed before it fails; waits for the fitter left out. Lives after Weibull's law, as in "
            "the file (Barlow & Hunter, 1960). Where a failure costs more than hours, earlier is better.",
        )  # fmt: skip


def _age(hours: float | None) -> str:
    return "never" if hours is None else f"{hours:.0f} h"


def _print_loads(console: Console, cut: RoughCut) -> None:
    weeks = len(cut.mondays)
    rows = [
        (_name(load), load.limit, f"{sum(load.asked_h) / weeks:.1f}", f"{sum(load.there_h) / weeks:.1f}",
         share_text(load.share), share_text(max(load.by_week)), f"{cut.mondays[load.peak]:%d %b}", mark(load))
        for load in cut.loads
    ]  # fmt: skip
    together = "".join(
        f" Shared people: those who work at {' and '.join(load.places)}, taken together."
        for load in cut.loads
        if load.kind == "people"
    )
    print_table(
        console, f"Load against capacity, hours a week, {weeks_text(weeks)} from {cut.mondays[0].isoformat()}",
        ("", "short of", "asked", "there", "load %", "worst %", "week of", ""), rows,
        "Asked: hours by the standard, remakes included; without set-up of machines, roll changes, checks and waits. "
        "There: seats or people, whichever is less, after breaks, absence and efficiency; for printers attended hours "
        "less warm-up and care; for machines less what breakdowns take in the long run." + together
        + f" {LONG_WORD}: over {USUALLY_PRINTING * 100:.0f} %, more than a printer in mixed work usually prints (our "
        f"collection of usual values, row MNT-08). {TIGHT_WORD}: over 85 % in the worst week. {FULL_WORD}: over 100 % "
        f"in it. {HOPELESS_WORD}: over 100 % on average, can never keep up.",
        texts=(1, 7),
    )  # fmt: skip


def _name(load: Load) -> str:
    return _NAMES.get(load.kind, load.id)


def share_text(share: float) -> str:
    """A share of capacity in per cent; work with nobody there has none."""
    return f"{share * 100:.0f}" if math.isfinite(share) else "nobody"


def mark(load: Load) -> str:
    """A load in one word, so that nothing rests on colour."""
    worst = max(load.by_week)
    if load.share > FULL:
        return HOPELESS_WORD
    if worst > FULL:
        return FULL_WORD
    if worst > TIGHT:
        return TIGHT_WORD
    return LONG_WORD if load.kind == "printer" and worst > USUALLY_PRINTING else ""


def _print_weeks(console: Console, cut: RoughCut) -> None:
    room = max(20, console.width - 30)
    rows = [(_name(load), line) for load in cut.loads for line in _lines(strip(load.by_week), room)]
    print_table(
        console, "Week by week", ("", "from first to last week"), rows,
        f"{_BLOCKS[0]} empty to {_BLOCKS[-1]} full, ! over 100 %, . nothing asked.", texts=(1,),
    )  # fmt: skip


def _lines(text: str, room: int) -> list[str]:
    return [text[i : i + room] for i in range(0, len(text), room)]


def strip(shares: Sequence[float]) -> str:
    """One sign a week."""
    return "".join(
        "." if share == 0 else "!" if share > FULL else _BLOCKS[min(7, int(share * len(_BLOCKS)))] for share in shares
    )


def _print_cautions(console: Console, found: Sequence[Caution]) -> None:
    rows = [(f"{each.row} {each.hazard}", each.where, each.advice) for each in found]
    print_table(console, "Cautions", ("hazard", "here", "before deciding"), rows, STANDING_TEXT, wraps=(0, 1, 2))
