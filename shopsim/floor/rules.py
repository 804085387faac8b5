"""Queue rules as small callables of one state, and the two queues they order.

A rule takes a task and returns what it is sorted by; ties go by arrival, which task numbers tell. Lanes come
first in every rule: machines standing still, reprints, rush, one lane for each priority from 1 to 9, rounds.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable
from operator import attrgetter
from typing import TYPE_CHECKING

from shopsim.shop.products import LAST_PRIORITY, NORMAL_PRIORITY

if TYPE_CHECKING:
    from shopsim.floor.tasks import Task

LANE_STOPPED, LANE_REPRINT, LANE_RUSH = range(3)
LANE_ROUNDS = LANE_RUSH + LAST_PRIORITY + 1


def lane_of(priority: int) -> int:
    """The lane of work of this priority that is neither rush nor a reprint."""
    return LANE_RUSH + priority


LANE_NORMAL = lane_of(NORMAL_PRIORITY)

Rule = Callable[["Task"], float]

RULES: dict[str, Rule] = {
    "first_come": attrgetter("ready"),
    "due_date": attrgetter("due"),
    "shortest": attrgetter("minutes"),
    "longest": lambda task: -task.minutes,
    "same_set_up": attrgetter("ready"),
}


class RankedQueue:
    """Tasks by lane, then by rule, then by arrival."""

    __slots__ = ("_heap", "_rule")

    def __init__(self, rule: Rule) -> None:
        self._rule = rule
        self._heap: list[tuple[int, float, int, Task]] = []

    def __len__(self) -> int:
        return len(self._heap)

    def push(self, task: Task) -> None:
        """Put a task in line."""
        heapq.heappush(self._heap, (task.lane, self._rule(task), task.number, task))

    def in_order(self) -> list[Task]:
        """All tasks in line, the next first."""
        return [entry[3] for entry in sorted(self._heap, key=lambda entry: entry[:3])]

    def rank_again(self) -> None:
        """What the rule looks at has changed."""
        tasks, self._heap = self.in_order(), []
        for task in tasks:
            self.push(task)

    def head(self) -> Task:
        """The next task, left in line."""
        return self._heap[0][3]

    def rank(self) -> tuple[int, float, int]:
        """Lane, rule value and number of the next task."""
        return self._heap[0][:3]

    def pop(self, free_families: object = None) -> Task:
        """Take the next task out of line."""
        return heapq.heappop(self._heap)[3]


class SetUpQueue(RankedQueue):
    """Prefers a task of a kind some free seat is set up for; else the first in line.

    Kept as one ranked queue a family; families are few.
    """

    __slots__ = ("_families", "_size")

    def __init__(self, rule: Rule) -> None:
        super().__init__(rule)
        self._families: dict[int, RankedQueue] = {}
        self._size = 0

    def __len__(self) -> int:
        return self._size

    def push(self, task: Task) -> None:
        """Put a task in its family's line."""
        line = self._families.get(task.family)
        if line is None:
            line = self._families[task.family] = RankedQueue(self._rule)
        line.push(task)
        self._size += 1

    def in_order(self) -> list[Task]:
        """All tasks in line, family by family."""
        return [task for line in self._families.values() for task in line.in_order()]

    def rank_again(self) -> None:
        """What the rule looks at has changed."""
        for line in self._families.values():
            line.rank_again()

    def _first(self) -> RankedQueue:
        return min(self._families.values(), key=RankedQueue.rank)

    def head(self) -> Task:
        """The first in line over all families."""
        return self._first().head()

    def rank(self) -> tuple[int, float, int]:
        """Lane, rule value and number of the first in line."""
        return self._first().rank()

    def pop(self, free_families: object = None) -> Task:
        """Take the best task of the first lane of a family in `free_families` (a collection), else the first."""
        line = self._first()
        fitting = [self._families[f] for f in free_families or () if f in self._families]  # type: ignore[attr-defined]
        best = min(fitting, key=RankedQueue.rank, default=line)
        if best.rank()[0] == line.rank()[0]:
            line = best
        task = line.pop()
        if not line:
            del self._families[task.family]
        self._size -= 1
        return task
