"""Orders turned away: a shop that says no is easily on time with the rest, so whoever tells one tells the other."""

from __future__ import annotations

import math
from collections.abc import Iterable

from shopsim.figures import percent
from shopsim.studies.precision import Interval
from shopsim.studies.replicate import Replications

TURNED_AWAY = "turned_away_share"


def turned_away(found: Replications) -> str:
    """`5 % of orders turned away`; empty where none ever was."""
    share = found.interval("measures", TURNED_AWAY)
    return f"{percent(share).mean} % of orders turned away" if share.mean > 0 else ""


def most_turned_away(runs: Iterable[Replications]) -> str:
    """` Up to 5 % of orders were turned away; they do not count as late.`; empty where none ever was."""
    shares = [found.interval("measures", TURNED_AWAY).mean for found in runs]
    most = max((share for share in shares if not math.isnan(share)), default=0.0)
    told = f"Up to {most * 100:.0f} %" if most >= 0.005 else "Fewer than 1 %"
    return f" {told} of orders were turned away; they do not count as late." if most > 0 else ""


def more_turned_away(base: Replications, option: Replications, step: Interval) -> str:
    """`turns more orders away (5 %, 2 % as it stands)`, or fewer; empty where the runs cannot tell which."""
    if not step.sign:
        return ""
    before, after = (percent(each.interval("measures", TURNED_AWAY)).mean for each in (base, option))
    return f"turns {'more' if step.sign > 0 else 'fewer'} orders away ({after} %, {before} % as it stands)"
