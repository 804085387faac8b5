"""Does it pay: worth, payback, break-even demand, each with its interval; luck and doubt kept apart from it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from shopsim.figures import percent
from shopsim.sentences.words import Answer, held_back, often, opening, weeks_text
from shopsim.shop.names import quoted
from shopsim.studies.demand_scaling import demand_size
from shopsim.studies.payback import Payback
from shopsim.studies.payback_inputs import last_demand
from shopsim.studies.precision import Interval, more_to_settle
from shopsim.studies.root_finding import Root

# The middle of the cases that is told.
_TAIL = 0.1
_WEEKS_PER_YEAR = 52
_OF_TODAY = "of today's"

PART_WORDS = {
    "sales": "Sales", "late_penalties": "Late penalties avoided", "material": "Cloth and ink", "energy": "Electricity",
    "labour": "Wages and overtime", "service": "Machine service", "rent": "Floor", "other": "Freight, bought in",
}  # fmt: skip
INPUT_WORDS = {
    "once_cu": "price", "resale_cu": "resale", "life_years": "years of use", "per_year_cu": "yearly extra cost",
    "discount_pct": "discount rate", "growth_pct_per_year": "growth of demand", "orders_won_pct": "orders won",
    "gain_pct": "gain that comes true", "sales_price_pct": "sales prices",
    "material_price_pct": "prices of cloth and ink", "energy_price_pct": "price of electricity",
    "wages_pct": "wages",
}  # fmt: skip


class OrdersPerWeek(NamedTuple):
    """Orders asked of the shop as it stands, and of the option with the orders it wins, in the first year."""

    today: float
    then: float


def paid(found: Payback) -> Answer:
    """The verdict, payback and break-even demand; then what doubt about the inputs and luck make of it."""
    sentence = f"{_verdict(found)}{_back(found)}{_without(found)}{_even(found)}{_needed(found)}."
    return Answer(f"{sentence}{_spreads(found)}", _below(found))


def orders_per_week(found: Payback) -> OrdersPerWeek:
    """The orders a week that base and option are given at today's demand."""
    today, then = demand_size(found.base), demand_size(found.option)
    return OrdersPerWeek(today.orders_per_week, then.orders_per_week * (1 + found.plan.won))


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
    asked = _orders_compared(found)
    if not asked:
        return f"with orders {growing}" if growing else "with as many orders as today"
    return f"{asked}, {growing}" if growing else asked


def _orders_compared(found: Payback) -> str:
    today, then = orders_per_week(found)
    if not math.isclose(today, then, rel_tol=1e-6):
        more = f" ({_more(then / today - 1)})" if today else ""
        slowly = f", all of them after {weeks_text(found.plan.orders_won_weeks)}" if found.plan.orders_won_weeks else ""
        return f"with {then:.3g} orders a week instead of {today:.3g}{more}{slowly}"
    before, after = (demand_size(which).m2_per_week for which in (found.base, found.option))
    if before and not math.isclose(before, after, rel_tol=1e-6):
        return f"with as many orders as today, but {_more(after / before - 1)} m²"
    return ""


def _more(share: float) -> str:
    return f"{abs(share) * 100:.3g} % {'more' if share > 0 else 'less'}"


def _between(found: Interval, payback: Payback) -> str:
    # What is the same in every run differs by the rounding of sums at most.
    if found.low is None or found.high is None or math.isclose(found.low, found.high, rel_tol=1e-9, abs_tol=1e-6):
        return ""
    step = _step(max(abs(found.low), abs(found.high)))
    return (
        f" ({_confidence_pct(payback):g} % interval {_rounded(found.low, step, math.floor)} to "
        f"{_rounded(found.high, step, math.ceil)})"
    )


def _confidence_pct(found: Payback) -> float:
    return found.base.scenario.study.confidence_pct


def money(value: float) -> str:
    """An amount with three digits that count."""
    return _rounded(value, _step(abs(value)), round)


def _step(size: float) -> int:
    return int(10 ** max(0, math.floor(math.log10(size)) - 2)) if size >= 1 else 1


def _rounded(value: float, step: int, rounded: object) -> str:
    amount = rounded(value / step) * step  # type: ignore[operator]
    return f"{amount:,d}".replace("-", "−")


def _back(found: Payback) -> str:
    """When the mean cash flow has come back, and when that of most lives has."""
    if found.plan.spending.at_start_cu == 0:
        return ", with nothing to pay back"
    root, share = found.pays_back_after, found.luck.share_paid_back
    by_luck = f" (by luck it does in {share * 100:.0f} % of cases)" if share else ""
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


def _tenth(value: float, rounded: object) -> str:
    return f"{rounded(round(value * 10, 6)) / 10:.1f}"  # type: ignore[operator]


