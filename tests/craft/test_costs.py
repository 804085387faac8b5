"""Sewing bought in against handbook row CST-11."""

import pytest

from shopsim.craft import costs


def test_bought_sewing():
    assert costs.bought_sewing_cu(11.0, 1) == pytest.approx(11 * 2.2 + 2.5)  # CST-11
