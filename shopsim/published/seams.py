"""Seams: stitches, minutes and thread."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.craft.sewing import needle_speed_m_per_min, thread_m
from shopsim.craft.time_study import basic_time_min
from shopsim.published.case import Case, Finding

DIVIDED = "1e-9 for division"
# Centimetres of thread a centimetre of seam by ISO 4915 class, at 7 stitches a centimetre.
RATIOS = (("301", 2.5), ("101", 4.0), ("401", 5.5), ("504", 14.0), ("516", 20.0), ("406", 18.0), ("602", 25.0),
          ("605", 28.0))  # fmt: skip


def _stitches(seam_m: float, stitches_per_min: float, stitches_per_cm: float, running_share: float) -> float:
    """Stitches while a seam runs through: its minutes times the machine's average speed."""
    minutes = seam_m / needle_speed_m_per_min(stitches_per_min, stitches_per_cm, running_share)
    return minutes * stitches_per_min * running_share


def _seams(_full: bool) -> Iterator[Finding]:
    speed = needle_speed_m_per_min(4000, 4, 0.55)
    yield Finding("hem of 3.2 m: seam a minute, m", 5.5, speed, 1e-9)
    yield Finding("hem of 3.2 m: stitches", 1280, _stitches(3.2, 4000, 4, 0.55), 1e-9)
    yield Finding("hem of 3.2 m: sewing, min", 0.581818181818, 3.2 / speed, 1e-9)
    yield Finding("hem of 3.2 m: with handling, min", 0.931818181818, basic_time_min(3.2 / speed + 0.35, 100), 1e-9)
    edge_min = 12.4 / needle_speed_m_per_min(3000, 3.5, 0.70)
    yield Finding("silicone edge of 12.4 m: stitches", 4340, _stitches(12.4, 3000, 3.5, 0.70), 1e-9)
    yield Finding("silicone edge of 12.4 m: with handling and corners, min", 3.44666666667,
                  basic_time_min(edge_min + 0.9 + 4 * 0.12, 100), 1e-9)  # fmt: skip
    yield Finding("thread of 1.7 m, class 406, m", 30.6, thread_m(1.7, "406"), 1e-9)
    yield Finding("thread of 12.4 m, class 301, with 15 % waste, m", 35.65, thread_m(12.4, "301", 0.15), 1e-9)
    for stitch, ratio in RATIOS:
        yield Finding(f"thread a metre of class {stitch}, m", ratio, thread_m(1.0, stitch), 1e-9)


def _feed(_full: bool) -> Iterator[Finding]:
    # Stitches of 2.5 mm at 2500 a minute move 6.25 m a minute, 4 mm at 1000 a minute 4 m.
    yield Finding("2500 stitches a minute of 2.5 mm: seam a minute, m", 6.25, needle_speed_m_per_min(2500, 4), 1e-9)
    yield Finding("1000 stitches a minute of 4 mm: seam a minute, m", 4.0, needle_speed_m_per_min(1000, 2.5), 1e-9)
    yield Finding("stitches of 100 m at 4 a centimetre", 40_000, _stitches(100, 2500, 4, 1.0), 1e-6)
    # 60 banners of 2 x 1 m hemmed with 301: 360 m of seam, 900 m of thread, 1035 m with 15 % waste.
    yield Finding("thread for hems round 60 banners of 2 x 1 m, with waste, m", 1035, thread_m(60 * 6, "301", 0.15),
                  1e-9)  # fmt: skip
    yield Finding("cones of 5000 m for 10 km of overedge 504", 28, thread_m(10_000, "504") / 5000, 1e-9)


CASES = (
    Case(
        "G-03", "Seams: stitches, minutes and thread",
        "seam time: definition, as in apparel-engineering texts, numbers derived; thread: a thread maker's guide, "
        "ratios and 1.7 m of class 406 confirmed on a public page (about 31 m); classes: ISO 4915",
        DIVIDED, _seams, path="library",
    ),
    Case(
        "X-46", "Stitch length times speed is seam a minute; thread of a lot",
        "derived from the definitions: stitches a minute times stitch length; thread ratios as in G-03",
        DIVIDED, _feed, path="library",
    ),
)  # fmt: skip
