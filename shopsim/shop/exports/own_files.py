"""Files in our own columns, as `read --out` writes them: they need no mapping."""

from __future__ import annotations

from pathlib import Path

from shopsim.errors import ExportError, Problem
from shopsim.shop.exports.headings import find_head
from shopsim.shop.exports.mapping import Header, Mapping, mapping_faults, own_mapping
from shopsim.shop.exports.sheets import read_sheets
from shopsim.shop.exports.table_kinds import TABLE_KINDS


def mapping_of_own_file(table: str, file: str | Path) -> Mapping:
    """The mapping of a file in our own columns. Raises ExportError for a file that is in others."""
    kind = TABLE_KINDS[table]
    head = find_head(read_sheets(file)[0], Header(line=1), [], str(file))
    mapping = own_mapping(kind, list(head.names)) if set(head.names) & set(kind.names) else None
    faults = mapping_faults(mapping) if mapping else [((), f"has none of our columns: {', '.join(kind.names)}")]
    if mapping is None or faults:
        told = f"give --map, or a file of `read --out`: {faults[0][1]}"
        raise ExportError([Problem(str(file), 1, None, "", told)])
    return mapping
