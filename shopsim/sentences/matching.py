"""Whether a model agrees with what happened, as far as the record can tell, and which input most likely explains it."""

from __future__ import annotations

import math

from shopsim.figures import ALIKE, Figure, decimals, figure, percent, plain, signed
from shopsim.sentences.words import Answer, listed, weeks_text
from shopsim.studies.match import Match
from shopsim.studies.match_causes import Cause
from shopsim.studies.match_figures import ON_TIME
from shopsim.studies.match_luck import Level, Shape, agrees_within, weeks_to_tell
from shopsim.studies.precision import Interval

_WORDS = {
    "on_time_share": ("orders on time", "%"),
    "lead_time_p50_days": ("days until half of the orders are out", "days"),
    "lead_time_p90_days": ("days until nine orders in ten are out", "days"),
    "orders_out_per_week": ("orders out a week", "orders"),
    "m2_out_per_week": ("m² out a week", "m²"),
    "orders_in_shop": ("orders in the shop", "orders"),
    "lead_time_days": ("the whole curve of lead times", "days"),
    "orders_out_by_week": ("orders out week by week", "orders"),
    "m2_out_by_week": ("m² out week by week", "m²"),
    "in_shop_by_week": ("orders in the shop week by week", "orders"),
}
_HOURS = {
    "printing": "hours a week {0} prints",
    "down": "hours a week {0} is down",
    "work": "hours of work a week at {0}",
}
_MOST_NAMED = 3


def matched(found: Match) -> Answer:
    """The verdict: what differs, what can be trusted, what cannot be told, and the likeliest cause of a gap."""
    parts = [_verdict(found), _trusted(found), _open(found), _cause(found)]
    return Answer(" ".join(part for part in parts if part), _below(found))


def figure_words(name: str) -> str:
    """A figure in words, e.g. `orders on time`."""
    if name in _WORDS:
        return _WORDS[name][0]
    kind, _, rest = name.partition(".")
    return _HOURS[kind].format(rest.removesuffix("_h_per_week").replace("_", " "))


_SHORT = {
    "on_time_share": "on time, %",
    "lead_time_p50_days": "half out within, days",
    "lead_time_p90_days": "9 in 10 within, days",
    "lead_time_days": "lead times, days",
    "orders_out_by_week": "orders out by week",
    "m2_out_by_week": "m² out by week",
    "in_shop_by_week": "in the shop by week",
}
_SHORT_HOURS = {"printing": "{0} prints, h a week", "down": "{0} down, h a week", "work": "{0}, h a week"}


def short_words(name: str) -> str:
    """A figure with its unit as short as a table's row wants it."""
    kind, _, rest = name.partition(".")
    if kind in _SHORT_HOURS:
        return _SHORT_HOURS[kind].format(rest.removesuffix("_h_per_week").replace("_", " "))
    return _SHORT.get(name) or figure_words(name)


def figure_unit(name: str) -> str:
    """Its unit: `%`, `days`, `orders`, `m²`, `h`."""
    return _WORDS[name][1] if name in _WORDS else "h"


def level_text(name: str, value: float) -> str:
    """One value of a figure, without its unit."""
    alone = Interval(value, None, None, None, 1)
    return (percent(alone) if name == ON_TIME else figure(alone)).mean


def difference_text(level: Level) -> Figure:
    """The difference in words: in points for shares; with a decimal where the two figures have any."""
    shown = max(decimals(level_text(level.name, value)) for value in (level.record, level.mean))
    return signed(level.difference, 100 if level.name == ON_TIME else 1, min(1, shown))


def moved_text(cause: Cause) -> str:
    """`17 % fewer sewing minutes`: how far an input was moved."""
    size = abs(cause.amount)
    if cause.unit == "%":
        return f"{cause.name} {size:.0f} % {'higher' if cause.amount > 0 else 'lower'}"
    amount = f"{size:.0f}" if cause.unit == "people" else plain(size)
    unit = "person" if cause.unit == "people" and amount == "1" else cause.unit
    return f"{cause.name}: {amount} {unit} {'more' if cause.amount > 0 else 'less'}"


