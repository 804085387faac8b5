"""When a machine fails, by its running minutes or by the calendar, and how long it stands; printers and seats alike."""

from __future__ import annotations

import math

from shopsim.distributions import Discrete
from shopsim.floor.draws import ReplicationDraws
from shopsim.shop.printers import Breakdowns

# A clock that is set by adding minutes may be off by the last bit.
_SLACK_MIN = 1e-9
# A life of a law whose draws can hardly outlast what has been lived already stays as it was drawn.
_MOST_DRAWS = 1000


class Failures:
    """The failures of one machine, new when the simulation begins, as good as new after each repair or planned renewal.

    By running minutes: whoever runs it takes them off `until_next_min`. By the calendar: it fails at minute `fails_at`.
    The clock that does not count stands at infinity.
    """

    __slots__ = (
        "_by_calendar",
        "_hours",
        "_kind",
        "_life_min",
        "_renew_after_min",
        "_renewal_h",
        "_worn_at_min",
        "fails_at",
        "life_min",
        "rule",
        "until_next_min",
    )  # fmt: skip

    def __init__(self, rule: Breakdowns, draws: ReplicationDraws, gap: str, kind: str, repair: str) -> None:
        self.rule = rule
        self._by_calendar = rule.every_calendar_h is not None
        life_h = rule.every_calendar_h or rule.every_running_h
        assert life_h is not None  # cross_checks: one of them is given
        shares = tuple(each.share_pct for each in rule.repairs)
        self._life_min = draws.line(gap, life_h.scaled(60))
        self._kind = draws.line(kind, Discrete(tuple(range(len(shares))), shares))
        self._hours = [draws.line(f"{repair} {i}", each.hours) for i, each in enumerate(rule.repairs)]
        self._renew_after_min = math.inf
        if rule.renew_after_running_h is not None:
            self._renew_after_min = rule.renew_after_running_h * 60
            self._renewal_h = draws.line(f"{repair} renewal", rule.renewal_h)
        self.until_next_min = self.fails_at = math.inf
        self._worn_at_min = -math.inf
        self.as_new(draws.starts_min)

    @property
    def worn(self) -> bool:
        """Whether its planned renewal is due."""
        return self.until_next_min <= self._worn_at_min

    def minutes_left(self, now: float) -> float:
        """Minutes to its next failure if it runs on from now."""
        return min(self.until_next_min, self.fails_at - now)

    def has_failed(self, now: float) -> bool:
        """Whether it is down, or would be at the next touch."""
        return self.until_next_min <= 0.0 or self.fails_at <= now + _SLACK_MIN

    def repair_min(self) -> float:
        """Minutes of the next repair; no failure comes before `as_new`."""
        self.fails_at = math.inf
        return self._hours[int(self._kind.next())].next() * 60

    def renewal_min(self) -> float:
        """Minutes of the next planned renewal."""
        return self._renewal_h.next() * 60

    def as_new(self, now: float) -> None:
        """A life begins."""
        self._last(self._life_min.next(), now, 0.0)

    def live_on(self, now: float) -> None:
        """Draw anew how long the present life lasts, given what has been lived of it; not of a machine that is down."""
        left_min = self.minutes_left(now)
        if self.has_failed(now) or left_min == math.inf:
            return
        self.has_lived(self.life_min - left_min, now)

    def has_lived(self, lived_min: float, now: float) -> None:
        """Draw how long the present life lasts, of which so many minutes have been lived."""
        for _ in range(_MOST_DRAWS):
            life_min = self._life_min.next()
            if life_min > lived_min:
                self._last(life_min, now, lived_min)
                return

    def _last(self, life_min: float, now: float, lived_min: float) -> None:
        self.life_min = life_min
        if self._by_calendar:
            self.fails_at = now + (life_min - lived_min)
        else:
            self.until_next_min = life_min - lived_min
            self._worn_at_min = life_min - self._renew_after_min
