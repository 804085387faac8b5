"""`shopsim check`: is the file sound, and what follows from it on paper."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from shopsim import __version__
from shopsim.cautions import STANDING_TEXT, Caution, cautions
from shopsim.craft.rolls import needs_lift, roll_mass_kg
from shopsim.doors.writing import TO_STDOUT, console, write_json
from shopsim.sentences import Answer, sound
from shopsim.shop.print_speeds import PrintSpeed, print_speeds
from shopsim.shop.rest_words import rules_words
from shopsim.shop.review.finding import Finding, finding_values
from shopsim.shop.review.shop_review import shop_review
from shopsim.shop.rough_cut import Load
from shopsim.shop.scenario_file import scenario_schema
from shopsim.shop.shift_breaches import crews_not_judged, rest_findings
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import what_if_schema
from shopsim.shop.worn_parts import worn_parts
from shopsim.terminal.check_page import print_check


def run(arguments: argparse.Namespace) -> None:
    """Show what follows from a scenario. Raises InputError with every fault of the files."""
    if arguments.schema:
        write_json(scenario_schema(), arguments.schema)
    if arguments.what_if_schema:
        write_json(what_if_schema(), arguments.what_if_schema)
    shop = load_shop(arguments.scenario)
    scenario = shop.scenario
    cut = shop.rough_cut
    findings = shop_review(shop)
    answer = sound(scenario, cut, findings)
    speeds, found = print_speeds(scenario), cautions(scenario, cut)
    if arguments.json:
        write_json(_as_json(arguments.scenario, shop, answer, findings, speeds, found), arguments.json)
    if arguments.json != TO_STDOUT:
        print_check(console(), scenario, answer, findings, speeds, cut, found)


def _as_json(
    name: str,
    shop: Shop,
    answer: Answer,
    findings: Sequence[Finding],
    speeds: Sequence[PrintSpeed],
    found: Sequence[Caution],
) -> dict[str, Any]:
    scenario, cut = shop.scenario, shop.rough_cut
    masses = {f.id: roll_mass_kg(f.mass_g_per_m2, f.roll_width_m, f.roll_length_m) for f in scenario.fabrics}
    return {
        "scenario": name,
        "scenario_hash": scenario.content_hash,
        "version": __version__,
        "sentence": answer.sentence,
        "review": [finding_values(each) for each in findings],
        "warnings": [asdict(warning) for warning in shop.warnings],
        "speeds_m2_per_h": [asdict(speed) for speed in speeds],
        "rolls": [{"fabric": name, "mass_kg": mass, "lift": needs_lift(mass)} for name, mass in masses.items()],
        "weeks": [monday.isoformat() for monday in cut.mondays],
        "loads": [_load_as_json(load) for load in cut.loads],
        "cannot_keep_up": [load.id for load in cut.hopeless],
        "worn_parts": [asdict(part) for part in worn_parts(scenario)],
        "rest_times": [{**asdict(f), "date": f.date.isoformat()} for f in rest_findings(scenario)],
        "rest_times_judged_by": rules_words(scenario.policies.working_time),
        "rest_times_not_judged": crews_not_judged(scenario),
        "cautions": [asdict(caution) for caution in found],
        "standing_text": STANDING_TEXT,
    }


def _load_as_json(load: Load) -> dict[str, Any]:
    return {**asdict(load), "share": load.share, "share_by_week": list(load.by_week), "peak_week": load.peak}
