"""Defaults that nothing in a shop asks for: a report that lists them would hide those that count."""

from __future__ import annotations

from shopsim.shop.model_paths import Path
from shopsim.shop.scenario import Scenario

_JOINS = ("join_min", "join_waste_m", "seam_trouble_pct")
_OF_PRINTING = (("policies", "printing"), ("policies", "bought_in_print"))
_TWO_PEOPLE = ("two_person_labour_factor",)


def not_in_use(scenario: Scenario, path: Path, written: bool) -> bool:
    """Whether a value at a path changes nothing in this shop. What the file says is always taken to be in use."""
    if written:
        return False
    top, name = str(path[0]), str(path[-1])
    if top == "printers" and isinstance(path[1], int):
        printer = scenario.printers[path[1]]
        if "head" in path:
            return all(mode.passes is None for mode in printer.modes)
        return name in _JOINS and scenario.policies.printing.roll_change != "join"
    if top == "products" and name.startswith("bought_in_sewing"):
        return not scenario.policies.bought_in
    if top == "work_centres" and isinstance(path[1], int):
        centre = scenario.work_centres[path[1]]
        if name in _TWO_PEOPLE:
            return centre.second_person_above_m is None and centre.second_person_above_m2 is None
        if name == "eyelet_press":
            return not any(
                step.op == "eyelets" and step.at == centre.id for product in scenario.products for step in product.route
            )
    if not scenario.printers and (top == "supplies" or path[:2] in _OF_PRINTING):
        return True
    return top == "policies" and name == "lifts" and not any(p.roll_change.needs_lift for p in scenario.printers)
