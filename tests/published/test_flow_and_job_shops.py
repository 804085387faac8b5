"""Flow shops on the floor beyond the published schedules (`shopsim.published.flow_and_job_shops`): every order of some
jobs takes on the floor what the recursion says, and Johnson's rule is the best of all orders. Whole minutes: exact."""

from __future__ import annotations

from itertools import permutations

import pytest

from shopsim.craft.sequencing import johnson_order, makespan_min
from shopsim.published.flow_and_job_shops import JOHNSON, TEXTBOOK
from shopsim.published.scheduled import flow_shop


def test_the_floor_and_the_recursion_agree_on_every_order() -> None:
    for order in permutations(range(4)):
        assert flow_shop(JOHNSON[:4], order) == makespan_min(order, JOHNSON[:4])


@pytest.mark.parametrize("minutes", [JOHNSON, TEXTBOOK])
def test_no_order_is_shorter_than_johnsons(minutes: list[tuple[int, int]]) -> None:
    least = min(makespan_min(order, minutes) for order in permutations(range(5)))
    assert makespan_min(johnson_order(minutes), minutes) == least
