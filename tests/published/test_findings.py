"""When a value found here agrees with the published one."""

import math

import pytest

from shopsim.published.case import Finding


@pytest.mark.parametrize(
    ("finding", "within"),
    [
        (Finding("hours", 4.0, 4.5, 0.5), True),
        (Finding("hours", 4.0, 4.5, 0.4375), False),
        (Finding("hours", 4.0, 3.5, 0.5), True),
        (Finding("hours", 4.0, math.nan, 0.5), False),
        # A mean over replications must also be known well enough, however near it lies.
        (Finding("hours", 4.0, 4.0, 0.5, error=0.1, half_width=0.25, widest=0.25), True),
        (Finding("hours", 4.0, 4.0, 0.5, error=0.1, half_width=0.26, widest=0.25), False),
        # More than promised is as welcome, less only as far as chance goes.
        (Finding("share kept", 0.9, 1.0, 0.0625, at_least=True), True),
        (Finding("share kept", 0.9, 0.85, 0.0625, at_least=True), True),
        (Finding("share kept", 0.9, 0.8, 0.0625, at_least=True), False),
        (Finding("rule", "LAW-01", "LAW-01"), True),
        (Finding("rule", "LAW-01", "LAW-03", 9.0), False),
    ],
)
def test_what_is_found_agrees_or_not(finding: Finding, within: bool) -> None:
    assert finding.within is within


def test_distance_in_standard_errors() -> None:
    assert Finding("hours", 4.0, 4.5, 0.5, error=0.25).errors_apart == 2.0
    assert Finding("hours", 4.0, 4.5, 0.5).errors_apart is None
