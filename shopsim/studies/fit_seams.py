"""Minutes a bundle, metre, corner and piece of each way of sewing, so that a shop sees where its own seams differ.

Minutes on the clock are a set-up for the bundle and so much a metre, corner and piece, by robust least squares; errors
in proportion to the minutes the line itself expects, never to those observed: what was sewn fast would then count for
more and pull everything down. Only told: a scenario's sewing step takes its minutes from the handbook's rows, or has
`minutes` a piece, whatever the size.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from shopsim.craft.sewing import EDGES
from shopsim.shop.work_centres import WorkCentre
from shopsim.studies.fit_estimates import Line, robust_line
from shopsim.studies.fit_found import Findings, Fitted

LEAST_BUNDLES = 20
_ROUNDS = 6
# No bundle counts for more than one of so small a share of the usual minutes.
_LEAST_SHARE = 0.1


@dataclass(slots=True)
class Bundle:
    """One bundle at one place, whatever stretches it was worked on in; `standard_min` None where it is not known."""

    minutes: float
    pieces: int
    persons: tuple[str, ...]
    standard_min: float | None
    metres: float | None
    corners: int | None
    edge: str | None


def fit_seams(bundles: Sequence[Bundle], centre: WorkCentre, confidence_pct: float) -> Findings:
    """What each edge takes at a place, told beside the minutes that the scenario counts at full pace."""
    found = Findings()
    by_edge: dict[str, list[Bundle]] = {}
    for bundle in bundles:
        if bundle.edge and bundle.metres and bundle.corners is not None:
            by_edge.setdefault(bundle.edge, []).append(bundle)
    for edge, listed in by_edge.items():
        about = f"minutes a metre and piece at {centre.id}, {edge}"
        if len(listed) < LEAST_BUNDLES:
            found.left.append(f"{about}: {len(listed)} bundles, too few")
            continue
        columns, parts = _columns(listed, edge)
        minutes = np.array([bundle.minutes for bundle in listed])
        try:
            line = _line(columns, minutes)
        except ValueError:
            found.left.append(f"{about}: bundles are too much alike to tell them apart")
            continue
        for i, (part, basic) in enumerate(parts):
            how = "robust least squares, minutes on the clock"
            if basic is not None:
                counted = basic * (1 + centre.allowance_pct / 100)
                how += f"; the file counts {counted:.3g} at full pace and has no place for others"
            name = f"minutes a {part} at {centre.id}, {edge}"
            found.fitted.append(Fitted("", None, name, line.estimate(i, confidence_pct), "bundles", how))
    return found


def _columns(bundles: Sequence[Bundle], edge: str) -> tuple[NDArray[np.float64], list[tuple[str, float | None]]]:
    """What minutes follow from, and what each is called with the handbook's basic minutes for it (none of a set-up)."""
    times = EDGES[edge]
    columns = np.array([[1, b.metres, b.corners, b.pieces] for b in bundles], dtype=float)
    parts: list[tuple[str, float | None]] = [
        ("bundle, its set-up,", None), ("metre", times.min_per_m), ("corner", times.min_per_corner),
        ("piece", times.min_per_piece),
    ]  # fmt: skip
    if np.linalg.matrix_rank(columns) == 4:
        return columns, parts
    # Four corners a piece, always: what belongs to a corner cannot be told from what belongs to a piece.
    whole = times.min_per_piece + 4 * times.min_per_corner
    return columns[:, [0, 1, 3]], [parts[0], parts[1], ("piece and its corners", whole)]


def _line(columns: NDArray[np.float64], minutes: NDArray[np.float64]) -> Line:
    """The line whose errors are in proportion to what it expects. Raises ValueError for columns that hang together."""
    expected = columns[:, -1] * (minutes.sum() / columns[:, -1].sum())
    for _ in range(_ROUNDS):
        line = robust_line(columns, minutes, expected)
        expected = np.maximum(columns @ np.array(line.coefficients), _LEAST_SHARE * float(np.median(minutes)))
    return line
