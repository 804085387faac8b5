"""Unit costs against the worked check of handbook section 11 and rows CST-11, CST-13."""

import pytest

from shopsim.craft import costs, sewing


def test_one_square_metre_of_display_knit():
    assert costs.fabric_cu_per_m2(4.0, 0.80) == pytest.approx(5.0)
    assert costs.ink_cu_per_m2(11, 55) == pytest.approx(0.6, abs=0.01)
    assert costs.energy_cu_per_m2(0.13, 0.20) == pytest.approx(0.03, abs=0.005)
    assert costs.machine_cu_per_m2(45, 90, 0.92, 0.50) == pytest.approx(1.1, abs=0.02)


@pytest.mark.parametrize(("width_m", "height_m", "per_m2"), [(3.0, 2.5, 0.7), (1.0, 1.0, 3.2)])
def test_sewing_cost_per_square_metre_falls_with_size(width_m, height_m, per_m2):
    edges = dict.fromkeys(("top", "right", "bottom", "left"), "silicone_hand")
    standard_min = sewing.standard_minutes(sewing.basic_minutes(width_m, height_m, edges))
    cost_cu = costs.labour_cu(standard_min, 0.85, 28)
    assert cost_cu / (width_m * height_m) == pytest.approx(per_m2, abs=0.05)


def test_the_frame_of_the_check_costs_five_to_sew():
    assert costs.labour_cu(9.1, 0.85, 28) == pytest.approx(5.0, abs=0.01)


def test_bought_sewing():
    assert costs.bought_sewing_cu(11.0, 1) == pytest.approx(11 * 2.2 + 2.5)  # CST-11


@pytest.mark.parametrize(
    ("days_late", "shares", "penalty_cu"),
    [
        (3, {"flat_share": 0.0}, 0.0),
        (3, {"flat_share": 0.15}, 150.0),
        (0, {"flat_share": 0.15}, 0.0),
        (3, {"flat_share": 0.0, "share_per_day": 0.01, "cap_share": 0.10}, 30.0),
        (30, {"flat_share": 0.0, "share_per_day": 0.01, "cap_share": 0.10}, 100.0),
        (1, {"flat_share": 1.0}, 1000.0),
    ],
)
def test_late_penalty(days_late, shares, penalty_cu):
    assert costs.late_penalty_cu(1000.0, days_late, **shares) == pytest.approx(penalty_cu)  # CST-13


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: costs.fabric_cu_per_m2(4.0, 0.0), "used_share must be above 0 and at most 1, found 0.0"),
        (
            lambda: costs.machine_cu_per_m2(45, 90, 0.92, 1.5),
            "printing_share must be above 0 and at most 1, found 1.5",
        ),
        (lambda: costs.labour_cu(9.1, 0.0, 28), "efficiency_share must be above 0, found 0.0"),
        (lambda: costs.late_penalty_cu(100.0, -1, 0.1), "days_late must be at least 0, found -1"),
    ],
)
def test_impossible_costs_are_refused(call, message):
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message
