"""Inputs as ranges: quantiles by hand, whole numbers, Latin hypercubes."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from shopsim.studies.input_ranges import Range, latin_hypercube

SHARES = (0.0, 0.1, 0.3, 0.5, 0.9, 1.0)


def test_quantiles_are_those_of_the_shapes() -> None:
    assert [Range("x", 2, 4).at(share) for share in SHARES] == pytest.approx(stats.uniform(2, 2).ppf(SHARES))
    peaked = Range("x", 2, 7, "triangular", 3)
    assert [peaked.at(share) for share in SHARES] == pytest.approx(stats.triang(0.2, 2, 5).ppf(SHARES))
    middle = Range("x", 2, 4, "triangular")
    assert [middle.at(share) for share in SHARES] == pytest.approx(stats.triang(0.5, 2, 2).ppf(SHARES))
    for likely, at in ((2.0, 0.0), (4.0, 1.0)):
        edge = Range("x", 2, 4, "triangular", likely)
        assert [edge.at(share) for share in SHARES] == pytest.approx(stats.triang(at, 2, 2).ppf(SHARES))


def test_whole_numbers_share_the_range_alike() -> None:
    found = [Range("x", 2, 5, whole=True).at(share) for share in (0.0, 0.24, 0.26, 0.49, 0.51, 0.74, 0.76, 1.0)]
    assert found == [2, 2, 3, 3, 4, 4, 5, 5]
    counts = np.bincount([int(Range("x", 1, 3, "triangular", whole=True).at(s)) for s in np.linspace(0, 1, 3001)])
    # A triangle over 0.5 to 3.5: (1 / 1.5)^2 / 2 = 2/9 of it below 1.5.
    assert counts[1:] / 3001 == pytest.approx([2 / 9, 5 / 9, 2 / 9], abs=0.001)


def test_a_latin_hypercube_visits_every_slice_of_every_range_once() -> None:
    values = np.array(latin_hypercube([Range("a", 0, 10), Range("b", 20, 40)], 10, 3))
    assert sorted(values[:, 0].astype(int)) == list(range(10))
    assert sorted(((values[:, 1] - 20) / 2).astype(int)) == list(range(10))
    assert latin_hypercube([Range("a", 0, 10)], 3, 3) == latin_hypercube([Range("a", 0, 10)], 3, 3)
    assert latin_hypercube([], 2, 1) == [(), ()]


@pytest.mark.parametrize(("arguments", "message"), [
    ((2, 2), "x must have a low below its high, found 2 and 2"),
    ((0, float("inf")), "x must have a low below its high, found 0 and inf"),
    ((0, 1, "triangular", 1.5), "x: likely must be from 0 to 1, found 1.5"),
])  # fmt: skip
def test_impossible_ranges_are_refused(arguments: tuple[float, ...], message: str) -> None:
    with pytest.raises(ValueError, match=message):
        Range("x", *arguments)  # type: ignore[arg-type]
