"""What keeps the open shop from being sound, in the words of its pages, with the place in the file in small print."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

import streamlit as st

from app.say import plain
from shopsim.errors import InputError, Problem
from shopsim.shop.forms.cell_faults import CellFault, place_faults
from shopsim.shop.forms.editing import Editing
from shopsim.shop.forms.layout import HOURS, ORDERS, PARTS
from shopsim.shop.model_paths import path_text

_SHOP = ("Shop", "views/shop.py")
_PAGES = {HOURS.key: ("Shifts", "views/shifts.py"), ORDERS.key: ("Orders", "views/orders.py")}
_STEP = " \u203a "
_TITLES = {part.key: part.title for part in PARTS}


def fault_list(text: str, name: str, problems: Sequence[Problem], links: bool = True) -> None:
    """The faults of a scenario's text, worst place first as in the file; `links`: with a way to the pages to mend them
    on."""
    cells = _cells(text, name)
    placed = [(problem, cells.get((problem.path, problem.message))) for problem in problems]
    lines = "\n".join(f"- {_line(problem, cell)}" for problem, cell in placed)
    count = f"{len(placed)} things need mending" if len(placed) > 1 else "One thing needs mending"
    st.error(f"{count}:\n\n{lines}", icon=":material/error:")
    if links:
        pages = sorted({_SHOP if cell is None else _PAGES.get(cell.part, _SHOP) for _, cell in placed})
        for title, view in pages:
            st.page_link(view, label=f"Mend it on the page {title}")


def _cells(text: str, name: str) -> dict[tuple[str, str], CellFault]:
    """The cell of each fault, by its path and message; none for a text that cannot be read."""
    try:
        editing = Editing(text, name)
    except InputError:
        return {}
    cells = place_faults(editing.values, editing.faults)
    return {
        (path_text(editing.values, path), message): cell
        for (path, message), cell in zip(editing.faults, cells, strict=True)
    }


def _line(problem: Problem, cell: CellFault | None) -> str:
    message = problem.message if cell is None else cell.message
    at = f"{problem.file}, line {problem.line}" if problem.line else problem.file
    if cell is None or cell.table is None:
        where = problem.path
    else:
        page = _PAGES.get(cell.part, _SHOP)[0]
        steps = [page, _TITLES.get(cell.part, ""), *cell.steps]
        where = _STEP.join(step for step, _ in groupby(each for each in steps if each))
    told = f"**{plain(where)}**: {plain(message)}" if where else plain(message)
    return f"{told} :small[{plain(at)}]" if at else told
