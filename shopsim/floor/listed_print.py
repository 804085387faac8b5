"""A printer that prints a planner's list: its orders run by run, in the order of the list.

Neighbours on the list share a run if they have fabric and mode in common, as far as a run goes and as far as they wait
there when it is made. A listed order is printed on this printer only; its remakes come in line like everybody's.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopsim.floor.gangs import Group, Job
from shopsim.floor.rules import LANE_NORMAL
from shopsim.floor.turns import PRINT_STEP, Turns, Visit

if TYPE_CHECKING:
    from shopsim.floor.orders import Order


class PrinterList:
    """The listed jobs that wait for one printer, by fabric and mode, ranked by their place on the list."""

    def __init__(self, orders: Sequence[str]) -> None:
        self.turns = Turns(orders, _visits_of)
        self.groups: dict[tuple[int, str], Group] = {}

    def push(self, job: Job, serial: int) -> None:
        """Put a job in line."""
        plan = job.line.plan
        assert plan.print_step is not None
        key = (plan.fabric_index, plan.print_step.mode)
        group = self.groups.setdefault(key, Group(*key, ()))
        heapq.heappush(group.heap, (LANE_NORMAL, self.turns.position(job.line.order), serial, job))
        group.web_m += job.web_m_each * len(job.pieces)

    def next(self) -> Group | None:
        """The group that holds the job whose turn it is; None while the list waits for it."""
        due = [group for group in self.groups.values() if group.heap and self._turn_of(group) <= self.turns.now]
        return min(due, key=lambda group: group.heap[0][1:3], default=None)

    @staticmethod
    def _turn_of(group: Group) -> float:
        return group.heap[0][1]

    def gather(self, group: Group, most_web_m: float) -> list[tuple[Job, list[int]]]:
        """Take jobs whose turn has come, or comes with what is taken, until the run is long enough."""
        taken: list[tuple[Job, list[int]]] = []
        web_m = 0.0
        lot: int | None = None
        while group.heap and web_m < most_web_m and self._turn_of(group) <= self.turns.now:
            job = group.heap[0][3]
            wanted = job.wanted_lot
            if wanted is not None and lot is not None and wanted != lot:
                break
            lot = wanted if lot is None else lot
            count = min(len(job.pieces), max(1, int((most_web_m - web_m) / job.web_m_each)))
            taken.append((job, job.pieces[:count]))
            web_m += count * job.web_m_each
            group.web_m -= count * job.web_m_each
            if count == len(job.pieces):
                heapq.heappop(group.heap)
                job.open = False
            job.pieces = job.pieces[count:]
            self.turns.strike(job.line.order, [(job.line.number, PRINT_STEP, piece) for piece in taken[-1][1]])
        return taken


def _visits_of(order: Order) -> set[Visit]:
    return {
        (line.number, PRINT_STEP, piece)
        for line in order.lines
        if line.plan.print_step is not None
        for piece in range(line.draw.first_row, line.draw.first_row + line.draw.pieces)
    }
