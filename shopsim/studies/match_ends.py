"""How orders on record ended: those whose end is not known, and those that nobody ever closed off."""

from __future__ import annotations

import datetime
import math
from collections import Counter
from collections.abc import Sequence

from shopsim.studies.fit_history import PastOrder

# Later than so many days past its due date, and than nearly every order that was sent out ever was.
_LEAST_LATE_DAYS, _NEARLY_EVERY = 5, 0.99


def with_known_ends(orders: Sequence[PastOrder], notes: list[str]) -> list[PastOrder]:
    """The orders without those that were cancelled or shipped at a time that is not known."""
    kept = []
    unknown: Counter[str] = Counter()
    for order in orders:
        if order.withdrawn and order.cancelled is None:
            unknown["cancelled"] += 1
        elif order.is_shipped and order.shipped is None:
            unknown["shipped"] += 1
        else:
            kept.append(order)
    notes += [f"{count} orders left out: {what}, but not when" for what, count in unknown.items()]
    return kept


def never_closed(orders: Sequence[PastOrder], notes: list[str]) -> set[str]:
    """Ids of orders long past due without an end at the end of the record: forgotten in the books, not in the shop.

    They are work all the same, so they stay in the runs; only nothing is compared by them.
    """
    late = sorted((order.shipped.date() - order.due).days for order in orders if order.shipped is not None)
    if not late:
        return set()
    end = max(max(order.received, order.shipped or order.received) for order in orders).date()
    limit = max(_LEAST_LATE_DAYS, late[math.ceil(_NEARLY_EVERY * len(late)) - 1])
    since = end - datetime.timedelta(days=limit)
    found = [each.order_id for each in orders if each.shipped is None and not each.withdrawn and each.due < since]
    if found:
        named = ", ".join(found[:3]) + (f" and {len(found) - 3} others" if len(found) > 3 else "")
        notes.append(
            f"{len(found)} of {len(orders)} orders ({named}) were never closed off, {limit} days and more after they "
            "were due: they are run, but not compared; some due later may be forgotten too. If they are really open, "
            "what happened looks too good"
        )
    return set(found)
