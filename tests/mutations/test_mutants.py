"""The table of mutants is kept up to date with the code; whether they are noticed is `python -m tests.mutations`."""

import ast

import pytest

from tests.mutations.mutant import ROOT, Mutant
from tests.mutations.mutants import MUTANTS


@pytest.mark.parametrize("mutant", MUTANTS, ids=lambda mutant: mutant.name)
def test_a_mutant_fits_the_code_as_it_stands(mutant: Mutant) -> None:
    """What it replaces stands there once, the broken file is still Python, and its tests exist."""
    assert mutant.before != mutant.after
    ast.parse(mutant.text())
    assert mutant.tests
    assert [path for path in mutant.test_paths if not (ROOT / path.partition("::")[0]).is_file()] == []


def test_there_are_enough_and_each_has_a_name_of_its_own() -> None:
    assert len(MUTANTS) >= 40
    assert len({mutant.name for mutant in MUTANTS}) == len(MUTANTS)


def test_what_does_not_stand_there_once_is_refused() -> None:
    twice = Mutant("twice", "clock.py", "return", "", ())
    with pytest.raises(ValueError) as error:
        twice.text()
    count = (ROOT / "shopsim/clock.py").read_text(encoding="utf-8").count("return")
    assert str(error.value) == f"twice: 'return' must stand once in shopsim/clock.py, found {count} times"
