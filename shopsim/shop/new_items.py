"""What a person begins with who writes an item of a scenario's list: one that has all that is needed."""

from __future__ import annotations

from typing import Any

from shopsim.shop.forms.cells import value_at
from shopsim.shop.forms.layout import LAYOUTS
from shopsim.shop.forms.tables import Table
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.yaml_writing import block, flow

_TABLES = {
    layout.place: Table(layout) for layout in LAYOUTS.values() if layout.new is not None and not layout.owner
}  # fmt: skip


def new_item(scenario: Scenario, path: str) -> dict[str, Any]:
    """Plain values of an item for the list at a path: those of its last one, without a name and under a free id; what
    a table would begin with where the list is empty. Raises KeyError for a path that leads to no list of items."""
    table, values = _TABLES[path], scenario_values(scenario)
    last = table.count(values) - 1
    if last < 0:
        return dict(table.added(values).value)
    item = value_at(values, table.row_path(last))
    return {name: value for name, value in item.items() if name != "name"} | dict(table.copied(values, last).value)


def item_now(scenario: Scenario, path: str) -> dict[str, Any]:
    """Plain values of the item at ``printers.p1``, without its id, which stays."""
    items, own_id = path.split(".")
    item: dict[str, Any] = next(each for each in scenario_values(scenario)[items] if each["id"] == own_id)
    return {name: value for name, value in item.items() if name != "id"}


def written_out(item: dict[str, Any]) -> str:
    """An item as a file has it, a key a line."""
    lines = block(item, 0)
    return "\n".join(lines) if len(lines) > 1 else flow(item)
