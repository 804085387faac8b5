"""Hours painted for some of the crews of a shift: a copy of the shift for them, the others keep it."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from shopsim.shop.changes import Change
from shopsim.shop.id_checks import first_free
from shopsim.shop.names import in_words
from shopsim.shop.people import Crew, Shift
from shopsim.shop.shift_grid import Grid, grid_changes, weeks_of

# An id has at most 40 letters; a number may follow.
_ID_LETTERS, _NAME_LETTERS = 36, 120


def own_shift_changes(shift: Shift, grid: Grid, crews: Sequence[Crew], taken: Collection[str]) -> list[Change]:
    """The changes that give some crews a copy of their shift with the painted hours; none where those are its own.

    `taken` are the ids of the whole file. Raises ValueError as `shift_grid.spans_of`.
    """
    if not grid_changes(f"shifts.{shift.id}", shift, grid):
        return []
    own_id = first_free("_".join([shift.id, *(crew.id for crew in crews)])[:_ID_LETTERS], taken)
    whose = ", ".join(crew.name or in_words(crew.id) for crew in crews)
    name = f"{shift.name or in_words(shift.id)}: {whose}"[:_NAME_LETTERS]
    copy = Change("copy", f"shifts.{shift.id}", {"id": own_id, "name": name, "weeks": weeks_of(grid)})
    return [copy, *(Change("set", f"crews.{crew.id}.shift", own_id) for crew in crews)]
