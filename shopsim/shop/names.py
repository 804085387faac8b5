"""What the parts of a shop are called: people read names where the file gives them, ids are for who looks in the file.

Whatever tells of a shop in words does so of `by_name(scenario)`, in which names stand where ids stood, or asks for the
name of a single part.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from pydantic import BaseModel

from shopsim.shop.id_checks import KINDS, references
from shopsim.shop.model_paths import Path
from shopsim.shop.rough_cut import RoughCut
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import Shop

# Work lies at them alike: no two of these may be called the same.
_PLACES = ("printers", "calenders", "work_centres")


def in_words(part: str) -> str:
    """An id as words."""
    return part.replace("_", " ").replace("-", " ")


def quoted(name: str) -> str:
    """A name inside a sentence: those of several words would run into it."""
    return f"“{name}”"


def names_of(scenario: Scenario) -> dict[str, str]:
    """The name of every part that has one, by its id; where two of a kind are called the same, with their ids."""
    found: dict[str, str] = {}
    for kinds in (_PLACES, *((kind,) for kind in KINDS if kind not in _PLACES)):
        parts = [part for kind in kinds for part in getattr(scenario, kind)]
        sharing = Counter(part.name for part in parts)
        found |= {part.id: part.name if sharing[part.name] == 1 else f"{part.name} ({part.id})"
                  for part in parts if part.name}  # fmt: skip
    return found


def name_of(scenario: Scenario, part: str) -> str:
    """What a part is called on its own, as in a table: its name, or its id in words."""
    return names_of(scenario).get(part) or in_words(part)


def names_in(scenario: Scenario, parts: Iterable[str]) -> list[str]:
    """`name_of` each, also of seats, whose number stands behind the id of their place: `sewing_table 2`."""
    names, found = names_of(scenario), []
    for part in parts:
        place, _, seat = part.rpartition(" ")
        found.append(names.get(part) or (f"{names[place]}, {seat}" if place in names else in_words(part)))
    return found


def words_for(scenario: Scenario) -> dict[str, str]:
    """What every part is called inside a sentence, by its id: its name in quotes, or its id in words."""
    names = names_of(scenario)
    ids = [part.id for kind in KINDS for part in getattr(scenario, kind)]
    return {part: quoted(names[part]) if part in names else in_words(part) for part in ids}


def told(scenario: Scenario, part: str) -> str:
    """What one part is called inside a sentence."""
    return words_for(scenario).get(part) or in_words(part)


def by_name(scenario: Scenario, words: Mapping[str, str] | None = None) -> Scenario:
    """The same shop to be told of: the `words_for` its parts, or the words given, stand where ids did. It is not to
    be run or written to a file."""
    words = words_for(scenario) if words is None else words
    ids = (((kind, place, "id"), part.id) for kind in KINDS for place, part in enumerate(getattr(scenario, kind)))
    refers = ((path, part) for path, part, _ in references(scenario))
    named: Scenario = _with(scenario, _branches({path: words.get(part, part) for path, part in (*ids, *refers)}))
    return named


def cut_by_name(scenario: Scenario, cut: RoughCut) -> RoughCut:
    """Load against capacity of `by_name(scenario)`, from that of the scenario."""
    words = words_for(scenario)
    return replace(cut, loads=tuple(
        replace(load, id=words.get(load.id, load.id), places=tuple(words.get(each, each) for each in load.places))
        for load in cut.loads
    ))  # fmt: skip


def shop_by_name(shop: Shop) -> Shop:
    """`by_name` with the lines of the order book."""
    words = words_for(shop.scenario)
    lines = [line.model_copy(update={"product": words[line.product]}) for line in shop.order_lines]
    named = Shop(by_name(shop.scenario, words), tuple(lines), shop.warnings)
    # Printing is shared out among printers in the order of ids: worked out anew, the load would not be quite the same.
    named.__dict__["rough_cut"] = cut_by_name(shop.scenario, shop.rough_cut)
    return named


def _branches(leaves: Mapping[Path, str]) -> dict[str | int, Any]:
    """Paths as nested mappings."""
    tree: dict[str | int, Any] = {}
    for path, leaf in leaves.items():
        here = tree
        for step in path[:-1]:
            here = here.setdefault(step, {})
        here[path[-1]] = leaf
    return tree


def _with(value: Any, changed: Any) -> Any:
    if not isinstance(changed, dict):
        return changed
    if isinstance(value, BaseModel):
        return value.model_copy(update={name: _with(getattr(value, str(name)), one) for name, one in changed.items()})
    return tuple(_with(one, changed[place]) if place in changed else one for place, one in enumerate(value))
