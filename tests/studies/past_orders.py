"""Rows of an order history, as `read_export` gives them."""

from __future__ import annotations

import datetime


def order(number: int, day: datetime.date, **values: object) -> dict[str, object]:
    """An order of one frame received at ten, due a week later, unless said otherwise."""
    received = datetime.datetime.combine(day, datetime.time(10))
    due = day + datetime.timedelta(days=7)
    return {"order_id": f"A{number}", "received": received, "due": due, "product": "frame", "pieces": 1} | values
