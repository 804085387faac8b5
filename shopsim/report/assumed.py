"""What was assumed: what came from the file in short, and every usual value of the handbook that stands in for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from shopsim.report.blocks import Block, Para, Section, Table, table
from shopsim.report.contents import Contents
from shopsim.report.craft_values import craft_values
from shopsim.report.handbook_rows import BASES
from shopsim.report.inputs import Input, alike, inputs_of
from shopsim.report.usual_values import HANDBOOK
from shopsim.shop.model_paths import part_of

# More parts than this, if they are all there are, are not named one by one.
_NAMED = 3


def assumed_section(contents: Contents) -> Section:
    """The counts by part of the shop; the values themselves stand in the annex."""
    inputs = inputs_of(contents.shop.scenario)
    parts = list(dict.fromkeys(part_of(one.path) for one in inputs))
    rows = []
    for part in parts:
        mine = [one for one in inputs if part_of(one.path) == part]
        by_basis = [sum(one.basis == basis for one in mine) for basis in BASES]
        given, ours = (sum(one.origin == origin for one in mine) for origin in ("file", "program"))
        counts = [given, *by_basis, ours]
        rows.append((part.replace("_", " "), *(str(count) if count else "" for count in counts)))
    blocks: list[Block] = [
        Para(
            f"What a shop does not say in its file is taken from the trade handbook, {HANDBOOK}, in numbered rows such "
            "as MNT-08. What each row stands on, and its source where it has one, stands in the annex, 3.3. Replace "
            "what matters with the shop's own numbers."
        ),
        table(
            "Values in use, by part of the shop and by what they rest on",
            ("", "the file", *BASES, "our default"), rows,
            "Partly published: a source gives the range, or one of several numbers. Every value is in the annex, 3.3.",
        ),
    ]  # fmt: skip
    return Section("assumed", "What was assumed", tuple(blocks))


def lists_table(inputs: Sequence[Input]) -> Table | None:
    """Lists inside parts (mix, repairs, modes, steps, ...), an item a row; equal lists of several parts together."""
    lists: dict[tuple[str, str], dict[str, list[Input]]] = {}
    for one in inputs:
        if one.of is not None and not _told_elsewhere(one.path):
            lists.setdefault((one.of.kind, one.of.path), {}).setdefault(one.of.item, []).append(one)
    alike_lists: dict[tuple[str, tuple[tuple[str, ...], ...]], list[str]] = {}
    for (kind, path), items in lists.items():
        cells: tuple[tuple[str, ...], ...] = tuple((item, *_cells(values)) for item, values in items.items())
        alike_lists.setdefault((kind, cells), []).append(f"{path}.")
    if not alike_lists:
        return None
    parts, rows = _parts(inputs), []
    for (kind, told), paths in alike_lists.items():
        heads = [(kind, _at(paths, parts)), *[("", "")] * (len(told) - 1)]
        rows += [(*head, *row) for head, row in zip(heads, told, strict=True)]
    return table(
        "Lists, an item a row", ("list", "at", "item", "given in the file", "usual value or default", "the file says"),
        rows, "In brackets the row of usual values, or “ours” for a default of the program without a source.",
        left=(0, 1, 2, 3, 4, 5),
    )  # fmt: skip


def _cells(values: list[Input]) -> tuple[str, ...]:
    """Values of an item as text: those of the file, those that stand in for others, and what the file says of them."""
    given = "; ".join(f"{_name(one)} {one.shown}".strip() for one in values if one.origin == "file")
    usual = "; ".join(f"{_name(one)} {one.shown} ({one.row or 'ours'})" for one in values if one.origin != "file")
    return given, usual, " ".join(dict.fromkeys(one.note for one in values if one.note))


def _name(one: Input) -> str:
    assert one.of is not None  # an item of a list
    return one.of.name


def given_table(inputs: Sequence[Input]) -> Table:
    """Values that the file gives, those alike taken together."""
    parts = _parts(inputs)
    rows = [
        (one.kind, one.shown, _at(paths, parts), one.note)
        for one, paths in alike(one for one in inputs if one.of is None and one.origin == "file")
        if not _told_elsewhere(one.path)
    ]
    return table(
        "Given in the file", ("value", "is", "at", "the file says beside it"), rows,
        "Three numbers joined by dashes are least, usual and most (triangular). Sizes, shifts and skills "
        "stand in 2.5; the workbook has every value on a line of its own.", left=(0, 1, 2, 3),
    )  # fmt: skip


def default_table(inputs: Sequence[Input]) -> Table:
    """Values that stand in for what the file leaves out."""
    parts = _parts(inputs)
    rows = [
        (one.kind, one.shown, _at(paths, parts), one.row or "–", one.basis or "our default")
        for one, paths in alike(one for one in inputs if one.of is None and one.origin != "file")
    ]
    columns = ("value", "is", "at", "row", "stands on")
    return table(
        "Taken from the trade handbook, or defaults of the program", columns, rows,
        "Partly published: the source gives the range, or only some of the row's numbers; the rows stand below.",
        left=(0, 1, 2, 3, 4),
    )  # fmt: skip


def craft_table(contents: Contents) -> Table | None:
    """The standard minutes behind the routes; None if the file gives all minutes itself."""
    values = craft_values(contents.shop.scenario)
    if not values:
        return None
    rows = [(each.work, each.made_of, each.row, each.basis, each.source) for each in values]
    return table(
        "Standard minutes of work by hand, before allowances", ("work", "made of", "row", "stands on", "source"), rows,
        left=(0, 1, 2, 3, 4),
    )  # fmt: skip


def _told_elsewhere(path: str) -> bool:
    part, _, rest = path.partition(".")
    return part == "shifts" or rest.endswith(".skills") or ".sizes[" in rest


def _at(paths: list[str], parts: Mapping[str, list[str]]) -> str:
    """Where a value stands: the parts by name, or that it is all of them."""
    names = list(dict.fromkeys(_item_of(path) for path in paths))
    part = part_of(paths[0])
    return f"all {part.replace('_', ' ')}" if len(names) > _NAMED and names == parts[part] else ", ".join(names)


def _parts(inputs: Sequence[Input]) -> dict[str, list[str]]:
    """The names of what stands in each list at the top of the file."""
    found: dict[str, list[str]] = {}
    for one in inputs:
        names = found.setdefault(part_of(one.path), [])
        if _item_of(one.path) not in names:
            names.append(_item_of(one.path))
    return found


def _item_of(path: str) -> str:
    parts = path.split(".")
    return parts[1].replace("_", " ") if len(parts) > 2 else part_of(path)
