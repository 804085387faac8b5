"""How much more the shop can take on before it breaks, and what each option adds."""

from __future__ import annotations

import math
from dataclasses import replace

from shopsim.figures import ALIKE, figure
from shopsim.sentences.turning_away import most_turned_away
from shopsim.sentences.words import Answer, called, held_back, no_new_orders, opening, weeks_text, would_settle
from shopsim.shop.names import quoted
from shopsim.shop.scenario import Scenario
from shopsim.studies.compare import bonferroni_pct
from shopsim.studies.growth import Growth, OptionGrowth
from shopsim.studies.precision import Interval

# An interval around today's demand no wider than this share of it is the limit itself; a wider one tells nothing.
_NARROW = 0.1


def grown(found: Growth) -> Answer:
    """The base's break with its headroom, then each option's."""
    base = f"The shop as it stands {_taken_on(found, found.base)}{_held_back(found.base)}"
    others = [
        f"With {called(each.name, _scenario(each), _scenario(found.base))} it {_taken_on(found, each)}"
        f"{_than_base(found, each)}{_held_back(each)}"
        for each in found.options
    ]
    return Answer(f"{'. '.join([base, *others])}.", _below(found))


def _taken_on(found: Growth, each: OptionGrowth) -> str:
    """What one option can take on, as far as the runs can tell."""
    target, root = f"{found.target_pct:g} %", each.breaks_at
    low, high = root.low, root.high
    if root.estimate is None:
        return _outside(found, each)
    if low is not None and low > 1:
        if high is None:
            return f"can take on at least {_change(low, math.floor)} before fewer than {target} go out on time"
        return f"can take on {_about(found, each, low, high)} before fewer than {target} go out on time"
    if high is not None and high < 1:
        if low is None:
            return f"misses {target} on time today; it would take at least {_change(high, math.ceil)}"
        return f"misses {target} on time today; it would take {_about(found, each, low, high)}"
    if low is None or high is None:
        return f"breaks at {_change(root.estimate, round)} than today, but the runs give no interval"
    at_most = (
        f"{target} go out on time up to a demand between {_change(low, math.floor)} and "
        f"{_change(high, math.ceil)} than today"
    )
    if high - low > _NARROW:
        return f"cannot be told to be past its limit or not: {at_most}"
    return f"is at its limit: {at_most}"


def _outside(found: Growth, each: OptionGrowth) -> str:
    root, target = each.breaks_at, f"{found.target_pct:g} %"
    first, last = (_change(x, round) for x in root.tried)
    if root.beyond > 0 and root.low == root.tried[1]:
        return f"still sends {target} out on time with {last}, the most that was tried"
    if root.beyond < 0 and root.high == root.tried[0]:
        # A shop loaded three times over misses it as well: why, nobody has tried.
        return f"misses {target} on time even with {first}, the fewest that were tried"
    return f"cannot be told to break or not between {first} and {last} than today"


def _about(found: Growth, each: OptionGrowth, low: float, high: float) -> str:
    """`12 % more orders (95 % interval 5 to 19), 250 m² a week (105 to 400)`, or fewer."""
    sign = 1 if low > 1 else -1
    middle = each.breaks_at.estimate or (low + high) / 2
    bounds = sorted(sign * (x - 1) for x in (low, high))
    share = Interval(sign * (middle - 1), bounds[0], bounds[1], (bounds[1] - bounds[0]) / 2, each.breaks_at.n)
    text = figure(share, 100, digits_alone=0)
    between = f" ({found.confidence_pct:g} % interval {text.between})" if text.between not in ("", ALIKE) else ""
    area = figure(share, each.today.m2_per_week, digits_alone=0)
    around = f" ({area.between})" if area.between not in ("", ALIKE) else ""
    m2 = f", {area.mean} m² a week{around}," if each.today.m2_per_week else ""
    return f"{text.mean} % {'more' if sign > 0 else 'fewer'} orders{between}{m2}".rstrip("," if sign < 0 else "")


def _change(factor: float, rounded: object) -> str:
    """`12 % more orders`, `8 % fewer orders`; bounds are rounded outward by the caller."""
    pct = rounded((factor - 1) * 100 + 0.0)  # type: ignore[operator]
    if pct == 0:
        return "as many orders"
    return f"{abs(pct)} % {'more' if pct > 0 else 'fewer'} orders"


def _than_base(found: Growth, each: OptionGrowth) -> str:
    """Whether an option breaks later than the base: by pairs where both break, else by both intervals together."""
    mine, base, later = each.breaks_at, found.base.breaks_at, each.later
    if later is not None and later.low is not None:
        if not later.sign:
            return ", which the runs cannot tell from the shop as it stands"
        by = figure(replace(later, mean=abs(later.mean), low=_ends(later)[0], high=_ends(later)[1]), 100)
        interval = f"{found.confidence_pct:g} % interval {by.between}"
        sure = f" ({interval})" if by.between not in ("", ALIKE) else ""
        return f", {'later' if later.sign > 0 else 'earlier'} than as it stands by {by.mean} % of today's demand{sure}"
    if mine.low is not None and base.high is not None and mine.low > base.high:
        return ", later than as it stands"
    if mine.high is not None and base.low is not None and mine.high < base.low:
        return ", earlier than as it stands"
    if mine.low == mine.tried[1] and base.low == base.tried[1]:
        return ""
    return ", which the runs cannot tell from the shop as it stands"


def _ends(later: Interval) -> list[float]:
    """The ends of a difference without its sign."""
    return sorted(abs(end) for end in (later.low, later.high) if end is not None)


def _held_back(each: OptionGrowth) -> str:
    past, name = each.past_break(), each.held_back_by()
    if past is None or name is None:
        return ""
    misses = each.breaks_at.high is not None and each.breaks_at.high < 1
    return f"; it {held_back(past, name, then=not misses)}"


def _scenario(each: OptionGrowth) -> Scenario:
    return next(iter(each.by_factor.values())).scenario


def _below(found: Growth) -> str:
    scenario = _scenario(found.base)
    runs = sum(len(each.rows) for option in found.all for each in option.by_factor.values())
    at_once = "Intervals hold at once. " if found.options else ""
    if any(each.later is not None and each.later.low is not None for each in found.options):
        at_once = "Intervals of each kind hold at once: where each breaks, and by how much later than as it stands. "
    return (
        f"{_settle(found)}{at_once}{runs} replications of {weeks_text(scenario.study.weeks)} in all, "
        f"{opening(scenario)}; as many of each product as today, at every demand.{_run_out(found)}{_turned_away(found)}"
    )


def _settle(found: Growth) -> str:
    """What would tell whether a shop is past its limit, where that is open: the runs at today's demand."""
    texts = []
    for each in found.all:
        low, high, today = each.breaks_at.low, each.breaks_at.high, each.by_factor.get(1.0)
        if today is None or low is None or high is None or not low <= 1 <= high:
            continue
        which = "the shop as it stands" if each is found.base else quoted(each.name)
        texts.append(would_settle(
            today.values("measures", "on_time_share"), bonferroni_pct(found.confidence_pct, len(found.all)),
            f"whether {which} is past its limit today", found.target_pct / 100,
        ))  # fmt: skip
    return "".join(dict.fromkeys(texts))


def _run_out(found: Growth) -> str:
    """Which weeks orders and m² a week are counted from, where some of those studied have none."""
    told = no_new_orders(found.base.weeks)
    return f" {told[:1].upper()}{told[1:]}, which orders and m² a week leave out." if told else ""


def _turned_away(found: Growth) -> str:
    return most_turned_away(rows for each in found.all for rows in each.by_factor.values())
