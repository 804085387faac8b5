"""How a value and its tolerance are printed by `shopsim verify`, and that a page fits into 80 columns."""

import io
import math
import re
from collections.abc import Sequence

import pytest
from rich.console import Console

from shopsim.published.case import Case, Finding, Path, Skipped
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
        (Finding("w", 9.0, math.nan, 1.0), ["w", "9", "±1", "-", "NO"]),
        (Finding("w", "A", "B", 1.0), ["w", "A", "B", "NO"]),
        (Finding("w", 1, 1.25, 0.5, 0.25, 0.5, 0.4), ["w", "1", "±0.5,", "too", "wide", "~", "1.25", "+1.0", "NO"]),
        # More than 15 % is marked.
        (Finding("w", 2.0, 2.1, 0.3), ["w", "2", "±0.3", "2.1", "yes"]),
        (Finding("w", 2.0, 2.1, 0.31), ["w", "2", "±0.31", "~", "2.1", "yes"]),
        # More than promised is as welcome: no errors apart.
        (Finding("w", 0.9, 0.96, 0.02, 0.01, at_least=True), ["w", "≥", "0.9", "−0.02", "0.96", "yes"]),
        (Finding("w", 0.9, 0.87, 0.02, 0.01, at_least=True), ["w", "≥", "0.9", "−0.02", "0.87", "NO"]),
    ],
)
def test_a_value_with_its_tolerance(finding: Finding, row: list[str]) -> None:
    assert page(finding) == [row]


def told(found: list[tuple[Case, list[Finding]]], skipped: Sequence[Skipped] = (), width: int = 80) -> list[str]:
    out = io.StringIO()
    print_verify(Console(file=out, width=width, highlight=False), found, skipped, False, each_value=False)
    return [line.rstrip() for line in out.getvalue().splitlines()]


def test_the_list_has_a_row_a_case_and_fits_into_80_columns() -> None:
    lines = told([(case, [Finding("w", 1.0, 1.5, 2.0)] * 11) for case in CASES], SKIPPED)
    assert max(len(line) for line in lines) <= 80
    ids = [line[:4] for line in lines if re.match(r"[A-Z]-\d\d  ", line)]
    assert len(ids) == len(CASES) + len(SKIPPED)
    assert set(ids) == {each.id for each in (*CASES, *SKIPPED)}


def test_a_row_shows_the_value_furthest_off_with_its_source_and_year() -> None:
    case = Case("T-01", "Waits", "S. M. Weaver, A. B. Spinner, Cloth Quarterly 2 (1900) 61-68: 1 (1800)", "none", tuple,
                path="floor")  # fmt: skip
    values = [Finding("mean wait, h", 2.0, 2.1, 0.3), Finding("share that waits", 0.5, 0.6, 0.2), Finding("d", 3, 3)]
    lines = told([(case, values)], width=120)
    assert lines[1] == "Published values found on the simulation engine"
    assert lines[2].split() == ["case", "value", "furthest", "off", "source", "expected", "found", "within"]
    assert re.split(r" {2,}", lines[4]) == ["T-01", "Waits: share that waits", "Weaver 1900", "0.5 ~", "0.6", "yes"]


def test_cases_stand_together_by_what_finds_them_and_the_verdict_counts_each_way() -> None:
    paths: tuple[Path, ...] = ("library", "commands", "floor", "floor")
    cases = [Case(f"T-0{i}", "Cloth", "Source", "none", tuple, path=path) for i, path in enumerate(paths)]
    lines = told([(case, [Finding("m", 1, 1), Finding("m, as printed", 1, 1, again=True)]) for case in cases])
    titles = [line for line in lines if line.startswith("Published values")]
    assert titles == [
        "Published values found on the simulation engine",
        "Published values found by other code that the commands use",
        "Published values found also by functions that no command uses yet",
    ]
    assert [line[:4] for line in lines if line.startswith("T-")] == ["T-02", "T-03", "T-01", "T-00"]
    assert " ".join(lines[-4:]).endswith(
        "All 4 values of 4 cases are found as published or derived (quick runs; `--full` makes them long): 2 values of "
        "2 cases on the simulation engine, 1 value of 1 case by other code that the commands use, 1 value of 1 case "
        "also by functions that no command uses yet."
    )


def test_a_difference_where_nothing_is_allowed_is_furthest_off() -> None:
    case = Case("T-01", "Title", "Source", "none", tuple)
    lines = told([(case, [Finding("days", 2.0, 2.5, 1.0), Finding("jobs", 3, 4)])])
    assert lines[4].split() == ["T-01", "Title:", "jobs", "Source", "3", "4", "NO"]
    long = told([(case, [Finding("order of jobs", "1 2 3 4 5 6", "1 2 3 4 6 5")])])
    assert re.split(r" {2,}", long[4])[-3:] == ["1 2 3 4 5…", "1 2 3 4 6…", "NO"]
