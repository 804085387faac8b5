"""How a value and its tolerance are printed by `shopsim verify`, and that a page fits into 80 columns."""

import io
import math

import pytest
from rich.console import Console

from shopsim.published.case import Case, Finding
from shopsim.published.cases import CASES, SKIPPED
from shopsim.terminal.verify_page import print_verify


def page(*found: Finding, width: int = 80) -> list[list[str]]:
    """The cells of the table of one case, row by row."""
    case = Case("T-01", "Title", "Source", "tolerance", lambda _full: found)
    out = io.StringIO()
    print_verify(Console(file=out, width=width, highlight=False), [(case, found)], [], False, each_value=True)
    lines = out.getvalue().splitlines()
    return [line.split() for line in lines[4 : lines.index("Source: Source. Tolerance: Tolerance.")]]


@pytest.mark.parametrize(
    ("finding", "row"),
    [
        (Finding("w", 172_872, 172_872.0, 172.872), ["w", "172872", "±173", "172872", "yes"]),
        (Finding("w", 12_345_678.0, 12_345_678.5, 1.0), ["w", "12345678", "±1", "12345678.5", "yes"]),
        (Finding("w", 2 / 3, 2 / 3, 1e-9), ["w", "0.666667", "±1e-09", "0.666667", "yes"]),
        # Six digits would show two numbers as different that are within what is allowed.
        (Finding("w", 64.07335, 64.073349, 1e-5), ["w", "64.07335", "±1e-05", "64.073349", "yes"]),
        (Finding("w", 3, 3), ["w", "3", "equal", "3", "yes"]),
        (Finding("w", 3.0, math.nan, 1.0), ["w", "3", "±1", "-", "NO"]),
        (Finding("w", "A", "B", 1.0), ["w", "A", "B", "NO"]),
        (Finding("w", 1, 1.25, 0.5, 0.25, 0.5, 0.4), ["w", "1", "±0.5,", "too", "wide", "1.25", "+1.0", "NO"]),
    ],
)
def test_a_value_with_its_tolerance(finding: Finding, row: list[str]) -> None:
    assert page(finding) == [row]


def test_the_list_has_a_line_a_case_and_fits_into_80_columns() -> None:
    found = [(case, [Finding("w", 1.0, 1.5, 2.0)] * 11) for case in CASES]
    out = io.StringIO()
    print_verify(Console(file=out, width=80, highlight=False), found, SKIPPED, False, each_value=False)
    lines = [line.rstrip() for line in out.getvalue().splitlines()]
    assert max(len(line) for line in lines) <= 80
    assert lines[2] == "case  what                            source               values  worst  within"
    listed = [line[:4] for line in lines[4 : 4 + len(CASES) + len(SKIPPED)]]
    assert listed == sorted([case.id for case in CASES] + [each.id for each in SKIPPED])
    assert lines[4] == "A-01  M/M/1: one server, county hos…  Hillier & Lieberman      11   25 %     yes"


def test_a_difference_where_nothing_is_allowed_is_infinitely_bad() -> None:
    case = Case("T-01", "Title", "Source", "none", lambda _full: ())
    out = io.StringIO()
    found = [(case, [Finding("jobs", 3, 4), Finding("days", 2.0, 2.5, 1.0)])]
    print_verify(Console(file=out, width=80, highlight=False), found, [], False, each_value=False)
    assert out.getvalue().splitlines()[4].split() == ["T-01", "Title", "Source", "2", "∞", "%", "NO"]
