"""The error tree and the text of its problems."""

import pickle

import pytest

from shopsim.errors import AuditError, InputError, OrderBookError, Problem, ScenarioError, ShopsimError, WhatIfError


@pytest.mark.parametrize(
    ("problem", "text"),
    [
        (Problem("shop.yaml", 4, 7, "printers.0", "too wide"), "shop.yaml:4:7: printers.0: too wide"),
        (Problem("shop.yaml", 4, None, "printers.0", "too wide"), "shop.yaml:4: printers.0: too wide"),
        (Problem("shop.yaml", None, 7, "printers.0", "too wide"), "shop.yaml: printers.0: too wide"),
        (Problem("shop.yaml", 4, 7, "", "too wide"), "shop.yaml:4:7: too wide"),
        (Problem("", None, None, "printers.0", "too wide"), "printers.0: too wide"),
        (Problem("", 4, 7, "", "too wide"), "line 4:7: too wide"),
    ],
)
def test_a_problem_leaves_out_what_it_does_not_know(problem: Problem, text: str) -> None:
    assert str(problem) == text


def test_an_input_error_shows_one_problem_a_line() -> None:
    problems = [Problem("a.yaml", 1, 2, "x", "bad"), Problem("a.yaml", 3, 4, "y", "worse")]
    error = ScenarioError(problems)
    assert error.problems == tuple(problems)
    assert str(error) == "a.yaml:1:2: x: bad\na.yaml:3:4: y: worse"


def test_an_input_error_needs_a_problem() -> None:
    with pytest.raises(ValueError) as caught:
        InputError([])
    assert str(caught.value) == "an input error needs at least one problem, got none"


@pytest.mark.parametrize("kind", [ScenarioError, OrderBookError, WhatIfError])
def test_input_errors_survive_the_way_back_from_a_worker(kind: type[InputError]) -> None:
    error = kind(problem for problem in [Problem("a.yaml", 1, 2, "x", "bad")])
    back = pickle.loads(pickle.dumps(error))
    assert type(back) is kind
    assert back.problems == error.problems


def test_the_tree() -> None:
    assert [kind.__mro__[1] for kind in (ScenarioError, OrderBookError, WhatIfError)] == [InputError] * 3
    assert InputError.__mro__[1] is ShopsimError
    assert AuditError.__mro__[1] is ShopsimError
    assert str(AuditError("3 pieces are missing")) == "3 pieces are missing"
