"""The order of fabrics (plates, inks, lots) in which changing over from one to the next costs least.

`cost[i][j]` is the cost, in any unit, of changing from i to j; from i to j and back may differ, as heating and cooling
a plate do. The diagonal is not read.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

# The exact search holds 2^(n-1) rows: 17 entries are 65 536.
MOST_EXACT = 17

_Floats = NDArray[np.float64]


def changeover_total(order: Sequence[int], cost: Sequence[Sequence[float]], back_to_first: bool = False) -> float:
    """Return the cost of going through an order, and back to its first entry if it is repeated for ever.

    Raises ValueError if the costs are not square.
    """
    table = _table(cost)
    steps = list(zip(order, [*order[1:], order[0]], strict=True))
    return float(sum(table[i, j] for i, j in (steps if back_to_first else steps[:-1])))


def nearest_changeover_order(cost: Sequence[Sequence[float]], first: int = 0) -> list[int]:
    """Return the order that always goes on to the cheapest entry left; of equal ones to the lowest number.

    What a careful operator does by eye; it may cost a multiple of the best. Raises ValueError if the costs are not
    square or there is no such first entry.
    """
    table = _table(cost)
    if first not in range(len(table)):
        raise ValueError(f"first must be from 0 to {len(table) - 1}, found {first!r}")
    order = [first]
    left = [entry for entry in range(len(table)) if entry != first]
    while left:
        order.append(min(left, key=lambda entry: table[order[-1], entry]))
        left.remove(order[-1])
    return order


def best_changeover_order(cost: Sequence[Sequence[float]], first: int = 0, back_to_first: bool = False) -> list[int]:
    """Return the cheapest order that begins with `first`, what is on the machine now.

    M. Held, R. M. Karp, Journal of the Society for Industrial and Applied Mathematics 10 (1962) 196-210: exact, by
    dynamic programming over sets. Raises ValueError for costs that are not square, no such first entry, and more than
    `MOST_EXACT` entries.
    """
    table = _table(cost)
    if first not in range(len(table)):
        raise ValueError(f"first must be from 0 to {len(table) - 1}, found {first!r}")
    if len(table) > MOST_EXACT:
        raise ValueError(f"an exact order is for at most {MOST_EXACT} entries, found {len(table)}")
    others = [entry for entry in range(len(table)) if entry != first]
    if not others:
        return [first]
    between = table[np.ix_(others, others)]
    best = _best_by_set(table[first, others], between)
    end = best[-1] + (table[others, first] if back_to_first else 0.0)
    order = [int(np.argmin(end))]
    left = len(best) - 1
    while left != 1 << order[-1]:
        left ^= 1 << order[-1]
        order.append(int(np.argmin(best[left] + between[:, order[-1]])))
    return [first, *(others[entry] for entry in reversed(order))]


def _best_by_set(start: _Floats, between: _Floats) -> _Floats:
    """Least cost by set of entries done (its bits) and entry done last."""
    n = len(start)
    sets = np.arange(1 << n)
    sizes = sum(sets >> entry & 1 for entry in range(n))
    best = np.full((1 << n, n), np.inf)
    best[1 << np.arange(n), np.arange(n)] = start
    for size in range(2, n + 1):
        of_size = sets[sizes == size]
        for last in range(n):
            mine = of_size[of_size >> last & 1 == 1]
            best[mine, last] = (best[mine ^ 1 << last] + between[:, last]).min(axis=1)
    return best


def _table(cost: Sequence[Sequence[float]]) -> _Floats:
    table = np.array(cost, dtype=np.float64) if all(len(row) == len(cost) for row in cost) else np.empty(0)
    if table.ndim != 2 or not len(table):
        raise ValueError("cost must be square: one row and one column for each entry")
    return table