def _lucky(values: Sequence[float], within: float) -> str:
    """From the tenth to the ninetieth of a hundred, `never` for what lies beyond the life."""
    low, high = (quantile(values, share) for share in (_TAIL, 1 - _TAIL))
    texts = [f"{value:.1f}" if value <= within else "never" for value in (low, high)]
    return f"luck makes it {texts[0]} to {texts[1]} in 80 % of cases" if texts[0] != texts[1] else ""


def quantile(values: Sequence[float], share: float) -> float:
    """The smallest value that at least a share of all reach at most."""
    return sorted(values)[max(1, math.ceil(len(values) * share - 1e-9)) - 1]


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
        return f" Luck alone makes it {_middle(found.luck.npv_cu)} {currency} in 80 % of cases."
    most = INPUT_WORDS[found.tornado[0].doubt.name]
    count = len(found.plan.ranges)
    return (
        f" With doubt about {f'{count} inputs' if count > 1 else 'one input'} it is worth "
        f"{_middle(found.doubt.npv_cu)} {currency} in 80 % of cases, and more than nothing in "
        f"{_gains(found.doubt.npv_cu)}; {most} matters most."
    )


def _luck_beside(found: Payback) -> str:
    """Luck, on its own and with the doubt that the sentence tells of."""
    if not found.plan.ranges:
        return ""
    currency = found.base.scenario.money.currency
    return (
        f"Luck alone makes it {_middle(found.luck.npv_cu)} {currency} in 80 % of cases, both together "
        f"{_middle(found.with_doubt.npv_cu)} {currency}. "
    )


def _middle(values: Sequence[float]) -> str:
    low, high = (money(quantile(values, share)) for share in (_TAIL, 1 - _TAIL))
    return f"{low} to {high}" if low != high else low


def _gains(values: Sequence[float]) -> str:
    gains = sum(value > 0 for value in values)
    return {0: "none", len(values): "all"}.get(gains) or f"{gains / len(values) * 100:.0f} %"


def _settle(found: Payback) -> str:
    """How many replications would tell whether it pays, where these cannot."""
    if found.settled:
        return ""
    needed = more_to_settle(found.runs.npv_cu, _confidence_pct(found))
    return f"About {needed:,} more replications would settle whether it pays. " if needed else ""


def _below(found: Payback) -> str:
    study = found.base.scenario.study
    taxed = f"taxed at {found.plan.tax_share * 100:g} %" if found.plan.tax_share else "before tax"
    demands = len(found.curves.option.factors)
    runs = len(found.runs.npv_cu)
    shorter = ", if anything too much for a year" if study.weeks < _WEEKS_PER_YEAR else ""
    return (
        f"{_settle(found)}{_on_time(found)}{_luck_beside(found)}Intervals tell how well the mean is known. "
        f"Luck is that of {runs} replications, drawn anew for each year of use{shorter}. What happens in "
        f"{weeks_text(study.weeks)} is taken as typical of the year, {taxed}; run at {demands} demands, "
        f"{opening(found.base.scenario)}.{_cut_off(found)}"
    )


def _on_time(found: Payback) -> str:
    """Whether the shop can do what it takes on."""
    now, then = percent(found.on_time_now), percent(found.on_time_then)
    what = "With these orders" if _orders_compared(found) else "With it"
    told = (
        f"{what} {then.mean} % of orders go out on time{_told(then.between)}, {now.mean} % as the shop stands"
        f"{_told(now.between)}{_held_back(found)}. "
    )
    anyway = found.taken_anyway
    if anyway is None:
        return told
    late = percent(anyway.on_time)
    return f"{told}Should the shop take the orders won without it, {late.mean} % would{_told(late.between)}. "


def _held_back(found: Payback) -> str:
    """What the shop hangs on with it, and as it stands."""
    now, then = found.runs_now, found.runs_then
    before, after = now.constraint(), then.constraint()
    if before is None or after is None:
        return ""
    return (
        f"; it {held_back(then, after[0])} ({often(after[1])}); as it stands it "
        f"{held_back(now, before[0], then=False)} ({often(before[1])})"
    )


def _told(between: str) -> str:
    return f" ({between})" if between else ""


def _cut_off(found: Payback) -> str:
    """Where growth and orders won lead beyond the demands that were run."""
    first, last = found.curves.same.factors[0], found.curves.same.factors[-1]
    reached = last_demand(found.plan.inputs)
    if not first <= reached <= last:
        end = last if reached > last else first
        return f" Demand beyond {end * 100:.0f} % of today's was not run: the gain is taken as there."
    if not found.cut_off_share:
        return ""
    won = f" (with orders won {found.curves.option.factors[-1] * 100:.0f} %)" if found.plan.won else ""
    return (
        f" In {math.ceil(found.cut_off_share * 100)} % of the cases with doubt demand leaves {first * 100:.0f} to "
        f"{last * 100:.0f} % of today's{won}, which was run: the gain is then taken as there."
    )
