"""Sizes of a product from order lines: as often as seen, rare ones in groups of the same mean area and perimeter."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence

from shopsim.shop.products import Product
from shopsim.studies.fit_estimates import share_of
from shopsim.studies.fit_found import (
    LEAST_FOR_SHAPE,
    Findings,
    Fitted,
    as_written,
    doubt_of_times,
    fitted_times,
    short,
)
from shopsim.studies.fit_history import Line
from shopsim.studies.fit_samples import Sample

# So many sizes stand in the list as they are; of more, the rest makes up so many groups.
MOST_LISTED, MOST_GROUPS = 60, 20
_SAME_SIZE_M = 0.006
_Sides = tuple[float, float]


def fit_sizes(product: Product, lines: Sequence[Line], confidence_pct: float) -> Findings:
    """The size range where the product has one, else its list of sizes, made from the lines where it has none."""
    sides = [(line.width_m, line.height_m) for line in lines if line.width_m and line.height_m]
    bare = not (product.sizes or product.size_range)
    if not sides or (len(sides) < LEAST_FOR_SHAPE and not bare):
        few = f"sizes of {product.id}: {len(sides)} lines with a size, too few"
        return Findings([], [few] if product.size_range or len(product.sizes) > 1 else [])
    if product.size_range is not None:
        return _range(product, sides, confidence_pct)
    return _list(product, sides, confidence_pct)


def _range(product: Product, sides: Sequence[_Sides], confidence_pct: float) -> Findings:
    found = Findings()
    of = {"area_m2": [w * h for w, h in sides], "width_over_height": [w / h for w, h in sides]}
    for (key, values), unit in zip(of.items(), ("m²", "times as wide as high"), strict=True):
        times = fitted_times(values, confidence_pct)
        assert times is not None  # there are enough
        path = f"products.{product.id}.size_range.{key}"
        found.fitted.append(Fitted(path, as_written(times.distribution), f"mean {key} of {product.id}", times.mean,
                                   "lines", times.how, doubt_of_times(path, times.distribution, times.mean),
                                   Sample(times.distribution, tuple(values), unit)))  # fmt: skip
    return found


def _list(product: Product, sides: Sequence[_Sides], confidence_pct: float) -> Findings:
    seen = _counted(product, sides)
    if len(seen) == 1 and list(seen) == [(size.width_m, size.height_m) for size in product.sizes]:
        return Findings()
    ranked = seen.most_common()
    listed, rare = ranked[:MOST_LISTED], ranked[MOST_LISTED:]
    groups = _grouped(rare)
    found = Findings()
    if rare:
        count = sum(n for _, n in rare)
        found.left.append(f"sizes of {product.id}: {count} of {len(sides)} lines in {len(rare)} rare sizes stand as "
                          f"{len(groups)} of the same mean area and perimeter")  # fmt: skip
    value = [
        {"width_m": short(w), "height_m": short(h), "share": short(100 * n / len(sides))}
        for (w, h), n in [*listed, *groups]
    ]
    (top, count) = ranked[0]
    share = share_of(count, len(sides), confidence_pct).scaled(100)
    about = f"share of {top[0]:g} m x {top[1]:g} m among {product.id}, %"
    found.fitted.append(Fitted(f"products.{product.id}.sizes", value, about, share, "lines", "as often as seen"))
    return found


def _counted(product: Product, sides: Sequence[_Sides]) -> Counter[_Sides]:
    """How often each size was ordered; what is within millimetres of one in the product's list is that."""
    known = [(size.width_m, size.height_m) for size in product.sizes]
    near = {each: next((size for size in known if math.dist(size, each) < _SAME_SIZE_M), None) for each in set(sides)}
    return Counter(near[each] or (round(each[0], 2), round(each[1], 2)) for each in sides)


def _grouped(rare: Sequence[tuple[_Sides, int]]) -> list[tuple[_Sides, int]]:
    """Neighbours by area, wide and high ones apart, as one size each."""
    groups: list[tuple[_Sides, int]] = []
    for wide in (True, False):
        alike = sorted(
            (each for each in rare if (each[0][0] >= each[0][1]) is wide), key=lambda each: math.prod(each[0])
        )
        share = max(bool(alike), round(len(alike) * MOST_GROUPS / max(1, len(rare))))
        for begin in range(share):
            group = alike[begin * len(alike) // share : (begin + 1) * len(alike) // share]
            if group:
                groups.append((_one_for(group, wide), sum(n for _, n in group)))
    return groups


def _one_for(group: Sequence[tuple[_Sides, int]], wide: bool) -> _Sides:
    """The rectangle of a group's mean area and mean perimeter; the square where none is so compact."""
    n = sum(count for _, count in group)
    area = sum(w * h * count for (w, h), count in group) / n
    half = sum((w + h) / 2 * count for (w, h), count in group) / n
    off = math.sqrt(max(0.0, half**2 - area))
    longer = half + off if off else math.sqrt(area)
    return (longer, area / longer) if wide else (area / longer, longer)
