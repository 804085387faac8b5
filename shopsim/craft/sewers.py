"""People at the sewing machines: second person, learning, skill (handbook section 6.3)."""

from math import log2
from typing import Literal

from shopsim.craft._limits import count, positive, share_above_zero

SIDE_LIMIT_M = 5.0  # SEW-41
AREA_LIMIT_M2 = 10.0  # SEW-41
LEARNING_RATE = 0.88  # SEW-34

# SEW-38, by level: 0 none, 1 trainee, 2 checked, 3 standard, 4 trainer.
SKILL_SPEED = (0.0, 0.5, 0.75, 1.0, 1.1)
SKILL_REJECT = (None, 3.0, 1.5, 1.0, 0.7)

LearningModel = Literal["unit", "cumulative"]


def needs_second_person(
    longest_side_m: float,
    area_m2: float,
    side_limit_m: float = SIDE_LIMIT_M,
    area_limit_m2: float = AREA_LIMIT_M2,
) -> bool:
    """Tell whether a piece is sewn by two: above the side or the area limit (SEW-41).

    Raises ValueError for an impossible number.
    """
    too_long = positive("longest_side_m", longest_side_m) > positive("side_limit_m", side_limit_m)
    too_large = positive("area_m2", area_m2) > positive("area_limit_m2", area_limit_m2)
    return too_long or too_large


def learning_factor(piece_number: int, rate: float = LEARNING_RATE, model: LearningModel = "unit") -> float:
    """Return the time of the n-th piece against the first (SEW-34).

    `rate` is the factor per doubling: of the piece's own time in the unit model (Crawford), of the average time so far
    in the cumulative model (T. P. Wright, J. Aeronautical Sciences 3 (1936) 122-128).

    Raises ValueError for an impossible number or an unknown model.
    """
    slope = _learning_slope(rate, model)
    n = count("piece_number", piece_number, least=1)
    if model == "unit":
        return float(n**slope)
    return float(n ** (1.0 + slope) - (n - 1) ** (1.0 + slope))


def average_learning_factor(pieces: int, rate: float = LEARNING_RATE, model: LearningModel = "unit") -> float:
    """Return the average time of the first `pieces` against the first one (SEW-34); models as in `learning_factor`.

    Raises ValueError for an impossible number or an unknown model.
    """
    slope = _learning_slope(rate, model)
    n = count("pieces", pieces, least=1)
    if model == "unit":
        return sum(float(k**slope) for k in range(1, n + 1)) / n
    return float(n**slope)


def _learning_slope(rate: float, model: LearningModel) -> float:
    if model not in ("unit", "cumulative"):
        raise ValueError(f"model must be one of unit, cumulative, found {model!r}")
    return log2(share_above_zero("rate", rate))


def skill_speed(level: int) -> float:
    """Return the speed of a skill level against standard (SEW-38); 0 for level 0. Raises ValueError outside 0 to 4."""
    return SKILL_SPEED[_level(level)]


def skill_reject(level: int) -> float:
    """Return the reject rate of a skill level against standard (SEW-38).

    Raises ValueError outside 0 to 4, and for level 0, which does not do the work.
    """
    factor = SKILL_REJECT[_level(level)]
    if factor is None:
        raise ValueError("skill level 0 does not do the work and has no reject factor, allowed are 1 to 4")
    return factor


def _level(level: int) -> int:
    if level in range(len(SKILL_SPEED)):
        return level
    raise ValueError(f"skill level must be 0, 1, 2, 3 or 4, found {level!r}")
