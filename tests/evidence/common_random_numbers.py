"""What the same orders save on demo 2: `python -m tests.evidence.common_random_numbers --studies 40 --first 0`.

A study here is one replication of the frame-fabric shop as it stands, with its third printer, and with one more sewer.
The factor says how many times as many independent replications the same precision of the difference would take.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from pathlib import Path

from shopsim.shop.shop_file import load_shop
from shopsim.shop.what_if import apply, load_what_if
from shopsim.studies.compare import paired_difference
from shopsim.studies.replication import one_replication
from tests.evidence.slices import HERE, ROOT, append, arguments, read

RESULTS = HERE / "common_random_numbers.csv"
OPTIONS = {"printer": "frame_fabric_third_printer.yaml", "sewer": "frame_fabric_one_more_sewer.yaml"}
MEASURES = ("lead_time_mean_h", "on_time_share")
HEADING = ("replication", *(f"{option}_{name}" for option in ("base", *OPTIONS) for name in MEASURES))
DEMO = ROOT / "demo_scenarios" / "frame_fabric_shop.yaml"


def studies(first: int, count: int) -> Iterator[tuple[object, ...]]:
    """A row a replication: both measures of the base and of each option."""
    base = load_shop(DEMO)
    shops = [base, *(apply(base, load_what_if(DEMO.parent / "what_ifs" / file, DEMO)) for file in OPTIONS.values())]
    for number in range(first, first + count):
        rows = [one_replication(shop.scenario, shop.order_lines, number) for shop in shops]
        yield number, *(f"{row.measures[name]:.6f}" for row in rows for name in MEASURES)


def summary(path: Path = RESULTS) -> str:
    """What the results say, a line an option and measure."""
    rows = read(path)
    lines = []
    for option in OPTIONS:
        for name in MEASURES:
            one, base = ([float(row[f"{which}_{name}"]) for row in rows] for which in (option, "base"))
            found = paired_difference(one, base)
            low, high = found.reduction_between or (math.nan, math.nan)
            lines.append(
                f"{option}, {name}: factor {found.variance_reduction:.2f}, 95 % interval {low:.2f} to {high:.2f}, over "
                f"{len(rows)} replications (difference "
                f"{found.interval.mean:+.4f} ± {found.interval.half_width:.4f}, correlation {found.correlation:.3f})"
            )
    return "\n".join(lines)


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 200)
    append(asked.out, HEADING, studies(asked.first, asked.studies))
