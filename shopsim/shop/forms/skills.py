"""Who can do what: one row a crew, its home skill, and a level from 1 to 4 for each skill of the shop."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shopsim.shop.changes import Change
from shopsim.shop.forms.cells import is_empty
from shopsim.shop.forms.tables import Values

# A skill may bear any name of a file; none begins with a blank.
CREW, HOME = " crew", " home"


def skill_names(values: Values) -> list[str]:
    """Every skill somebody has or some place needs, in the order of the file."""
    names = [skill for crew in _crews(values) for skill in _skills(crew)]
    needed = [str(place.get("skill") or place.get("kind") or "general") for place in values.get("work_centres") or []]
    own = ["printing"] if values.get("printers") else []
    return list(dict.fromkeys([*names, *own, *needed, "helper"]))


def skill_rows(values: Values) -> list[dict[str, Any]]:
    """Rows of the crews: `CREW`, `HOME`, and the level of each skill, None without it."""
    names = skill_names(values)
    rows = []
    for crew in _crews(values):
        skills = _skills(crew)
        rows.append({CREW: str(crew.get("id")), HOME: next(iter(skills), None), **{n: skills.get(n) for n in names}})
    return rows


def skill_changes(values: Values, edited: Mapping[int, Mapping[str, Any]]) -> list[Change]:
    """The changes that make edited levels and homes those of the crews; the home skill stands first.

    A cleared level takes the skill away. A home the crew does not have yet comes at level 3.
    """
    changes = []
    crews = _crews(values)
    for row, cells in edited.items():
        before = _skills(crews[row])
        skills: dict[str, Any] = {**before}
        for name, level in cells.items():
            if name in (HOME, CREW):
                continue
            if is_empty(level):
                skills.pop(name, None)
            else:
                skills[name] = int(level) if float(level).is_integer() else level
        home = cells.get(HOME) or next(iter(before), None)
        if home is not None and (HOME in cells or home in skills):
            skills = {home: skills.get(home, 3), **skills}
        if list(skills.items()) != list(before.items()):
            changes.append(Change("set", f"crews[{row}].skills", skills))
    return changes


def _crews(values: Values) -> list[Any]:
    return [crew for crew in values.get("crews") or [] if isinstance(crew, dict)]


def _skills(crew: Values) -> dict[str, Any]:
    skills = crew.get("skills")
    return skills if isinstance(skills, dict) else {}
