"""How the floor waits: something is called after some minutes, or at a minute once all work ending then has ended.

Whatever is called is a method of a part of the floor with a plain value, never a function made on the way, so that
what is still to come can be written down (`snapshot`).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from heapq import heappush
from typing import Any, NamedTuple

import simpy
from simpy.events import URGENT, Timeout

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


def run_to(env: simpy.Environment, at: float) -> None:
    """Let all happen that comes before minute `at`."""
    stop = env.event()
    stop._ok, stop._value = True, None
    # SimPy's own way adds the minutes from now on, which may miss `at` by the last bit.
    heappush(env._queue, (at, URGENT, next(env._eid), stop))
    env.run(until=stop)


class Pending(NamedTuple):
    """Something still to come: at which minute, which of those at the same minute come first, what is called."""

    at: float
    priority: int
    call: Call
    value: Any


def pending(env: simpy.Environment) -> list[Pending]:
    """All that is still to come, in the order in which it will come."""
    found = []
    for at, priority, _, event in sorted(env._queue, key=lambda entry: entry[:3]):
        # A run that was stopped leaves the event that stopped it behind, with nothing to call.
        if event.callbacks:
            (due,) = event.callbacks
            assert isinstance(due, Due)
            found.append(Pending(at, priority, due.call, event._value))
    return found


def set_clock(env: simpy.Environment, now: float, to_come: Iterable[Pending]) -> None:
    """Let the clock stand at `now`, with nothing still to come but this, in its order."""
    env._now = now
    env._queue.clear()
    for each in to_come:
        event = env.event()
        event._ok, event._value = True, each.value
        event.callbacks.append(Due(each.call))
        # Not `schedule`, which takes minutes from now on: adding them again might be off by the last bit.
        heappush(env._queue, (each.at, each.priority, next(env._eid), event))  # type: ignore[misc]
