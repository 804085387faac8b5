"""A report of each demo is what it was: sentences, numbers, inputs, flow, sections."""

from __future__ import annotations

import pytest

from tests.report.demos import DIGESTS, NAMES, small_report
from tests.report.digest import digest


@pytest.mark.parametrize("name", NAMES)
def test_a_report_of_each_demo_is_what_it_was(name: str) -> None:
    assert digest(small_report(name)) == (DIGESTS / f"{name}.txt").read_text(encoding="utf-8")
