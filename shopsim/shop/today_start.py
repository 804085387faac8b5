"""What a simulation starts from: a morning, and requests that come in at its minute.

It lies here and not on the floor because it travels to worker processes: frozen classes that are compiled cannot.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopsim.clock import minute_of
from shopsim.shop.scenario import Scenario
from shopsim.shop.today_model import OpenOrder, Today


@dataclass(frozen=True)
class Start:
    """A morning to start from, with requests that come in then; `outside` is a place whose work on them is bought in.

    The run goes on until all these orders have left, with `requests_alone` until the requests have, and at least until
    minute `runs_until`.
    """

    today: Today
    requests: tuple[OpenOrder, ...] = ()
    outside: str = ""
    runs_until: float = 0.0
    requests_alone: bool = False

    @property
    def orders(self) -> tuple[OpenOrder, ...]:
        """Open orders and requests, in the order of their numbers in the records."""
        return (*self.today.orders, *self.requests)

    @property
    def watched(self) -> range:
        """Numbers of the orders that the run waits for."""
        return range(len(self.today.orders) if self.requests_alone else 0, len(self.orders))

    def now_min(self, scenario: Scenario) -> float:
        """Now, in minutes since the start Monday."""
        now = self.today.now
        return minute_of(now.date(), scenario.shop.starts, now.hour * 60 + now.minute + now.second / 60)
