"""Every value that a shop on paper holds: what it is, whether the file says it, and what it rests on otherwise."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from functools import reduce
from typing import Any, Literal, NamedTuple

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from shopsim.report.handbook_rows import founded_on
from shopsim.report.not_in_use import not_in_use
from shopsim.shop.materials import FAMILIES, Fabric
from shopsim.shop.model_paths import Path, path_text
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import plain
from shopsim.shop.what_if_words import unit_of, value_in_words, words_of

Origin = Literal["file", "handbook", "program"]
# Names and tags say what a part is; they are no values anybody could be wrong about.
_LABELS = ("id", "name", "note", "op", "kind", "family", "flame_class")

_ONE = {"people": "person", "seats": "seat"}


class ListItem(NamedTuple):
    """Where a value stands in a list inside a part: path and kind of the list, which item, and what of it."""

    path: str
    kind: str
    item: str
    name: str


@dataclass(frozen=True, slots=True)
class Input:
    """One value. `origin` is `file` (written there), `handbook` (a default from row `row`) or `program` (a default of
    ours without a row); `basis` says what a handbook row stands on, `note` what the file says beside a value.

    `value` is a plain value as a file would hold it, `shown` the same in words with its unit; `of` says of which item
    of a list it is, None for values of parts themselves. `cites` is the row with what is usual for it, whoever gave the
    value, and `usual` that range.
    """

    path: str
    kind: str
    value: Any
    shown: str
    unit: str
    of: ListItem | None
    origin: Origin
    row: str = ""
    basis: str = ""
    source: str = ""
    note: str = ""
    cites: str = ""
    usual: str = ""


def inputs_of(scenario: Scenario, notes: dict[str, str] | None = None) -> list[Input]:
    """All values in use, in the order of the file; `notes` are what the file says beside them, by path.

    Left out are groups that are not there (null) and defaults that nothing asks for (`not_in_use`).
    """
    currency = scenario.money.currency
    found = _of_model(scenario, scenario, (), True, currency)
    return [replace(one, note=(notes or {}).get(one.path, "") if one.origin == "file" else "") for one in found]


def alike(inputs: Iterable[Input]) -> list[tuple[Input, list[str]]]:
    """Inputs that say the same of parts of one kind, taken together: one of them, and the paths of all."""
    groups: dict[tuple[str, ...], tuple[Input, list[str]]] = {}
    for one in inputs:
        key = (one.kind, one.shown, one.origin, one.row, one.note)
        groups.setdefault(key, (one, []))[1].append(one.path)
    return list(groups.values())


def _of_model(
    scenario: Scenario, model: BaseModel, path: Path, written: bool, currency: str
) -> Iterator[Input]:  # fmt: skip
    for name, field in type(model).model_fields.items():
        value = getattr(model, name)
        if name in _LABELS or value is None:
            continue
        here = (*path, name)
        given = written and name in model.model_fields_set
        if isinstance(value, BaseModel):
            yield from _of_model(scenario, value, here, given, currency)
        elif isinstance(value, tuple) and value and all(isinstance(item, BaseModel) for item in value):
            for number, item in enumerate(value):
                yield from _of_model(scenario, item, (*here, number), given, currency)
        elif (given or value not in ("", (), {})) and not not_in_use(scenario, here, given):
            yield _input(scenario, model, name, field, here, given, currency)


def _input(
    scenario: Scenario, model: BaseModel, name: str, field: FieldInfo, path: Path, given: bool, currency: str
) -> Input:  # fmt: skip
    value = getattr(model, name)
    unit = unit_of(name, currency)
    # A default of nothing says that the file did not ask for it, not what is usual.
    row = "" if given or plain(value) in (0, False) else _row(model, field)
    founded = founded_on(row) if row else None
    told = value_in_words(value, field, "" if value == 1 and unit in _ONE else unit, currency)
    told = f"{told} {_ONE[unit]}" if told == "1" and unit in _ONE else told
    return Input(
        path_text(scenario, path), kind_of(path), plain(value), told, unit, _list_item(scenario, path),
        "file" if given else "handbook" if founded else "program", row if founded else "",
        founded.basis if founded else "", founded.source if founded else "",
        cites=_row(model, field), usual=_usual(field, unit),
    )  # fmt: skip


def _list_item(scenario: Scenario, path: Path) -> ListItem | None:
    """The innermost list that a value stands in; printers, crews and other parts with a name of their own are none."""
    for at in range(len(path) - 1, 0, -1):
        if not isinstance(path[at], int):
            continue
        around, item = path_text(scenario, path[:at]), path_text(scenario, path[: at + 1])
        own_id = item[len(around) + 1 :] if item[len(around)] == "." else ""
        if at == 1 and own_id:
            return None
        step = getattr(reduce(_inside, path[: at + 1], scenario), "op", "")
        label = own_id or f"{int(path[at]) + 1} {step}".strip()
        return ListItem(around, kind_of(path[:at]), label.replace("_", " "), _words(path[at + 1 :]))
    return None


def _inside(part: Any, name: str | int) -> Any:
    return part[name] if isinstance(name, int) else getattr(part, name)


def _words(path: Path) -> str:
    return ", ".join(words_of(part) or part.replace("_", " ") for part in path if isinstance(part, str))


def kind_of(path: Path) -> str:
    """What a value is, whichever part of its list it belongs to: `printers: roll change, leader`."""
    head, words = str(path[0]).replace("_", " "), _words(path[1:])
    return f"{head}: {words}" if words else head


def _usual(field: FieldInfo, unit: str) -> str:
    """The usual range of a field: `4 to 20 min`; empty where its row has none."""
    low, high = _extra(field).get("usual") or (None, None)
    return "" if low is None or high is None else f"{low:g} to {high:g} {unit}".strip()


def _extra(field: FieldInfo) -> dict[str, Any]:
    extra = field.json_schema_extra
    return dict(extra) if isinstance(extra, dict) else {}


def _row(model: BaseModel, field: FieldInfo) -> str:
    row = str(_extra(field).get("handbook_row", ""))
    if isinstance(model, Fabric) and model.family in FAMILIES and row.startswith("MAT-"):
        # The row of this family, out of the rows of all families.
        first = int(row[4:6])
        return f"MAT-{first + list(FAMILIES).index(model.family):02d}"
    return row
