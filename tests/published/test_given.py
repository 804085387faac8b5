"""Nothing given is dropped in silence: ids of cases, and all numbers where the file of them lies beside the tree."""

from __future__ import annotations

import ast
import json
import math
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

import shopsim.published
from shopsim.published.cases import CASES, SKIPPED, UNUSED_IDS
from tests.published.data_folder import FOLDER

# How many cases of each letter are given; are this project's own.
GIVEN = {"A": 25, "B": 2, "C": 7, "D": 4, "E": 19, "F": 4, "G": 4, "H": 4, "I": 3, "J": 1, "K": 1}
OWN = 81
# Given numbers that are no finding, and the words of the case's page that tell of them.
TOLD = {
    ("A-11", "max_abs_dev_D"): "within 0.0005",
    ("A-11", "max_abs_dev_F"): "within 0.0005",
    ("A-13", "tortoise_CTq_h"): "26.15 h",
    ("E-17", "mt19937_64_10000th"): "mt19937_64",
    ("E-17", "mrg32k3a_u1"): "MRG32k3a",
    ("E-17", "mrg32k3a_u2"): "MRG32k3a",
    ("E-17", "mrg32k3a_u3"): "MRG32k3a",
    ("E-18", "truncnorm_mean"): "10.07",
    ("J-01", "f_gsm"): "ounces",
}
# Hours for minutes, percent for shares, and a sign for who pays.
UNITS = (1, 60, 1 / 60, 100, 1 / 100, 1000, 1 / 1000, 60 / 1000, -1)


def test_every_given_id_is_a_case_or_skipped() -> None:
    given = {f"{letter}-{number:02}" for letter, most in GIVEN.items() for number in range(1, most + 1)}
    own = {f"X-{number:02}" for number in range(1, OWN + 1)} - set(UNUSED_IDS)
    ids = [each.id for each in (*CASES, *SKIPPED)]
    assert len(ids) == len(set(ids))
    assert set(ids) == given | own


def test_every_given_number_is_a_finding_or_told() -> None:
    """Numbers are looked for in the source of the case's module, in units of their own; texts and yes or no are not."""
    path = FOLDER.parent / "expected.json"
    if not path.exists():
        pytest.skip("../shared/checks/expected.json is not part of the project")
    given = {each["id"]: each["expected"] for each in json.loads(path.read_text(encoding="utf-8"))}
    assert len(given) == sum(GIVEN.values())
    rooms = dict(_numbers_by_case())
    missing = {
        (case_id, key)
        for case_id, expected in given.items()
        if case_id in rooms
        for key, each in expected.items()
        for number in _numbers(each["value"])
        if not _stands(number, each["tol"], rooms[case_id])
    }
    assert missing == set(TOLD)
    pages = {case.id: " ".join((case.source, case.tolerance, case.left_out)) for case in CASES}
    assert [key for key, words in TOLD.items() if words not in pages[key[0]]] == []


def _numbers(value: Any) -> Iterator[float]:
    if isinstance(value, dict | list):
        for each in value.values() if isinstance(value, dict) else value:
            yield from _numbers(each)
    elif isinstance(value, int | float) and not isinstance(value, bool):
        yield float(value)


def _stands(number: float, tolerance: str, found: list[float]) -> bool:
    try:
        near = float(tolerance)
    except ValueError:
        near = 0.0
    return any(
        math.isclose(number * unit, each, rel_tol=2e-6, abs_tol=near * abs(unit)) for unit in UNITS for each in found
    )


def _numbers_by_case() -> Iterator[tuple[str, list[float]]]:
    for path in Path(shopsim.published.__path__[0]).glob("*.py"):
        nodes = list(ast.walk(ast.parse(path.read_text(encoding="utf-8"))))
        numbers = [number for node in nodes for number in _stated(node)]
        for node in nodes:
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "Case":
                assert isinstance(node.args[0], ast.Constant)
                yield str(node.args[0].value), numbers


def _stated(node: ast.AST) -> Iterator[float]:
    """The number that a piece of source stands for, a fraction too, and those within a text."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        written = re.findall(r"\d[\d,]*\d(?:\.\d+)?|\d(?:\.\d+)?", node.value)
        yield from (float(each.replace(",", "")) for each in written)
    elif isinstance(node, ast.Constant | ast.UnaryOp | ast.BinOp):
        value = _worked_out(node)
        if value is not None:
            yield value


def _worked_out(node: ast.AST) -> float | None:
    match node:
        case ast.Constant(value=int() | float() as value):
            return float(value)
        case ast.UnaryOp(op=ast.USub(), operand=operand):
            value = _worked_out(operand)
            return None if value is None else -value
        case ast.BinOp(left=left, op=op, right=right) if type(op) in _ARITHMETIC:
            one, other = _worked_out(left), _worked_out(right)
            return None if one is None or other is None else _ARITHMETIC[type(op)](one, other)
    return None


_ARITHMETIC = {
    ast.Add: lambda a, b: a + b,
    ast.Sub: lambda a, b: a - b,
    ast.Mult: lambda a, b: a * b,
    ast.Div: lambda a, b: a / b if b else math.nan,
    ast.Pow: lambda a, b: a**b if abs(b) < 100 else math.nan,
}
