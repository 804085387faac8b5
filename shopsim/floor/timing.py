"""Two ways to wait: call something after some minutes, and an event that comes after all work ending at its minute."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import simpy
from simpy.events import Timeout

# SimPy serves equal minutes by priority, then in order of scheduling; its own are 0 (urgent) and 1 (normal).
_AFTER_ENDINGS = 2


def after(env: simpy.Environment, minutes: float, call: Callable[[Any], object], value: Any = None) -> None:
    """Call `call(value)` in `minutes` (>= 0) minutes."""
    event = Timeout(env, minutes, value)

    def due(done: simpy.Event) -> None:
        call(done._value)

    event.callbacks.append(due)


def later_at(env: simpy.Environment, at: float) -> simpy.Event:
    """An event at minute `at` that comes after all work ending at that minute."""
    event = env.event()
    event._ok, event._value = True, None
    env.schedule(event, _AFTER_ENDINGS, at - env.now)  # type: ignore[arg-type]
    return event
