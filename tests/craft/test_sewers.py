"""People at the machines against handbook section 6.3 and check G-04."""

import pytest

from shopsim.craft import sewers


@pytest.mark.parametrize(
    ("side_m", "area_m2", "two"), [(5.0, 10.0, False), (5.1, 4.0, True), (4.0, 10.5, True), (3.0, 7.5, False)]
)
def test_second_person(side_m, area_m2, two):
    assert sewers.needs_second_person(side_m, area_m2) is two  # SEW-41


@pytest.mark.parametrize(
    ("piece", "factor"),
    [(1, 1.0), (2, 0.8), (3, 0.702103702779), (5, 0.595637343613), (10, 0.47650987489), (20, 0.381207899912)],
)
def test_unit_learning(piece, factor):
    assert sewers.learning_factor(piece, 0.8) == pytest.approx(factor, abs=1e-9)  # G-04


@pytest.mark.parametrize(
    ("rate", "pieces", "total"),
    [
        (0.8, 5, 3.73774104639),
        (0.8, 10, 6.31537301762),
        (0.8, 20, 10.484942826),
        (0.7, 10, 4.93177107448),
        (0.85, 10, 7.11606272668),
        (0.9, 10, 7.99447855044),
    ],
)
def test_unit_learning_totals(rate, pieces, total):
    assert pieces * sewers.average_learning_factor(pieces, rate) == pytest.approx(total, abs=1e-8)  # G-04


def test_cumulative_learning_is_another_model():
    assert 10 * sewers.average_learning_factor(10, 0.8, "cumulative") == pytest.approx(4.7650987489, abs=1e-9)
    assert sewers.learning_factor(10, 0.8, "cumulative") == pytest.approx(0.328552263804, abs=1e-9)
    assert sewers.learning_factor(1, 0.8, "cumulative") == 1.0
    assert sewers.average_learning_factor(1, 0.8) == 1.0


def test_skill_levels():
    assert [sewers.skill_speed(level) for level in range(5)] == [0, 0.5, 0.75, 1.0, 1.1]  # SEW-38
    assert [sewers.skill_reject(level) for level in range(1, 5)] == [3, 1.5, 1, 0.7]


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: sewers.learning_factor(0), "piece_number must be a whole number of at least 1, found 0"),
        (lambda: sewers.average_learning_factor(0), "pieces must be a whole number of at least 1, found 0"),
        (lambda: sewers.learning_factor(1, 1.2), "rate must be above 0 and at most 1, found 1.2"),
        (lambda: sewers.learning_factor(1, 0.8, "team"), "model must be one of unit, cumulative, found 'team'"),
        (lambda: sewers.skill_speed(5), "skill level must be 0, 1, 2, 3 or 4, found 5"),
        (
            lambda: sewers.skill_reject(0),
            "skill level 0 does not do the work and has no reject factor, allowed are 1 to 4",
        ),
    ],
)
def test_impossible_numbers_are_refused(call, message):
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message
