"""One part of the shop at a time, one of its tables at a time."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from app import edits
from app.sheet import edit_sheet
from app.skills_table import edit_skills
from app.table_editor import edit_table
from shopsim.shop.forms.cell_faults import CellFault
from shopsim.shop.forms.layout import Layout, Part
from shopsim.shop.forms.tables import Table

_SKILLS = "skills"


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


def _to_mend(faults: int) -> str:
    # Not in the option itself: a choice whose options change begins anew.
    return f"{faults} to mend" if faults else ""


def _count(key: str, found: list[CellFault]) -> int:
    return sum(each.table is not None and each.table.layout.key == key for each in found)
