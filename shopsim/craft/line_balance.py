"""Balancing a sewing line: steps of one product shared out among people in a row, so that each keeps the cycle.

Minutes are standard minutes a piece. Steps count from 0.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from shopsim.craft._limits import count, positive

# Sets of steps are looked through one by one; of 20 free steps there are a million.
MOST_STEPS = 20
_SLACK_MIN = 1e-9


def cycle_min(available_min: float, pieces: int) -> float:
    """Return the minutes a piece may take at each place to make so many. Raises ValueError for an impossible number."""
    return positive("available_min", available_min) / count("pieces", pieces, least=1)


def places_bound(step_min: Sequence[float], cycle_min: float) -> float:
    """Return the places the work fills on average, not rounded: no line has fewer. Raises ValueError if impossible."""
    return sum(step_min) / positive("cycle_min", cycle_min)


def balance_efficiency(step_min: Sequence[float], places: int, cycle_min: float) -> float:
    """Return the share of the places' time that is work. Raises ValueError for an impossible number."""
    return sum(step_min) / (count("places", places, least=1) * positive("cycle_min", cycle_min))


def balance_line(step_min: Sequence[float], before: Iterable[tuple[int, int]], cycle_min: float) -> list[list[int]]:
    """Return the steps of each place, in as few places as possible; `before` holds pairs (earlier, later step).

    M. Held, R. M. Karp, R. Shareshian, Operations Research 11 (1963) 442-459: exact, over all sets of steps that may
    be done first. Raises ValueError for an impossible number, a step above the cycle, pairs in a circle and more than
    `MOST_STEPS` steps.
    """
    _check(step_min, cycle_min)
    needs = [0] * len(step_min)
    for earlier, later in before:
        needs[later] |= 1 << earlier
    # By set of steps done: places begun, minutes at the last of them, the step done last.
    layer: dict[int, tuple[int, float]] = {0: (0, cycle_min)}
    last: dict[int, int] = {}
    for _ in step_min:
        following: dict[int, tuple[int, float]] = {}
        for done, (places, used_min) in layer.items():
            for step, minutes in enumerate(step_min):
                if done >> step & 1 or needs[step] & ~done:
                    continue
                fits = used_min + minutes <= cycle_min + _SLACK_MIN
                after = (places, used_min + minutes) if fits else (places + 1, minutes)
                now = done | 1 << step
                if now not in following or after < following[now]:
                    following[now], last[now] = after, step
        layer = following
    if not layer:
        raise ValueError("before must not run in a circle")
    return _share_out(step_min, last, cycle_min)


def _share_out(step_min: Sequence[float], last: dict[int, int], cycle_min: float) -> list[list[int]]:
    order: list[int] = []
    done = (1 << len(step_min)) - 1
    while done:
        order.append(last[done])
        done ^= 1 << last[done]
    places: list[list[int]] = []
    used_min = cycle_min
    for step in reversed(order):
        if used_min + step_min[step] > cycle_min + _SLACK_MIN:
            places.append([])
            used_min = 0.0
        places[-1].append(step)
        used_min += step_min[step]
    return places


def _check(step_min: Sequence[float], cycle_min: float) -> None:
    positive("cycle_min", cycle_min)
    if len(step_min) > MOST_STEPS:
        raise ValueError(f"a line is balanced for at most {MOST_STEPS} steps, found {len(step_min)}")
    for minutes in step_min:
        if positive("step_min", minutes) > cycle_min + _SLACK_MIN:
            raise ValueError(f"step_min must be at most the cycle of {cycle_min:g} min, found {minutes!r}")
