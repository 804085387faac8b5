"""Every case of `shopsim verify` in its quick run: each stated value beside the one found."""

from __future__ import annotations

import pytest

from shopsim.published.case import Case
from shopsim.published.cases import CASES, SKIPPED


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.id)
def test_case_is_found_as_published(case: Case, record_property) -> None:
    found = list(case.find(False))
    assert found
    for finding in found:
        record_property("published", (case.id, finding.what, finding.expected, finding.found, finding.errors_apart))
    assert [finding for finding in found if not finding.within] == []


def test_ids_are_given_once() -> None:
    ids = [case.id for case in (*CASES, *SKIPPED)]
    assert len(ids) == len(set(ids))
