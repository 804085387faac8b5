"""Making the changed shop: a new checked `Shop`, the base untouched, each fault put to the change that caused it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from pydantic import ValidationError

from shopsim.errors import Problem, WhatIfError
from shopsim.shop.changes import Change, changed_values, find_path, plain_change
from shopsim.shop.handbook_warnings import find_unusual
from shopsim.shop.located_faults import Fault, faults_of
from shopsim.shop.model_paths import Path, path_text
from shopsim.shop.order_checks import why_lines_do_not_fit
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import scenario_or_faults
from shopsim.shop.shop_file import BOOK_PATH, Shop, book_faults, book_warnings
from shopsim.shop.what_if_model import WhatIf

Values = dict[str, Any]
Told = tuple[str, str]
"""A path into the scenario in the trade's form, and what is wrong there."""
_VALUE_KEYS = {"set": "to", "add": "item", "replace": "with"}


def apply(shop: Shop, what_if: WhatIf) -> Shop:
    """The shop with all changes of a what-if made in turn; its order lines stay those of the base.

    Raises WhatIfError with every change that fits nothing in the base; if all fit, with every fault of the changed
    scenario, placed at the change from which on it is there.
    """
    stages, problems = _stages(scenario_values(shop.scenario), what_if)
    if problems:
        # Values that no scenario can hold are told at once; whether the parts fit each other is not known yet.
        impossible = _caused(what_if, stages, _impossible(stages[-1]), _impossible)
        raise WhatIfError(
            sorted([*problems, *impossible], key=lambda problem: (problem.line or 0, problem.column or 0))
        )
    made, faults, warnings = _judged(shop, stages[-1])
    if made is None:
        raise WhatIfError(_caused(what_if, stages, faults, lambda values: _judged(shop, values)[1]))
    kept = tuple(each for each in shop.warnings if any(_says(each, told) for told in warnings))
    new = [told for told in warnings if not any(_says(each, told) for each in kept)]
    fresh = _caused(what_if, stages, new, lambda values: _judged(shop, values)[2])
    lines = shop.order_lines if made.demand.order_book is not None else ()
    return Shop(made, lines, (*kept, *fresh))


def _says(warning: Problem, told: Told) -> bool:
    # A warning that came with an earlier what-if ends in the change that brought it.
    return warning.path == told[0] and warning.message.startswith(told[1])


def _stages(values: Values, what_if: WhatIf) -> tuple[list[Values], list[Problem]]:
    """The plain values of the base and after each change, and the changes that fit nothing and were left out."""
    stages, problems = [values], []
    missing: list[str] = []
    for number, change in enumerate(what_if.changes):
        try:
            stages.append(changed_values(stages[-1], change))
        except ValueError as fault:
            # What goes on with an item that could not be made is no fault of its own.
            if not any(change.path == item or change.path.startswith(f"{item}.") for item in missing):
                path: Path = ("changes", number, change.action)
                message = str(fault) if repr(change.path) in str(fault) else f"{change.path}: {fault}"
                problems.append(what_if.problem(path, path_text({}, path), message))
            missing += _made_by(change)
            stages.append(stages[-1])
    return stages, problems


def _made_by(change: Change) -> list[str]:
    if change.action not in ("add", "copy") or not isinstance(change.value, dict) or "id" not in change.value:
        return []
    items = change.path if change.action == "add" else change.path.rpartition(".")[0]
    return [f"{items}.{change.value['id']}"]


def _impossible(values: Values) -> list[Told]:
    try:
        Scenario.model_validate(values)
    except ValidationError as error:
        return [(path_text(values, path), message) for path, message in faults_of(Scenario, error)]
    return []


def _judged(base: Shop, values: Values) -> tuple[Scenario | None, list[Told], list[Told]]:
    """The scenario of the values if there is one, all faults that keep it from being one, and its warnings."""

    def told(found: Sequence[Fault]) -> list[Told]:
        return [(path_text(values, path), message) for path, message in found]

    made = scenario_or_faults(values)
    if not isinstance(made, Scenario):
        return None, told(made), []
    book = made.demand.order_book
    if book is not None and book != base.scenario.demand.order_book:
        return None, told([(BOOK_PATH[:2], "a what-if keeps the order book of its base, or removes it")]), []
    lines = base.order_lines if book is not None else ()
    faults = [(BOOK_PATH, message) for message in why_lines_do_not_fit(made, lines)]
    faults = faults or book_faults(made, lines)
    if faults:
        return None, told(faults), []
    return made, [], told([*find_unusual(made), *book_warnings(made, lines)])


def _caused(
    what_if: WhatIf, stages: list[Values], told: list[Told], tells: Callable[[Values], list[Told]]
) -> list[Problem]:
    """Each thing told of the last stage as a problem with the change since which it is told."""
    causes = dict.fromkeys(told, 0)
    waiting = set(told)
    for number in range(len(stages) - 2, 0, -1):
        if not waiting:
            break
        before = set(tells(stages[number]))
        causes.update(dict.fromkeys(waiting - before, number))
        waiting &= before
    problems = []
    for (shown, message), number in causes.items():
        change = what_if.changes[number]
        place = _place(change, number, stages[number], stages[number + 1], shown)
        problems.append(what_if.problem(place, shown, f"{message} (changes[{number}]: {change.action} {change.path})"))
    return sorted(problems, key=lambda problem: (problem.line or 0, problem.column or 0))


def _place(change: Change, number: int, before: Values, after: Values, shown: str) -> Path:
    """Where in the what-if stands what is at the path ``shown`` of the scenario, as near as can be."""
    here: Path = ("changes", number)
    try:
        touched = find_path(before, plain_change(before, change).path)
        fault = find_path(after, shown)
    except ValueError:
        return here
    if change.action in ("add", "copy"):
        items: Any = after
        for part in touched:
            items = items[part]
        touched = (*touched, len(items) - 1)
    if fault[: len(touched)] != touched:
        return here
    if change.action == "copy":
        return (*here, *_inside_copy(change, shown[len(path_text(after, touched)) + 1 :]))
    return (*here, _VALUE_KEYS.get(change.action, change.action), *fault[len(touched) :])


def _inside_copy(change: Change, inside: str) -> Path:
    for key in change.value:
        if inside == key or inside.startswith((f"{key}.", f"{key}[")):
            return ("as",) if key == "id" else ("with", key)
    return ()
