"""Orders of work: what is refused, ties, and empty lists; published instances are in `tests/published`."""

import pytest

from shopsim.craft.sequencing import fewest_late, insertion_order, johnson_order, longest_first, makespan_min


@pytest.mark.parametrize("rule", [johnson_order, insertion_order])
def test_jobs_need_a_number_for_each_place(rule):
    with pytest.raises(ValueError) as caught:
        rule([(1, 2), (1, 2, 3)])
    assert str(caught.value) == "each job needs 2 minutes, one for each place, found 3"
    with pytest.raises(ValueError) as caught:
        rule([(1, -2)])
    assert str(caught.value) == "minutes must be at least 0, found -2"


def test_johnson_is_for_two_places():
    with pytest.raises(ValueError) as caught:
        johnson_order([(1, 2, 3)])
    assert str(caught.value) == "minutes must hold two numbers a job: one for each place"


def test_other_impossible_numbers_are_refused():
    with pytest.raises(ValueError) as caught:
        longest_first([1.0], 0)
    assert str(caught.value) == "machines must be a whole number of at least 1, found 0"
    with pytest.raises(ValueError) as caught:
        fewest_late([-1.0], [5.0])
    assert str(caught.value) == "work_min must be at least 0, found -1.0"


def test_equal_jobs_keep_their_order():
    assert johnson_order([(2, 2), (2, 2), (2, 2)]) == [0, 1, 2]
    assert longest_first([3, 3, 3], 2) == [[0, 2], [1]]
    assert fewest_late([1, 1, 1], [3, 3, 3]).order == [0, 1, 2]


def test_nothing_to_do():
    assert johnson_order([]) == insertion_order([]) == []
    assert makespan_min([], []) == 0.0
    assert fewest_late([], []) == ([], [])
