"""One thing to look at, and the order in which things are looked at."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopsim.shop.review.kinds import GRADES, KINDS

COMMON_PRACTICE = "common practice"
_PLACE = {kind.id: place for place, kind in enumerate(KINDS)}


@dataclass(frozen=True, slots=True)
class Finding:
    """What was found where, what to do about it, and the handbook row or practice behind it.

    `size` ranks findings of one kind: the greater, the worse.
    """

    id: str
    where: str
    found: str
    do: str
    basis: str
    size: float = 0.0

    @property
    def grade(self) -> int:
        """Position in `GRADES`: the smaller, the sooner to be looked at."""
        return KINDS[_PLACE[self.id]].grade

    @property
    def grade_text(self) -> str:
        """The grade in words."""
        return GRADES[self.grade]

    @property
    def says(self) -> str:
        """`can never keep up`."""
        return KINDS[_PLACE[self.id]].says

    @property
    def headline(self) -> str:
        """`edge_line can never keep up`."""
        return f"{self.where} {self.says}"


def finding_values(found: Finding) -> dict[str, str]:
    """A finding as plain values, for other programs."""
    return {
        "id": found.id, "grade": found.grade_text, "where": found.where, "says": found.says, "found": found.found,
        "do": found.do, "basis": found.basis,
    }  # fmt: skip


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """By grade, then in the order of `KINDS`, then the greatest first."""
    return sorted(findings, key=lambda each: (each.grade, _PLACE[each.id], -each.size))


def named(names: Sequence[str], most: int = 4) -> str:
    """`a`, `a and b`, `a, b and 7 more`."""
    shown = list(names) if len(names) <= most else [*names[: most - 1], f"{len(names) - most + 1} more"]
    return shown[0] if len(shown) == 1 else f"{', '.join(shown[:-1])} and {shown[-1]}"


def counted(number: int, one: str, more: str = "") -> str:
    """`1 seat`, `3 seats`, `2 people`."""
    return f"{number:,} {one if number == 1 else more or one + 's'}"


def ways(*texts: str) -> str:
    """What can be done, one way after the other; empty ones left out."""
    return "; ".join(text for text in texts if text)
