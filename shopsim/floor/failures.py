"""When a machine fails by its running minutes, and how long each repair takes; printers and seats alike."""

from __future__ import annotations

from shopsim.distributions import Discrete, Exponential
from shopsim.floor.draws import ReplicationDraws
from shopsim.shop.printers import Breakdowns


class Failures:
    """The failures of one machine. Whoever runs it takes running minutes off `until_next_min`."""

    __slots__ = ("_gap_min", "_hours", "_kind", "rule", "until_next_min")

    def __init__(self, rule: Breakdowns, draws: ReplicationDraws, gap: str, kind: str, repair: str) -> None:
        self.rule = rule
        shares = tuple(each.share_pct for each in rule.repairs)
        self._gap_min = draws.line(gap, Exponential(rule.every_running_h * 60))
        self._kind = draws.line(kind, Discrete(tuple(range(len(shares))), shares))
        self._hours = [draws.line(f"{repair} {i}", each.hours) for i, each in enumerate(rule.repairs)]
        self.until_next_min = self._gap_min.next()

    def fail(self) -> float:
        """The machine fails: the minutes of its repair. The next failure is drawn."""
        self.until_next_min = self._gap_min.next()
        return self._hours[int(self._kind.next())].next() * 60