def _verdict(found: Match) -> str:
    weeks = weeks_text(found.record.weeks)
    differing = found.with_outcome("differs")
    if differing:
        first, *rest = sorted(differing, key=_far, reverse=True)
        others = f"; so do {_named(rest)}" if rest else ""
        return f"The model differs from what happened in {weeks}: {_told(found, first)}{others}."
    if not found.settled:
        return f"Nothing in {weeks} on record speaks against the model, but that is not enough to trust all of it."
    close = f"to ±{found.plan.tolerance.pct:g} % (shares to ±{found.plan.tolerance.points:g} points)"
    if not found.judged.accepted:
        return (
            f"The model agrees with what happened in {weeks} {close}; what luck does not explain is smaller than that."
        )
    return f"The model agrees with what happened in {weeks}, {close}, and luck explains the rest."


def _far(one: Level | Shape) -> float:
    """How far beyond luck."""
    if isinstance(one, Shape):
        return one.distance / one.luck if one.luck > 0 else math.inf
    half = one.difference.half_width or 0.0
    return abs(one.difference.mean) / half if half > 0 else math.inf


def _told(found: Match, one: Level | Shape) -> str:
    name, unit = figure_words(one.name), figure_unit(one.name)
    if isinstance(one, Shape):
        return f"{name} lies {plain(one.distance)} {unit} off on average, where luck explains {plain(one.luck)}"
    text = difference_text(one)
    sure = f", {found.judged.confidence_pct:g} % interval {text.between}" if text.between not in ("", ALIKE) else ""
    points = "points" if one.name == ON_TIME else ""
    happened, model = level_text(one.name, one.record), level_text(one.name, one.mean)
    percent_sign = " %" if one.name == ON_TIME else ""
    return (
        f"{name} {happened}{percent_sign}, in the model {model}{percent_sign} "
        f"({text.mean}{' ' + points if points else ''}{sure})"
    )


def _named(figures: list[Level | Shape]) -> str:
    names = [figure_words(one.name) for one in figures]
    if len(names) > _MOST_NAMED + 1:
        names = [*names[:_MOST_NAMED], f"{len(names) - _MOST_NAMED} others"]
    return listed(names)


def _trusted(found: Match) -> str:
    agreeing = found.with_outcome("agrees")
    if not agreeing:
        return f"No figure is known to agree within {_close(found)}." if found.differs else ""
    if found.settled and not found.differs:
        return ""
    return f"It can be trusted to {_close(found)} for {_named(agreeing)}."


def _close(found: Match) -> str:
    return f"±{found.plan.tolerance.pct:g} %"


def _open(found: Match) -> str:
    unknown = found.with_outcome("cannot tell")
    if not unknown:
        return ""
    told = f"Too much luck is left to tell whether it agrees so closely in {_named(unknown)}"
    first = next((one for one in unknown if isinstance(one, Level)), None)
    weeks = None if first is None else weeks_to_tell(first, found.record.weeks)
    if first is None or weeks is None:
        return f"{told}."
    within, unit = agrees_within(first), figure_unit(first.name)
    if first.name == ON_TIME:
        within, unit = float(math.ceil(within * 100)), "points"
    return (
        f"{told}: for {figure_words(first.name)} it would take about {plain(float(weeks))} weeks like these on record, "
        f"or ±{plain(within)} {unit} as good enough."
    )


def _cause(found: Match) -> str:
    if found.causes is None:
        return ""
    likely = found.causes.likeliest
    if not likely:
        return f"None of {found.causes.tried} inputs that were moved explains the gap by itself."
    first = likely[0]
    closes = found.causes.differ - first.still_differ
    outcome = (
        f"with it {closes} of the {found.causes.differ} numbers that differ no longer do" if found.causes.differ else ""
    )
    rivals = [moved_text(each) for each in likely[1:]]
    others = f"; or {' or '.join(rivals)}, the runs cannot tell which" if rivals else ""
    said = f" ({outcome})" if outcome else ""
    return f"Most likely among single inputs: {moved_text(first)}{said}{others}."


def _below(found: Match) -> str:
    record, judged = found.record, found.judged
    count = len(judged.levels) + len(judged.shapes)
    filled = f"the {weeks_text(record.run_in_weeks)} before fill the shop" if record.run_in_weeks else "started empty"
    return (
        f"{len(found.runs.rows)} runs of the recorded orders, {record.first} to {record.last}; {filled}. "
        f"{judged.confidence_pct:g} % for all {count} figures at once. The shop's own luck is taken to be as great as "
        f"that of the runs; doubt about inputs is not in the intervals. Agreement holds for weeks like these only."
    )
