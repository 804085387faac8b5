"""Which column of somebody's export is which of ours: chosen on screen, with what the file holds beside it."""

from __future__ import annotations

import hashlib
from typing import Any

import streamlit as st

from app.records import Kept
from app.say import faults, plain
from shopsim.errors import InputError, MappingError
from shopsim.shop.exports.headings import find_head
from shopsim.shop.exports.mapping import ColumnMap, Mapping, mapping_faults
from shopsim.shop.exports.quantities import UNITS
from shopsim.shop.exports.sheets import Row, read_sheets
from shopsim.shop.exports.table_kinds import Column

_NONE = "not in the file"
_MARKS = {None: "not settled", ".": "point: 2.5", ",": "comma: 2,5"}
_ORDERS = {None: "not settled", "day_first": "day first: 31.12.", "month_first": "month first: 12/31"}
_MOST_NAMES, _EXAMPLES = 40, 3


def edit_mapping(kept: Kept, products: dict[str, str]) -> None:
    """Edit the mapping of a kept file; what is chosen is kept at once, what cannot be is told."""
    try:
        mapping = kept.mapping()
    except MappingError as fault:
        faults(fault.problems)
        _as_text(kept)
        return
    try:
        names, body = _head_and_body(kept, mapping)
    except InputError as fault:
        faults(fault.problems)
        _as_text(kept)
        return
    made = _chosen(kept, mapping, names, body, products)
    if made is not None and made != mapping:
        kept.put_mapping(made)
        st.rerun()
    _as_text(kept)


def _head_and_body(kept: Kept, mapping: Mapping) -> tuple[list[str], list[Row]]:
    sheet = read_sheets(kept.path, mapping.sheets)[0]
    wanted = [name for column in mapping.columns.values() for name in column.headings]
    head = find_head(sheet, mapping.header, wanted, kept.name)
    return [name for name in head.names if name], list(sheet.rows[head.first :])


def _chosen(
    kept: Kept, mapping: Mapping, names: list[str], body: list[Row], products: dict[str, str]
) -> Mapping | None:
    """The mapping as the widgets have it; None where that is not sound, which is told."""
    key = f"map.{kept.table}"
    one, two = st.columns(2)
    mark = one.selectbox("Decimal mark", list(_MARKS), list(_MARKS).index(mapping.decimal_mark), key=f"{key}.mark",
                         format_func=_MARKS.__getitem__)  # fmt: skip
    order = two.selectbox("Dates", list(_ORDERS), list(_ORDERS).index(mapping.date_order), key=f"{key}.order",
                          format_func=_ORDERS.__getitem__)  # fmt: skip
    columns: dict[str, ColumnMap] = {}
    places = st.columns(3)
    for i, column in enumerate(mapping.kind.columns):
        with places[i % 3]:
            chosen = _column(f"{key}.{column.name}", column, mapping.columns.get(column.name), names)
        if chosen is not None:
            columns[column.name] = chosen
    if "product" in columns and products:
        columns["product"] = _products(key, columns["product"], _cells(columns["product"], names, body), products)
    made = mapping.model_copy(update={"decimal_mark": mark, "date_order": order, "columns": columns})
    found = mapping_faults(made) if columns else [((), "choose at least one column")]
    for place, text in found:
        st.error(plain(f"{'.'.join(map(str, place))}: {text}" if place else text), icon=":material/error:")
    return None if found else made


def _column(key: str, column: Column, now: ColumnMap | None, names: list[str]) -> ColumnMap | None:
    """Where one of our columns comes from. What only a mapping file can say (two columns joined, `always`) stays."""
    label = f"{column.name}{' *' if column.required else ''}"
    if now is not None and (now.always is not None or len(now.headings) > 1):
        said = str(now.always) if now.always is not None else " + ".join(now.headings)
        st.selectbox(label, [said], disabled=True, key=f"{key}.fixed", help="Set in the mapping file.")
        return now
    folded = {name: name for name in names}
    current = now.headings[0] if now is not None and now.headings else _NONE
    options = [_NONE, *folded] if current in (_NONE, *folded) else [_NONE, current, *folded]
    heading = st.selectbox(label, options, options.index(current), key=key)
    if heading == _NONE:
        return None
    units = UNITS.get("length" if column.kind == "size" else column.kind)
    unit = now.unit if now is not None else None
    if units is not None and column.kind not in ("whole", "count"):
        choices = list(dict.fromkeys([None, *([unit] if unit else []), *_usual(column)]))
        unit = st.selectbox(f"Unit of {column.name}", choices, choices.index(unit), key=f"{key}.unit",
                            format_func=lambda each: each or "in the cells")  # fmt: skip
    if now is not None and heading == current:
        return now.model_copy(update={"unit": unit})
    # A column of crosses: where there is none the answer is no.
    return ColumnMap(heading=heading, unit=unit, values={"": False} if column.kind == "yes_no" else {})


def _usual(column: Column) -> tuple[str, ...]:
    return {"area": ("m2", "sqft"), "minutes": ("min", "h", "s")}.get(column.kind, ("m", "cm", "mm", "in", "ft"))


def _cells(column: ColumnMap, names: list[str], body: list[Row]) -> list[Any]:
    if len(column.headings) != 1 or column.headings[0] not in names:
        return []
    at = names.index(column.headings[0])
    return [row.cells[at] for row in body if at < len(row.cells) and row.cells[at] is not None]


def _products(key: str, column: ColumnMap, cells: list[Any], products: dict[str, str]) -> ColumnMap:
    """The shop's product for each name in the file that is none of its ids."""
    names = [name for name in dict.fromkeys(str(cell) for cell in cells) if name not in products]
    if not names:
        return column
    st.markdown("**Products by their names in the file**")
    values = dict(column.values)
    places = st.columns(3)
    for i, name in enumerate(names[:_MOST_NAMES]):
        options = ["", *products]
        now = str(values.get(name, ""))
        chosen = places[i % 3].selectbox(
            plain(name), options, options.index(now) if now in options else 0, key=f"{key}.product.{i}",
            format_func=lambda each: products.get(each) or each or "none of ours: its orders are left out",
        )  # fmt: skip
        values.pop(name, None)
        if chosen:
            values[name] = chosen
    if len(names) > _MOST_NAMES:
        st.caption(f"and {len(names) - _MOST_NAMES} more names; write them into the mapping below")
    return column.model_copy(update={"values": values})


def _as_text(kept: Kept) -> None:
    with st.expander("The mapping as a file", icon=":material/description:"):
        text = kept.mapping_text()
        edited = st.text_area("Mapping (YAML)", text, height=260, key=f"map.{kept.table}.text.{_short(text)}")
        if st.button("Take this text", key=f"map.{kept.table}.take", disabled=edited == text):
            kept.put_mapping_text(edited)
            begin_anew(kept.table)
            st.rerun()
        st.download_button("Save the mapping", text, f"{kept.table}.map.yaml", "application/yaml", on_click="ignore",
                           key=f"map.{kept.table}.save", icon=":material/download:")  # fmt: skip


def _short(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()[:12]


def begin_anew(table: str) -> None:
    """Have the widgets of a table's mapping begin anew: else a browser would send its last choices again."""
    for key in [each for each in st.session_state if str(each).startswith(f"map.{table}.")]:
        del st.session_state[key]
