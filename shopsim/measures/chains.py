"""The chain of operations that set an order's end: from its last-finished bundle back to the run it was printed in.

A repaired piece is a bundle with a parent; the parent belongs to the chain up to the minute the piece was taken out.
What was made before the last attempt is no part of the chain: the order waited for the fault to be found, then began
again.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from shopsim.clock import SLIVER_MIN
from shopsim.floor.record import KIND
from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Floats, Ints


class Chains:
    """Chains of some orders, given as rows of the table `orders`; arrays are by position in `rows`."""

    def __init__(self, facts: Facts, rows: Ints) -> None:
        self.facts = facts
        self.rows = rows
        self.order = facts.code("orders", "order")[rows]
        self._owners()

    def of_order(self, column: str) -> Floats:
        """A column of `orders` for the chosen orders."""
        return self.facts.column("orders", column)[self.rows]

    def position(self, orders: Ints) -> Ints:
        """Position of each order number among the chosen ones, -1 if it is not chosen."""
        numbers = np.full(int(self.facts.column("orders", "order").max(initial=-1)) + 2, -1)
        numbers[self.order] = np.arange(len(self.order))
        return numbers[orders]

    @cached_property
    def finished(self) -> Floats:
        """When the last piece was finished: the order check was due, or without one the order was complete."""
        check = self.of_order("check_task").astype(np.int64)
        task = self.facts.code("operations", "task")
        ready = np.full(int(max(task.max(initial=0), check.max(initial=0))) + 1, np.nan)
        first = self.facts.column("operations", "part") == 0
        ready[task[first]] = self.facts.column("operations", "ready")[first]
        return np.where(check >= 0, ready[check], self.of_order("complete"))

    def _owners(self) -> None:
        """`owner`: position of the order whose chain a bundle is in, -1 if none. `until`: the chain uses the bundle's
        operations up to then. `root`: first bundle of each chain."""
        facts = self.facts
        parent, made = facts.code("bundles", "parent"), facts.column("bundles", "made")
        self.owner = np.full(len(parent), -1)
        self.until = np.full(len(parent), np.inf)
        self.root = self._last_bundles()
        mine = np.arange(len(self.rows))[self.root >= 0]
        bundle = self.root[mine]
        until = np.full(len(bundle), np.inf)
        while len(mine):
            self.owner[bundle], self.until[bundle], self.root[mine] = mine, until, bundle
            further = parent[bundle] >= 0
            mine, until, bundle = mine[further], made[bundle[further]], parent[bundle[further]]

    def _last_bundles(self) -> Ints:
        """The bundle finished last. Lines printed outside count when they come back, whatever was finished between."""
        facts = self.facts
        last = self.of_order("last_bundle").astype(np.int64)
        outside = np.flatnonzero(facts.column("operations", "kind") == KIND["bought_in"])
        at = self.position(facts.code("operations", "order")[outside])
        outside, at = outside[at >= 0], at[at >= 0]
        ends_it = np.abs(facts.column("operations", "end")[outside] - self.finished[at]) < SLIVER_MIN
        last[at[ends_it]] = facts.code("operations", "bundle")[outside[ends_it]]
        return last

    # -- rows of operations, each with the position of its order ------------------------------------------------------

    def artwork(self) -> tuple[Ints, Ints]:
        """The artwork check."""
        rows = np.flatnonzero(self.facts.column("operations", "kind") == KIND["artwork"])
        return self._chosen(rows, self.position(self.facts.code("operations", "order")[rows]))

    def order_check(self) -> tuple[Ints, Ints]:
        """The check of the complete order."""
        rows = np.flatnonzero(self.facts.column("operations", "kind") == KIND["order_check"])
        return self._chosen(rows, self.position(self.facts.code("operations", "order")[rows]))

    def work(self) -> tuple[Ints, Ints]:
        """Everything between print and the last piece finished, calenders and bought-in work too."""
        facts = self.facts
        bundle = facts.code("operations", "bundle")
        rows = np.flatnonzero(bundle >= 0)
        bundle = bundle[rows]
        # The parent's next step comes into line when a piece is taken out; it is no part of the chain even if it takes
        # no time at all and so ends at that same minute.
        until = self.until[bundle]
        inside = facts.column("operations", "ready")[rows] < until - SLIVER_MIN
        at = np.where(inside, self.owner[bundle], -1)
        drum_rows, drum_at = self._calendered()
        return self._chosen(np.concatenate((rows, drum_rows)), np.concatenate((at, drum_at)))

    def _calendered(self) -> tuple[Ints, Ints]:
        """A roll on the calender carries bundles of many orders: one row for each of them."""
        facts = self.facts
        at = self.owner[facts.code("calendered", "bundle")]
        carried = facts.code("calendered", "task")[at >= 0]
        at = at[at >= 0]
        rows = np.flatnonzero(facts.column("operations", "kind") == KIND["calender"])
        rows = rows[np.argsort(facts.column("operations", "task")[rows], kind="stable")]
        task = facts.code("operations", "task")[rows]
        first = np.searchsorted(task, carried, side="left")
        count = np.searchsorted(task, carried, side="right") - first
        offset = np.arange(int(count.sum())) - np.repeat(np.cumsum(count) - count, count)
        return rows[np.repeat(first, count) + offset], np.repeat(at, count)

    def _chosen(self, rows: Ints, at: Ints) -> tuple[Ints, Ints]:
        """Rows of chosen orders by order, time and part."""
        rows, at = rows[at >= 0], at[at >= 0]
        keys = [self.facts.column("operations", name)[rows] for name in ("part", "task", "ready")]
        order = np.lexsort((*keys, at))
        return rows[order], at[order]
