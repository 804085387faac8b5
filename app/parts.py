"""One part of the shop at a time, one of its tables at a time."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from app import edits
from app.say import plain
from app.sheet import edit_sheet
from app.skills_table import edit_skills
from app.table_editor import edit_table
from shopsim.shop.forms.cell_faults import CellFault
from shopsim.shop.forms.layout import Layout, Part
from shopsim.shop.forms.tables import Table, Values

_SKILLS = "skills"
# By what a text has in it.
_SHAPES = {
    " / ": "3 / 5 / 8 is at least 3, usually 5, at most 8",
    "discrete: ": "discrete: each of the values as often as its weight beside the others says",
    "log_normal: ": "log_normal: half of them below the median, nine in ten below the p90",
}


def edit_part(parts: Sequence[Part], found: list[CellFault], page: str) -> None:
    """Choose a part and a table of it, and edit that; parts and tables say how many faults they hold."""
    by_key = {part.key: part for part in parts}
    part = by_key[parts[0].key]
    if len(parts) > 1:
        chosen = st.radio(
            "Part", list(by_key), horizontal=True, key=f"{page}.part", persist_state="session",
            format_func=lambda key: by_key[key].title,
            captions=[_to_mend(sum(each.part == key for each in found)) for key in by_key],
        )  # fmt: skip
        part = by_key[chosen]
    tables = {layout.key: layout for layout in part.tables}
    titles = {key: layout.title for key, layout in tables.items()}
    if part.key == "people":
        titles[_SKILLS] = "Skills"
    chosen = next(iter(titles))
    if len(titles) > 1:
        chosen = st.radio(
            "Table", list(titles), horizontal=True, key=f"{page}.{part.key}.table",
            format_func=lambda key: titles[key], captions=[_to_mend(_count(key, found)) for key in titles],
        )  # fmt: skip
    if chosen == _SKILLS:
        edit_skills(found)
    else:
        edit_layout(tables[chosen], found)


def edit_layout(layout: Layout, found: list[CellFault]) -> None:
    """Edit one table; a nested one for an item that is chosen above it."""
    values = edits.current().values
    money = values.get("money")
    currency = str(money.get("currency", "CU")) if isinstance(money, dict) else "CU"
    if layout.single:
        edit_sheet(Table(layout), found, currency)
        _say_how_shapes_read(Table(layout), values)
        return
    owner = None
    if layout.owner:
        owners = [each for each in values.get(layout.owner) or [] if isinstance(each, dict)]
        if not owners:
            st.caption("None yet.")
            return
        names = [str(each.get("name") or each.get("id")) for each in owners]
        owner = st.selectbox(
            f"{layout.title} of", range(len(owners)), key=f"{layout.key}.owner", width=360,
            format_func=lambda at: names[at] if at < len(names) else "",
        )  # fmt: skip
        owner = min(owner or 0, len(owners) - 1)
    edit_table(Table(layout, owner), found, currency)
    _say_how_shapes_read(Table(layout, owner), values)


def _say_how_shapes_read(table: Table, values: Values) -> None:
    """Below what holds more than plain numbers, how that is read."""
    keys = [column.key for column in table.layout.columns if column.kind == "spread"]
    texts = [str(row[key] or "") for row in table.rows(values) for key in keys]
    told = [how for sign, how in _SHAPES.items() if any(sign in text for text in texts)]
    if told:
        st.caption(plain(f"How to read more than a number: {'; '.join(told)}."))


def _to_mend(faults: int) -> str:
    # Not in the option itself: a choice whose options change begins anew.
    return f"{faults} to mend" if faults else ""


def _count(key: str, found: list[CellFault]) -> int:
    return sum(each.table is not None and each.table.layout.key == key for each in found)
