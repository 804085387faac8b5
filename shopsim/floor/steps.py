"""Somebody who does one step after the other and waits in between, with what is still to do as plain data."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import simpy

from shopsim.floor.timing import after, later_at

Step = tuple[Callable[..., None], tuple[Any, ...]]


class Stepwise:
    """Does what is on its agenda, then looks round for more.

    A step is a method with plain arguments. It does its part at once; `then` says what follows it, in the order said
    and before what was on the agenda already; `wait` and its like put off all that follows. Nothing else is remembered
    between two steps, so the agenda tells at any minute how things go on.
    """

    def __init__(self, env: simpy.Environment) -> None:
        self.env = env
        # The next step stands last.
        self.agenda: list[Step] = []
        self._place = 0
        self._waits = False

    def look_round(self) -> None:
        """Decide what to do next; called whenever the agenda is empty."""
        raise NotImplementedError

    def then(self, step: Callable[..., None], *arguments: Any) -> None:
        """Do this after the present step and what it has said before."""
        self.agenda.insert(self._place, (step, arguments))

    def wait(self, minutes: float) -> None:
        """Go on in so many minutes."""
        self._waits = True
        after(self.env, minutes, self.go_on)

    def wait_until(self, at: float) -> None:
        """Go on at minute `at`, after all work ending then."""
        self._waits = True
        later_at(self.env, at, self.go_on)

    def stand_by(self) -> None:
        """Go on when somebody calls `go_on`."""
        self._waits = True

    def go_on(self, _: object = None) -> None:
        """Do step after step until one waits."""
        self._waits = False
        while not self._waits:
            if self.agenda:
                step, arguments = self.agenda.pop()
                self._place = len(self.agenda)
                step(*arguments)
            else:
                self._place = 0
                self.look_round()
