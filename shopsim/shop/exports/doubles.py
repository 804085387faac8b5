"""Rows that stand there twice, and rows of one id that contradict each other."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from shopsim.shop.exports.mapping import Mapping
from shopsim.shop.order_checks import SAME_IN_ORDER
from shopsim.shop.order_rows import cell_text

if TYPE_CHECKING:
    from shopsim.shop.exports.reading import ReadRow


def reject_doubles(rows: Sequence[ReadRow], mapping: Mapping) -> None:
    """Gives rows their reasons and notes where they repeat or contradict others, as the mapping says."""
    if mapping.duplicates.exact == "reject":
        _reject_exact(_usable(rows))
    groups: dict[tuple[Any, ...], list[ReadRow]] = {}
    key = mapping.kind.key
    for row in _usable(rows):
        # A key with a hole in it tells nothing: two sewers without a name may start at the same minute.
        if all(name in row.values for name in key if name in mapping.columns):
            groups.setdefault(tuple(row.values.get(name) for name in key), []).append(row)
    for group in groups.values():
        if len(group) > 1 and mapping.table == "orders":
            _settle_order(group, mapping.duplicates.same_id)
        elif len(group) > 1:
            _settle_rows(group, mapping.duplicates.same_id)


def _usable(rows: Iterable[ReadRow]) -> list[ReadRow]:
    return [row for row in rows if not row.reasons]


def _reject_exact(rows: Iterable[ReadRow]) -> None:
    seen: dict[tuple[tuple[str, Any], ...], ReadRow] = {}
    for row in rows:
        first = seen.setdefault(tuple(sorted(row.values.items())), row)
        if first is not row:
            row.reasons.append(f"says the same as {first.place}")


def _settle_order(lines: Sequence[ReadRow], rule: str) -> None:
    """Lines of one order must agree on what belongs to the order."""
    if rule == "reject":
        _take_first_due(lines)
    valid = lines[-1] if rule == "keep_last" else lines[0]
    apart = [(row, _differences(row, valid)) for row in lines if row is not valid]
    if rule == "reject" and any(names for _, names in apart):
        names = sorted({name for _, differing in apart for name in differing}, key=SAME_IN_ORDER.index)
        for row in lines:
            others = ", ".join(other.place for other in lines if other is not row)
            row.reasons.append(f"disagrees with {others} of the same order on {', '.join(names)}")
        return
    for row, differing in apart:
        for name in differing:
            shown = cell_text(valid.values.get(name)) or "empty"
            row.notes.append(f"{name}: {shown} of {valid.place} of the same order taken")
            row.values.pop(name, None)
            if name in valid.values:
                row.values[name] = valid.values[name]


def _take_first_due(lines: Sequence[ReadRow]) -> None:
    """Parts of an order may be promised for different days: its own is the first of them."""
    first = min(lines, key=lambda row: row.values["due"])
    for row in lines:
        if row.values["due"] != first.values["due"]:
            row.values["due"] = first.values["due"]
            row.notes.append(f"due: {cell_text(row.values['due'])} of {first.place}, the earliest of the order, taken")


def _differences(row: ReadRow, other: ReadRow) -> list[str]:
    return [name for name in SAME_IN_ORDER if (row.values.get(name) or None) != (other.values.get(name) or None)]


def _settle_rows(rows: Sequence[ReadRow], rule: str) -> None:
    """Two records of the same thing at the same time: one of them, or none."""
    valid = {"keep_first": rows[0], "keep_last": rows[-1]}.get(rule)
    for row in rows:
        if row is not valid:
            others = valid.place if valid else ", ".join(other.place for other in rows if other is not row)
            row.reasons.append(f"contradicts {others} of the same id")
