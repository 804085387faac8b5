"""Print speed against the worked example of handbook section 2.1 and rows PRN-07, PRN-08."""

import pytest

from shopsim.craft import printing


def example_feed(width_m, passes=4, return_m_per_s=None):
    stroke_s = printing.stroke_time_s(width_m, 0.2, 1.2, 0.4, return_m_per_s)
    return printing.feed_m_per_h(printing.advance_m(0.108, passes), stroke_s)


def test_worked_example():
    assert printing.stroke_time_s(3.1, 0.2, 1.2, 0.4) == pytest.approx(3.3167, abs=1e-4)
    assert printing.advance_m(0.108, 4) == pytest.approx(0.027)
    assert example_feed(3.1) == pytest.approx(29.3, abs=0.05)
    assert example_feed(3.1) * 3.1 == pytest.approx(90.8, abs=0.06)
    assert example_feed(1.5) == pytest.approx(49, abs=0.5)
    assert example_feed(1.5) * 1.5 == pytest.approx(74, abs=0.5)


def test_halving_the_passes_doubles_the_feed():
    assert example_feed(3.1, passes=2) == pytest.approx(2 * example_feed(3.1))


def test_one_way_printing_takes_twice_the_time_if_the_return_is_as_fast():
    assert example_feed(3.1, return_m_per_s=1.2) == pytest.approx(example_feed(3.1) / 2)
    # PRN-07: a faster return brings the factor to between 1.6 and 2.
    assert 1.6 < example_feed(3.1) / example_feed(3.1, return_m_per_s=2.0) < 2


def test_feed_from_a_rate_agrees_with_physics_at_other_widths():
    rate = example_feed(3.1) * 3.1
    assert printing.feed_from_rate(rate, 3.1, 3.1) == pytest.approx(example_feed(3.1))
    assert printing.feed_from_rate(rate, 3.1, 1.5) == pytest.approx(example_feed(1.5), rel=0.002)
    assert printing.feed_from_rate(90.0, 3.2, 3.2) == pytest.approx(28.125, abs=1e-12)  # J-01 (a)


def test_without_a_fixed_share_the_area_rate_holds_at_any_width():
    assert printing.feed_from_rate(90.0, 3.0, 1.0, fixed_share_of_stroke=0.0) == pytest.approx(90.0)


def test_achieved_feed():
    assert printing.achieved_feed_m_per_h(30.0) == pytest.approx(27.6)  # PRN-08, against the formula
    assert printing.achieved_feed_m_per_h(40.0, 0.75) == pytest.approx(30.0)


@pytest.mark.parametrize(
    ("call", "message"),
    [
        (lambda: printing.stroke_time_s(0.0, 0.2, 1.2, 0.4), "image_width_m must be above 0, found 0.0"),
        (lambda: printing.stroke_time_s(3.1, -0.2, 1.2, 0.4), "overscan_m must be at least 0, found -0.2"),
        (lambda: printing.advance_m(0.108, 0), "passes must be a whole number of at least 1, found 0"),
        (lambda: printing.advance_m(0.108, 2.5), "passes must be a whole number of at least 1, found 2.5"),
        (
            lambda: printing.feed_from_rate(90, 3.1, 1.5, 1.0),
            "fixed_share_of_stroke must be from 0 to below 1, found 1.0",
        ),
        (
            lambda: printing.achieved_feed_m_per_h(30.0, 1.2),
            "achieved_share must be above 0 and at most 1, found 1.2",
        ),
        (lambda: printing.feed_m_per_h(0.027, float("inf")), "stroke_time_s must be above 0, found inf"),
    ],
)
def test_impossible_numbers_are_refused(call, message):
    with pytest.raises(ValueError) as caught:
        call()
    assert str(caught.value) == message
