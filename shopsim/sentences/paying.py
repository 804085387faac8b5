"""Does it pay: worth, payback, break-even demand, each with its interval; luck and doubt kept apart from it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from shopsim.figures import money, rounded_to, step_of
from shopsim.sentences.paying_below import below
from shopsim.sentences.paying_words import (
    INPUT_WORDS,
    TAIL,
    confidence_pct,
    in_percent,
    middle,
    orders_compared,
    quantile,
    usual_told,
)
from shopsim.sentences.words import Answer
from shopsim.shop.names import quoted
from shopsim.studies.payback import Payback
from shopsim.studies.precision import Interval
from shopsim.studies.root_finding import Root

_OF_TODAY = "of today's"


def paid(found: Payback) -> Answer:
    """The verdict, payback and break-even demand; then what doubt about the inputs and luck make of it."""
    rest = f"{_without(found)}{_even(found)}{_needed(found)}".removeprefix("; ")
    told = f"{_verdict(found)}{_back(found)}. {rest[:1].upper()}{rest[1:]}.{_spreads(found)}"
    return Answer(told, below(found))


def _verdict(found: Payback) -> str:
    currency, npv = found.base.scenario.money.currency, found.npv
    life = f"{found.plan.inputs.life_years:.3g} years at {found.plan.discount_pct:g} % a year, {_demand(found)}"
    worth = f"{money(npv.mean)} {currency}{_between(npv, found)} over {life}"
    if npv.low is None or npv.high is None:
        return f"Whether {quoted(found.option.name)} pays cannot be told from one replication: it is worth {worth}"
    if npv.sign > 0:
        # What could be earned without it is not its merit.
        anyway = found.taken_anyway is not None and found.taken_anyway.npv.sign <= 0
        only = " if the orders won would not come without it" if anyway else ""
        return f"{quoted(found.option.name)} pays{only}: it is worth {worth}"
    if npv.sign < 0:
        return f"{quoted(found.option.name)} does not pay: it is worth {worth}"
    return f"Whether {quoted(found.option.name)} pays cannot be told: it is worth {worth}"


def _demand(found: Payback) -> str:
    """With how many orders, compared with those of the shop as it stands."""
    growth = found.plan.growth_pct_per_year
    growing = f"{'growing' if growth > 0 else 'shrinking'} by {abs(growth):g} % a year" if growth else ""
    asked = orders_compared(found)
    if not asked:
        return f"with orders {growing}" if growing else "with as many orders as today"
    return f"{asked}, {growing}" if growing else asked


def _between(found: Interval, payback: Payback) -> str:
    # What is the same in every run differs by the rounding of sums at most.
    if found.low is None or found.high is None or math.isclose(found.low, found.high, rel_tol=1e-9, abs_tol=1e-6):
        return ""
    step = step_of(max(abs(found.low), abs(found.high)))
    return (
        f" ({confidence_pct(payback):g} % interval {rounded_to(found.low, step, math.floor)} to "
        f"{rounded_to(found.high, step, math.ceil)})"
    )


def _back(found: Payback) -> str:
    """When the mean cash flow has come back, and when that of most lives has."""
    if found.plan.spending.at_start_cu == 0:
        return ", with nothing to pay back"
    root, share = found.pays_back_after, found.luck.share_paid_back
    by_luck = f" (by luck it does in {in_percent(share)} of cases)" if share else ""
    if root.estimate is None:
        if root.low is None or root.low < root.tried[1]:
            return f"; whether it pays back within its life cannot be told{by_luck}"
        return f", and does not pay back within its life{by_luck}"
    ends, luck = _years(root), _lucky(found.luck.payback_years, within=root.tried[1])
    told = "; ".join(part for part in (ends, luck) if part)
    after = f"{root.estimate:.1f} years{f' ({told})' if told else ''}"
    # Without an upper end the runs do not tell that it ever comes back.
    return f"; it may have paid back after about {after}" if root.high is None else f", and has paid back after {after}"


def _years(root: Root) -> str:
    """The interval; with an open end what is known of it."""
    low, high = root.low, root.high
    if low is None and high is None:
        return "the runs give no interval"
    if low is None:
        return f"at most {_tenth(high or 0.0, math.ceil)}"
    if high is None:
        return f"at least {_tenth(low, math.floor)}"
    ends = _tenth(low, math.floor), _tenth(high, math.ceil)
    return f"{ends[0]} to {ends[1]}" if ends[0] != ends[1] else ""


def _tenth(value: float, rounded: Callable[[float], int]) -> str:
    return f"{rounded(round(value * 10, 6)) / 10:.1f}"


def _lucky(values: Sequence[float], within: float) -> str:
    """From the tenth to the ninetieth of a hundred, `never` for what lies beyond the life."""
    low, high = (quantile(values, share) for share in (TAIL, 1 - TAIL))
    texts = [f"{value:.1f}" if value <= within else "never" for value in (low, high)]
    return f"luck makes it {texts[0]} to {texts[1]} in 80 % of cases" if texts[0] != texts[1] else ""


def _without(found: Payback) -> str:
    """What it is worth if no order is won, and if the shop could take them without it: then they are not its merit."""
    if found.without_won is None:
        return ""
    currency, npv = found.base.scenario.money.currency, found.without_won
    told = f"; without the orders won it is worth {money(npv.mean)} {currency}{_between(npv, found)}"
    if found.taken_anyway is None:
        return told
    anyway = found.taken_anyway.npv
    return f"{told}, against taking them as the shop stands {money(anyway.mean)} {currency}{_between(anyway, found)}"


def _even(found: Payback) -> str:
    """From which demand on the mean is worth something."""
    root = found.breaks_even_at
    won = ", the orders won in step" if found.plan.won else ""
    if root.estimate is None:
        if root.beyond > 0 and root.low == root.tried[1]:
            return f"; it would not pay even at {root.tried[1] * 100:.0f} % of today's demand{won}"
        if root.beyond < 0 and root.high == root.tried[0]:
            return f"; it would pay even at {root.tried[0] * 100:.0f} % of today's demand{won}"
        tried = " to ".join(f"{factor * 100:.0f}" for factor in root.tried)
        return f"; from what demand on it would pay cannot be told ({tried} % of today's were tried)"
    return f"; at the same demand every year {_from(root, _OF_TODAY)}{won}"


def _needed(found: Payback) -> str:
    """From how many orders won on the mean is worth something; nothing where it surely needs none."""
    root, most = found.orders_won_needed, found.orders_won_needed.tried[1] * 100
    if root.estimate is None:
        if root.beyond > 0 and root.low == root.tried[1]:
            return f"; nor would it with {most:.0f} % more orders won by it" if _never(found.breaks_even_at) else (
                f"; it would not pay even with {most:.0f} % more orders won by it"
            )  # fmt: skip
        if root.beyond < 0 and root.high == root.tried[0]:
            return ""
        return f"; how many orders it would have to win cannot be told (up to {most:.0f} % were tried)"
    return f"; {_from(root, 'more orders won by it')}"


def _never(root: Root) -> bool:
    return root.estimate is None and root.beyond > 0 and root.low == root.tried[1]


def _from(root: Root, of_what: str) -> str:
    """From where on it pays, no surer than the interval; `of_what` is what follows the per cent."""
    at = (root.estimate or 0.0) * 100
    low, high = root.low, root.high
    if low is not None and high is not None:
        return f"it pays from {at:.0f} % {of_what} on ({math.floor(low * 100)} to {math.ceil(high * 100)})"
    if low is None and high is None:
        return f"it may pay from about {at:.0f} % {of_what} on, but the runs give no interval"
    if high is None:
        return f"it may pay from about {at:.0f} % {of_what} on, at least {math.floor((low or 0.0) * 100)}"
    return f"it pays from about {at:.0f} % {of_what} on, at most {math.ceil(high * 100)}"


def _spreads(found: Payback) -> str:
    """What doubt about the inputs makes of it; without any, what luck does."""
    currency = found.base.scenario.money.currency
    if not found.plan.ranges:
        return f" Luck alone makes it {middle(found.luck.npv_cu)} {currency} in 80 % of cases."
    most = INPUT_WORDS[found.tornado[0].doubt.name]
    count = len(found.plan.ranges)
    return (
        f" With doubt about {f'{count} inputs' if count > 1 else 'one input'}{usual_told(found)} it is worth "
        f"{middle(found.doubt.npv_cu)} {currency} in 80 % of cases, and more than nothing in "
        f"{_gains(found.doubt.npv_cu)}; {most} matters most."
    )


def _gains(values: Sequence[float]) -> str:
    gains = sum(value > 0 for value in values)
    return {0: "none", len(values): "all"}.get(gains) or in_percent(gains / len(values))
