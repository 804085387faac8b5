"""What code mentions, and what is reached from where, on a house of four rooms."""

import ast
from pathlib import Path

import pytest

from tests.architecture.reach import Source, reached

HOUSE = {
    "house.rolls": """
LIFT_KG = 25
def mass(): return 1
def lift(): return mass() > LIFT_KG
def old(): return 0
""",
    "house.layout": """
from house.rolls import mass
from house import rolls as cloth
def web(): return cloth.old()
""",
    "house.floor": """
from house.layout import mass
TABLE = {'m': mass}
def run(old): return old, TABLE
""",
    "house.door": """
import house.floor as floor
def main():
    lift = 1
    return [floor.run(x) for x in (lift,)]
main()
""",
}


@pytest.fixture
def house(tmp_path: Path) -> Source:
    paths = {name: tmp_path / f"{name}.py" for name in HOUSE}
    for name, path in paths.items():
        path.write_text(HOUSE[name], encoding="utf-8")
    return Source(paths)


def test_what_each_name_mentions(house: Source) -> None:
    assert house.uses["house.rolls", "lift"] == {("house.rolls", "mass"), ("house.rolls", "LIFT_KG")}
    # A module by another name: itself, for its own code runs, and what is called.
    assert house.uses["house.layout", "web"] == {("house.rolls", ""), ("house.rolls", "old")}
    # `layout` hands `mass` on.
    assert house.uses["house.floor", "TABLE"] == {("house.rolls", "mass")}
    # A parameter and a local name hide nothing that was meant.
    assert house.uses["house.floor", "run"] == {("house.floor", "TABLE")}
    assert house.uses["house.door", "main"] == {("house.floor", ""), ("house.floor", "run")}
    assert house.uses["house.door", ""] == {("house.door", "main")}


def test_what_is_reached(house: Source) -> None:
    found = reached(house.uses, [("house.door", "")])
    assert {name for name in found if name[1]} == {
        ("house.door", "main"), ("house.floor", "run"), ("house.floor", "TABLE"), ("house.rolls", "mass"),
    }  # fmt: skip


def test_what_a_piece_of_code_mentions(house: Source) -> None:
    found = house.mentioned(ast.parse("lambda mass: (mass, cloth.lift)"), "house.layout")
    assert found == {("house.rolls", ""), ("house.rolls", "lift")}
