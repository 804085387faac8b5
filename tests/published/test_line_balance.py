"""Sewing lines that cannot be balanced; published lines stand in `shopsim.published.sewing_lines`."""

from __future__ import annotations

import pytest

from shopsim.craft.line_balance import balance_line


@pytest.mark.parametrize(
    ("minutes", "before", "message"),
    [
        ([13.0], [], "step_min must be at most the cycle of 12 min, found 13.0"),
        ([1.0, 1.0], [(0, 1), (1, 0)], "before must not run in a circle"),
        ([1.0] * 21, [], "a line is balanced for at most 20 steps, found 21"),
    ],
)
def test_lines_that_cannot_be_balanced(minutes: list[float], before: list[tuple[int, int]], message: str) -> None:
    with pytest.raises(ValueError) as caught:
        balance_line(minutes, before, 12)
    assert str(caught.value) == message
