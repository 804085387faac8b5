"""Time stamps of orders as rows of a work log: who worked on which order where, from when to when.

A start and an end of an order at a place make one row. Stamps that do not say which of the two they are say that a step
was done: a person's work then runs from the stamp before it, of the same person on the same day, and holds whatever lay
between (common practice where people scan what they have finished; no source).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from typing import Any

from shopsim.shop.scenario import Scenario

Row = Mapping[str, Any]
_BETWEEN = "of them run from one stamp of a person to the next, waiting in between counted as work"


def work_of_stamps(
    stamps: Sequence[Row], orders: Iterable[Row], scenario: Scenario
) -> tuple[list[dict[str, Any]], list[str]]:
    """Rows of a work log, and in words how many there are and which stamps none comes from.

    A step is a place of the scenario: the mapping translates. Pieces, product and size come from the order history.
    """
    left: Counter[str] = Counter()
    lines: dict[str, list[Row]] = {}
    for line in orders:
        lines.setdefault(line["order_id"], []).append(line)
    places = scenario.by_id("work_centres")
    known = [stamp for stamp in stamps if stamp["step"] in places]
    left.update(f"{stamp['step']!r} is no place of the scenario" for stamp in stamps if stamp["step"] not in places)
    paired = _pairs([stamp for stamp in known if stamp.get("moment")], left)
    chained = _chains([stamp for stamp in known if not stamp.get("moment")], left)
    rows = [
        {"place": end["step"], "order_id": end["order_id"], "start": start["at"], "end": end["at"],
         **({"person": end["person"]} if end.get("person") else {}), **_of_order(lines.get(end["order_id"], []))}
        for start, end in [*paired, *chained]
    ]  # fmt: skip
    between = f"; {len(chained)} {_BETWEEN}" if chained else ""
    told = [f"{len(stamps)} time stamps make {len(rows)} rows of work{between}"]
    return rows, told + [f"of {count} time stamps no row is made: {why}" for why, count in left.most_common()]


def _pairs(stamps: Iterable[Row], left: Counter[str]) -> list[tuple[Row, Row]]:
    """Start and end of each order at each place."""
    ends: dict[tuple[str, str], dict[str, Row]] = {}
    for stamp in stamps:
        ends.setdefault((stamp["order_id"], stamp["step"]), {})[stamp["moment"]] = stamp
    made = []
    for each in ends.values():
        if len(each) < 2:
            left["the other end of the step is missing"] += 1
        elif each["end"]["at"] <= each["start"]["at"]:
            left["the end is not after the start"] += 2
        else:
            made.append((each["start"], each["end"]))
    return made


def _chains(stamps: Iterable[Row], left: Counter[str]) -> list[tuple[Row, Row]]:
    """Each stamp of a person with the one before it on the same day."""
    days: dict[tuple[str, Any], list[Row]] = {}
    for stamp in stamps:
        if stamp.get("person"):
            days.setdefault((stamp["person"], stamp["at"].date()), []).append(stamp)
        else:
            left["they say neither start or end nor a person"] += 1
    if days:
        left["the first of a person's day, the start is not known"] += len(days)
    return [pair for each in days.values() for pair in pairwise(sorted(each, key=lambda stamp: stamp["at"]))]


def _of_order(lines: Sequence[Row]) -> dict[str, Any]:
    """Pieces of an order; product and size where all its lines have the same."""
    if not lines:
        return {}
    what = [{name: line[name] for name in ("product", "width_m", "height_m") if name in line} for line in lines]
    alike = what[0] if all(each == what[0] for each in what) else {}
    return {"pieces": sum(line["pieces"] for line in lines), **alike}
