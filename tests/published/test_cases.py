"""Every case of `shopsim verify`, in its quick run and, with `-m long`, in its full one: stated values beside found."""

from __future__ import annotations

import pytest

from shopsim.published.case import Case
from shopsim.published.cases import CASES, judged


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_case_is_found_as_published(case: Case, record_property) -> None:
    _is_found(case, False, record_property)


@pytest.mark.long
@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_case_is_found_in_its_full_run(case: Case, record_property) -> None:
    _is_found(case, True, record_property)


def _is_found(case: Case, full: bool, record_property) -> None:
    found = judged(case, full)
    assert found
    for finding in found:
        record_property("published", (case.id, finding.what, finding.expected, finding.found, finding.errors_apart))
    assert [finding for finding in found if not finding.within] == []


def test_quick_runs_take_a_minute_on_two_cores() -> None:
    """By `case.seconds` of one core, as measured; the longest begin first, so that two cores share them evenly."""
    assert sum(case.seconds for case in CASES) <= 110
    assert max(case.seconds for case in CASES) <= 8
