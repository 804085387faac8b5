"""The test function of T. Ishigami and T. Homma, "An importance quantification technique in uncertainty analysis for
computer models", Proceedings of the First International Symposium on Uncertainty Modeling and Analysis, 1990."""

from __future__ import annotations

import math

import numpy as np


def ishigami(points: np.ndarray) -> np.ndarray:
    """sin x1 + 7 sin^2 x2 + 0.1 x3^4 sin x1 at points of the unit cube, a row each; each x is from -pi to pi."""
    x1, x2, x3 = (points.T - 0.5) * 2 * math.pi
    return np.sin(x1) + 7 * np.sin(x2) ** 2 + 0.1 * x3**4 * np.sin(x1)
