"""How long a shop that opens empty takes to settle: the warm-up a long-run study must leave out.

The orders in the shop, day by day and averaged over replications that start empty, are put to the rule MSER (White
1997) in batches of a week, so that weekdays do not matter, and smoothed as Welch (1983) does for the eye.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from shopsim.shop.money import Study
from shopsim.studies.option import Option
from shopsim.studies.runner import Ask, Runner
from shopsim.studies.warm_up import mean_over_replications, mser, welch_curve

_WEEK_DAYS = 7
# Ten days to each side: an average over three weeks.
_WELCH_SIDE_DAYS = 10
# The rule needs four batches, and leaves out at most half of them.
LEAST_WEEKS = 8


@dataclass(frozen=True, slots=True)
class Settling:
    """What came out. `weeks` is the warm-up in whole weeks; None if the shop does not settle in the weeks simulated.

    `by_day` is the mean number of orders in the shop on each day from an empty start, `smoothed` Welch's curve of it,
    which ends ten days early.
    """

    weeks: int | None
    by_day: tuple[float, ...]
    smoothed: tuple[float, ...]
    replications: int


def settling(runner: Runner, option: Option, replications: int) -> Settling:
    """Run the shop from empty over warm-up and study weeks together, at least eight of them.

    Raises ValueError for no replications, and as `Runner`.
    """
    study = option.scenario.study
    weeks = max(LEAST_WEEKS, math.ceil(study.weeks + (study.warm_up_weeks if study.opening == "warm" else 0)))
    empty = Study.model_validate(
        {**study.model_dump(exclude={"warm_up_weeks"}), "opening": "empty", "weeks": float(weeks)}
    )
    from_empty = replace(option, scenario=option.scenario.model_copy(update={"study": empty}))
    (rows,) = runner.run([Ask(from_empty, replications)])
    by_day = [row.in_shop_by_day for row in rows]
    mean = mean_over_replications(by_day)
    cut = mser(mean, _WEEK_DAYS)
    return Settling(
        cut.leave_out // _WEEK_DAYS if cut.long_enough else None,
        tuple(mean), tuple(welch_curve(by_day, _WELCH_SIDE_DAYS)), len(rows),
    )  # fmt: skip
