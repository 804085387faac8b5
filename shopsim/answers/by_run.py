"""Numbers of each replication, from which intervals are worked out: for whoever wants to work them out again."""

from __future__ import annotations

from collections.abc import Sequence

from shopsim.studies.replicate import Replications

ByRun = dict[str, dict[str, list[float]]]
"""By option and measure a number a replication, from replication 0 on."""


def measures_by_run(found: Replications, only: Sequence[str] = ()) -> dict[str, list[float]]:
    """The measures of each replication, or only those named; NaN where there was nothing to measure."""
    return {str(key): found.values("measures", key) for key in only or found.keys("measures")}
