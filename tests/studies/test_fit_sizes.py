"""Sizes from order lines: a range found again, a list as often as seen, rare ones grouped."""

from __future__ import annotations

import numpy as np
import pytest

from shopsim.distributions import Gamma, LogNormal
from shopsim.shop.products import Product
from shopsim.studies.fit_found import Findings
from shopsim.studies.fit_history import Line
from shopsim.studies.fit_sizes import MOST_GROUPS, MOST_LISTED, fit_sizes
from tests.evidence.slices import at_least

AREA, RATIO = LogNormal(2.0, 5.0), Gamma(1.4, 0.4)


def product(**sizes: object) -> Product:
    return Product.model_validate({"id": "frame", "route": [{"op": "rest", "minutes": 1.0}], **sizes})


def lines(sides: list[tuple[float, float]]) -> list[Line]:
    return [Line("frame", 1, w, h) for w, h in sides]


def sizes_of(found: Findings) -> list[tuple[float, float, float]]:
    (one,) = found.fitted
    return [(each["width_m"], each["height_m"], each["share"]) for each in one.value]


def test_a_range_lies_in_its_intervals_as_often_as_told() -> None:
    ranged = product(size_range={"area_m2": 3.0, "width_over_height": 1.0})
    inside, studies = {"area_m2": 0, "width_over_height": 0}, 60
    for seed in range(studies):
        rng = np.random.default_rng(seed)
        areas, ratios = AREA.sample(rng, 150), RATIO.sample(rng, 150)
        sides = [(float(np.sqrt(a * r)), float(np.sqrt(a / r))) for a, r in zip(areas, ratios, strict=True)]
        for one in fit_sizes(ranged, lines(sides), 95).fitted:
            name = one.path.rsplit(".", 1)[1]
            true = AREA.mean if name == "area_m2" else RATIO.mean
            inside[name] += one.estimate.low <= true <= one.estimate.high
    # Means of skewed values cost about two points.
    assert all(hits >= at_least(0.93, studies) for hits in inside.values()), inside


def test_a_list_is_as_often_as_seen_and_near_ones_are_the_file_s() -> None:
    listed = product(sizes=[{"width_m": 2.0, "height_m": 1.0}, {"width_m": 9.0, "height_m": 1.0}])
    found = fit_sizes(listed, lines([(2.0, 1.0)] * 12 + [(2.004, 1.0)] * 3 + [(3.0, 1.0)] * 4 + [(5.0, 2.0)]), 95)
    assert sizes_of(found) == [(2.0, 1.0, 75.0), (3.0, 1.0, 20.0), (5.0, 2.0, 5.0)]
    assert found.left == []
    # What the file has already is no news, another single size is.
    single = product(sizes=[{"width_m": 2.0, "height_m": 1.0}])
    assert fit_sizes(single, lines([(2.0, 1.0)] * 20), 95) == Findings()
    assert sizes_of(fit_sizes(single, lines([(3.0, 1.0)] * 20), 95)) == [(3.0, 1.0, 100.0)]


def test_rare_sizes_are_grouped_without_moving_area_or_perimeter() -> None:
    rng = np.random.default_rng(5)
    often = [(2.0, 1.0)] * 50
    # Every one its own centimetre, high ones among wide ones.
    odd = [(round(1 + 0.01 * i, 2), round(float(rng.uniform(0.3, 4)), 2)) for i in range(300)]
    found = fit_sizes(product(), lines(often + odd), 95)
    made = sizes_of(found)
    assert len(made) == MOST_LISTED + MOST_GROUPS
    (told,) = found.left
    assert told == "sizes of frame: 241 of 350 lines in 241 rare sizes stand as 20 of the same mean area and perimeter"
    for of in (lambda w, h: w * h, lambda w, h: w + h):
        mean = sum(share * of(w, h) for w, h, share in made) / sum(share for _, _, share in made)
        assert mean == pytest.approx(np.mean([of(w, h) for w, h in often + odd]), rel=1e-3)
    wide = sum(share for w, h, share in made if w >= h)
    assert wide == pytest.approx(100 * np.mean([w >= h for w, h in often + odd]), abs=0.1)


def test_sizes_are_not_made_of_nothing() -> None:
    assert fit_sizes(product(), [Line("frame", 1, None, None)] * 30, 95) == Findings()
    few = fit_sizes(product(sizes=[{"width_m": 2.0, "height_m": 1.0}] * 2), lines([(2.0, 1.0)] * 5), 95)
    assert few.left == ["sizes of frame: 5 lines with a size, too few"]
