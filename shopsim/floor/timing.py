"""How the floor waits: something is called after some minutes, or at a minute once all work ending then has ended.

Whatever is called is a method of a part of the floor with a plain value, never a function made on the way, so that
what is still to come can be written down (`snapshot`).
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import simpy
from simpy.events import Timeout

# SimPy serves equal minutes by priority, then in order of scheduling; its own are 0 (urgent) and 1 (normal).
_AFTER_ENDINGS = 2

Call = Callable[[Any], object]


class Due:
    """What an event calls when it is due: hands its value on."""

    __slots__ = ("call",)

    def __init__(self, call: Call) -> None:
        self.call = call

    def __call__(self, event: simpy.Event) -> None:
        self.call(event._value)


def after(env: simpy.Environment, minutes: float, call: Call, value: Any = None) -> None:
    """Call `call(value)` in `minutes` (>= 0) minutes."""
    Timeout(env, minutes, value).callbacks.append(Due(call))


def later_at(env: simpy.Environment, at: float, call: Call, value: Any = None) -> None:
    """Call `call(value)` at minute `at`, after all work ending at that minute."""
    event = env.event()
    event._ok, event._value = True, value
    event.callbacks.append(Due(call))
    env.schedule(event, _AFTER_ENDINGS, at - env.now)  # type: ignore[arg-type]
