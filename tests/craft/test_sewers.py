"""People at the machines against handbook section 6.3 and check G-04."""

import pytest

from shopsim.craft import sewers


@pytest.mark.parametrize(
    ("side_m", "area_m2", "two"), [(5.0, 10.0, False), (5.1, 4.0, True), (4.0, 10.5, True), (3.0, 7.5, False)]
)
def test_second_person(side_m, area_m2, two):
    assert sewers.needs_second_person(side_m, area_m2) is two  # SEW-41


def test_two_people_take_85_percent_of_the_time():
    assert sewers.two_person_factor() == pytest.approx(0.85)  # SEW-41
    assert sewers.two_person_factor(1.0) == 0.5
    assert sewers.two_person_factor(2.0) == 1.0


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


@pytest.mark.parametrize(("quantity", "expected"), [(3, [3]), (8, [8]), (9, [5, 4]), (17, [6, 6, 5]), (24, [8, 8, 8])])
def test_bundles(quantity, expected):
    assert sewers.bundles(quantity) == expected  # SEW-42


def test_bundles_of_one():
    assert sewers.bundles(2, per_bundle=1) == [1, 1]


def test_sewers_needed():
    # 1500 standard min; 480 paid less 30 of breaks; 12 % away; efficiency and load limit 0.85.
    needed = sewers.sewers_needed(1500, 480, 30, 0.12)
    assert needed == pytest.approx(1500 / 450 / 0.88 / 0.85 / 0.85)
    assert needed == pytest.approx(5.243, abs=1e-3)
    assert sewers.sewers_needed(1, 30.5, 30, 0, efficiency_share=1, load_limit_share=1) == pytest.approx(2.0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: sewers.two_person_factor(2.5), "labour_factor must be from 1 to 2, found 2.5"),
        (lambda: sewers.learning_factor(0), "piece_number must be a whole number of at least 1, found 0"),
        (lambda: sewers.average_learning_factor(0), "pieces must be a whole number of at least 1, found 0"),
        (lambda: sewers.learning_factor(1, 1.2), "rate must be above 0 and at most 1, found 1.2"),
        (lambda: sewers.learning_factor(1, 0.8, "team"), "model must be one of unit, cumulative, found 'team'"),
        (lambda: sewers.skill_speed(5), "skill level must be 0, 1, 2, 3 or 4, found 5"),
        (
            lambda: sewers.skill_reject(0),
            "skill level 0 does not do the work and has no reject factor, allowed are 1 to 4",
        ),
        (lambda: sewers.bundles(0), "quantity must be a whole number of at least 1, found 0"),
        (lambda: sewers.sewers_needed(100, 30, 30, 0.1), "break_min must be below the paid 30 min, found 30"),
        (lambda: sewers.sewers_needed(100, 480, 30, 1.0), "absent_share must be from 0 to below 1, found 1.0"),
    ],
)
def test_impossible_numbers_are_refused(call, message):
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message
