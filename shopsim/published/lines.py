"""Lines of places with little room between them: blocking after service lowers what they get out."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.published.case import Case, Finding
from shopsim.published.simulated import SIMULATED, all_at_once, load, mean_of, measure, measured

# Places in the line, room before each but the first, orders an hour where each seat could do one.
_THROUGHPUTS = (
    (2, 0, 0.666666666667), (2, 1, 0.75), (2, 4, 0.857142857143),
    (3, 0, 0.564102564103), (3, 1, 0.670466158321), (4, 0, 0.514775489318),
)  # fmt: skip
_HOURS = MINUTES_PER_WEEK / 60


def _blocking_lines(full: bool) -> Iterator[Finding]:
    weeks = 72 if full else 6
    for places, room, stated in _THROUGHPUTS if full else _THROUGHPUTS[1::2]:
        rooms = {f"work_centres.s{i}.room_before_bundles": room for i in range(2, places + 1)}
        scenario = load(f"line_{places}", rooms | {"study.weeks": weeks})
        more_than_enough = all_at_once(scenario, int(1.1 * scenario.horizon_min / 60))
        (per_week,) = measured(scenario, [measure(scenario, "orders_per_week")], more_than_enough)
        between = f"room for {room}" if room else "no room"
        yield mean_of(
            f"{places} places, {between} between, orders/h",
            stated,
            [orders / _HOURS for orders in per_week],
            0.01 if full else 0.06,
        )


CASES = (
    Case(
        "A-19", "Blocking lines: output of balanced exponential lines with little room",
        "G. C. Hunt, Operations Research 4 (1956) 674-683; F. S. Hillier & R. W. Boling, Operations Research 15 (1967) "
        "286-303 (from memory); recomputed with the exact Markov chain",
        SIMULATED, _blocking_lines, seconds=2.1, path="floor",
    ),
)  # fmt: skip
