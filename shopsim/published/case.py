"""What a case of `shopsim verify` is: where its values come from, and what this installation finds for them."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import Literal

# Allowed difference, as a share of what is expected, above which a value is marked.
_LOOSE = 0.15


@dataclass(frozen=True, slots=True)
class Finding:
    """One stated value beside the one found here; the unit stands in `what`.

    Numbers agree if they differ by no more than `allowed`; texts if they are equal. `error` is the standard error of
    `found` where that is a mean over replications, `half_width` that of its 99 % interval and `widest` how wide the
    case lets it be: a mean that is not known well enough agrees with nothing. With `at_least` more is as welcome.
    `again` is what another finding of the case compares already, beside other digits: it is checked and not counted.
    `at_first` is what was found by draws that missed: `found` is then what other draws gave.
    """

    what: str
    expected: float | str
    found: float | str
    allowed: float = 0.0
    error: float | None = None
    half_width: float = 0.0
    widest: float = math.inf
    at_least: bool = False
    again: bool = False
    at_first: float | str | None = None

    @property
    def within(self) -> bool:
        """Whether found and expected agree."""
        if isinstance(self.found, str) or isinstance(self.expected, str):
            return self.found == self.expected
        return self._apart(self.found, self.expected) <= self.allowed and not self.too_wide

    def _apart(self, found: float, expected: float) -> float:
        return 0.0 if self.at_least and found >= expected else abs(found - expected)

    @property
    def share_of_allowed(self) -> float:
        """Difference as a share of what is allowed; infinite where something differs and nothing is allowed."""
        if isinstance(self.found, str) or isinstance(self.expected, str) or not self.allowed:
            return 0.0 if self.found == self.expected else math.inf
        apart = self._apart(self.found, self.expected) / self.allowed
        return math.inf if math.isnan(apart) else apart

    @property
    def too_wide(self) -> bool:
        """Whether the mean is not known as well as the case asks."""
        return self.half_width > self.widest

    @property
    def missed(self) -> bool:
        """Whether a mean of draws that is known well enough lies outside its interval, as happens by chance."""
        return bool(self.error) and not self.too_wide and not self.within

    @property
    def loose(self) -> bool:
        """Whether so much is allowed that only a gross fault would show."""
        if isinstance(self.found, str) or isinstance(self.expected, str):
            return False
        return self.allowed > _LOOSE * abs(self.expected) > 0

    @property
    def errors_apart(self) -> float | None:
        """Difference in standard errors; None where nothing was drawn, and where more than expected is as welcome."""
        if self.at_least or not self.error or isinstance(self.found, str) or isinstance(self.expected, str):
            return None
        return (self.found - self.expected) / self.error


def known(value: float | None) -> float:
    """A number that a study may have to leave open; left open it is NaN, which agrees with nothing."""
    return math.nan if value is None else value


Find = Callable[[bool], Iterable[Finding]]
Path = Literal["floor", "commands", "library"]
"""By what a case is found: on the engine, by other code that the commands use, or also by functions that no command
uses yet."""


@dataclass(frozen=True, slots=True)
class Case:
    """A published or derived case. `find(full)` computes on the real path; `full` asks for the long run.

    `source` is cited with its status ("from memory", "derived", "common practice, no source"); `tolerance` says why the
    allowed difference is what it is, `left_out` what of the source the code here cannot express, and why. `seconds` is
    what a quick run takes of one core that little else runs on, about. `path` is held against the source by a test.
    """

    id: str
    title: str
    source: str
    tolerance: str
    find: Find
    seconds: float = 0.02
    left_out: str = ""
    path: Path = "commands"


@dataclass(frozen=True, slots=True)
class Skipped:
    """A case that the project cannot bring along, and why."""

    id: str
    title: str
    source: str
    reason: str
