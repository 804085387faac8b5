"""Lengths cut from rolls of one length: cutting stock of the literature."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shopsim.craft.roll_allocation import RollPlan, allocate_rolls, first_fit_decreasing
from shopsim.published.case import Case, Finding

Stock = tuple[list[float], list[int], float]
# Lengths, pieces of each, roll.
CHVATAL: Stock = ([45.0, 36.0, 31.0, 14.0], [97, 610, 395, 211], 100.0)
AMPL: Stock = ([20.0, 45.0, 50.0, 55.0, 75.0], [48, 35, 24, 10, 8], 110.0)
# First fit puts 51 with 27; the best puts 51 with 26 and 23, and 27 twice with 23 twice.
ELEVEN_NINTHS: Stock = ([51.0, 27.0, 26.0, 23.0], [6, 6, 6, 12], 100.0)


def _missing(plan: RollPlan, stock: Stock) -> int:
    """Pieces a plan does not cut, and patterns longer than the roll."""
    lengths, counts, roll = stock
    made = [sum(pattern[kind] * times for pattern, times in plan.patterns) for kind in range(len(lengths))]
    too_long = sum(_length(pattern, lengths) > roll + 1e-9 for pattern, _ in plan.patterns)
    return too_long + sum(max(0, wanted - done) for done, wanted in zip(made, counts, strict=True))


def _length(pattern: Sequence[int], lengths: Sequence[float]) -> float:
    return sum(pieces * length for pieces, length in zip(pattern, lengths, strict=True))


def _compare(name: str, stock: Stock, bound: float, rolls: int, first_fit: int) -> Iterator[Finding]:
    plan = allocate_rolls(*stock)
    yield Finding(f"{name}: rolls, if they could be cut in fractions", bound, plan.bound, 1e-6)
    yield Finding(f"{name}: rolls of the plan", rolls, plan.rolls)
    yield Finding(f"{name}: pieces not cut, patterns too long", 0, _missing(plan, stock))
    yield Finding(f"{name}: rolls by first fit, longest first", first_fit, len(first_fit_decreasing(*stock)))


def _cutting_stock(_full: bool) -> Iterator[Finding]:
    yield from _compare("raws of 100", CHVATAL, 452.25, 453, 485)
    lengths, counts, roll = CHVATAL
    left = allocate_rolls(*CHVATAL).rolls * roll - _length(counts, lengths)
    yield Finding("raws of 100: length left over", 3776, left)
    yield from _compare("rolls of 110", AMPL, 46.25, 47, 47)


def _worst_first_fit(_full: bool) -> Iterator[Finding]:
    yield from _compare("rolls of 100", ELEVEN_NINTHS, 9.0, 9, 11)


CASES = (
    Case(
        "D-04", "Cutting stock: 453 raws and 47 rolls",
        "V. Chvatal, Linear Programming, 1983, ch. 13 (values confirmed in public files); R. Fourer, D. M. Gay, B. W. "
        "Kernighan, AMPL, column generation (from memory); both solved again exactly",
        "1e-6 for the linear algebra; whole rolls exact", _cutting_stock, path="library",
    ),
    Case(
        "X-42", "First fit at 11/9 of the best",
        "D. S. Johnson, A. Demers, J. D. Ullman, M. R. Garey, R. L. Graham, SIAM Journal on Computing 3 (1974) 299-325 "
        "(from memory): 1/2 + e, 1/4 + 2e, 1/4 + e, 1/4 - 2e, here with e = 1/100",
        "1e-6 for the linear algebra; whole rolls exact", _worst_first_fit, path="library",
    ),
)  # fmt: skip
