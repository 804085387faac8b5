"""Does it pay: worth, payback, break-even demand, each with its interval; the spread of runs kept apart from it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from shopsim.sentences.words import Answer, opening, quoted, weeks_text
from shopsim.studies.payback import Payback, last_demand
from shopsim.studies.precision import Interval, more_to_settle
from shopsim.studies.root_finding import Root

# The middle of the runs that is told.
_TAIL = 0.1

INPUT_WORDS = {
    "once_cu": "price", "resale_cu": "resale", "life_years": "years of use", "per_year_cu": "yearly extra cost",
    "discount_pct": "discount rate", "growth_pct_per_year": "growth of demand", "gain_pct": "gain that comes true",
    "sales_price_pct": "sales prices", "material_price_pct": "prices of cloth and ink",
    "energy_price_pct": "price of electricity", "wages_pct": "wages",
}  # fmt: skip


def paid(found: Payback) -> Answer:
    """The verdict, payback and break-even demand; then what doubt about the inputs makes of it."""
    sentence = f"{_verdict(found)}{_back(found)}{_even(found)}."
    return Answer(f"{sentence}{_doubt(found)}", _below(found))


def _verdict(found: Payback) -> str:
    currency, npv = found.base.scenario.money.currency, found.npv
    life = f"{found.plan.inputs.life_years:.3g} years at {found.plan.discount_pct:g} % a year, {_demand(found)}"
    worth = f"{money(npv.mean)} {currency}{_between(npv, found)} over {life}"
    if npv.low is None or npv.high is None:
        return f"Whether {quoted(found.option.name)} pays cannot be told from one replication: it is worth {worth}"
    if npv.sign > 0:
        return f"{quoted(found.option.name)} pays: it is worth {worth}"
    if npv.sign < 0:
        return f"{quoted(found.option.name)} does not pay: it is worth {worth}"
    return f"Whether {quoted(found.option.name)} pays cannot be told: it is worth {worth}"


def _demand(found: Payback) -> str:
    growth = found.plan.growth_pct_per_year
    if growth == 0:
        return "with as many orders as today"
    return f"with orders {'growing' if growth > 0 else 'shrinking'} by {abs(growth):g} % a year"


def _between(found: Interval, payback: Payback) -> str:
    if found.low is None or found.high is None or found.low == found.high:
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
    """When the mean cash flow has come back, and when that of most runs has."""
    if found.plan.spending.at_start_cu == 0:
        return ", with nothing to pay back"
    root = found.pays_back_after
    runs = _spread(found.runs.payback_years, within=root.tried[1])
    if root.estimate is None:
        if root.low is None or root.low < root.tried[1]:
            return f"; whether it pays back within its life cannot be told ({_share_of_runs(found)})"
        return f", and does not pay back within its life ({_share_of_runs(found)})"
    return f", and has paid back after {root.estimate:.1f} years ({_ends(root)}80 % of runs {runs})"


def _ends(root: Root) -> str:
    low, high = root.low, root.high
    if low is None:
        return ""
    if high is None:
        return f"at least {_tenth(low, math.floor)}; "
    ends = _tenth(low, math.floor), _tenth(high, math.ceil)
    return f"{ends[0]} to {ends[1]}; " if ends[0] != ends[1] else ""


def _tenth(value: float, rounded: object) -> str:
    return f"{rounded(round(value * 10, 6)) / 10:.1f}"  # type: ignore[operator]


def _spread(values: Sequence[float], within: float) -> str:
    """From the tenth to the ninetieth of a hundred, `never` for what lies beyond the life."""
    low, high = (quantile(values, share) for share in (_TAIL, 1 - _TAIL))
    texts = [f"{value:.1f}" if value <= within else "never" for value in (low, high)]
    return f"{texts[0]} to {texts[1]}" if texts[0] != texts[1] else texts[0]


def quantile(values: Sequence[float], share: float) -> float:
    """The smallest value that at least a share of all reach at most."""
    return sorted(values)[max(1, math.ceil(len(values) * share - 1e-9)) - 1]


def _share_of_runs(found: Payback) -> str:
    count = sum(math.isfinite(years) for years in found.runs.payback_years)
    return f"{count} of {len(found.runs.payback_years)} runs do"


def _even(found: Payback) -> str:
    """From which demand on the mean is worth something."""
    root = found.breaks_even_at
    if root.estimate is None:
        if root.beyond > 0 and root.low == root.tried[1]:
            return f"; it would not pay even at {root.tried[1] * 100:.0f} % of today's demand"
        if root.beyond < 0 and root.high == root.tried[0]:
            return f"; it would pay even at {root.tried[0] * 100:.0f} % of today's demand"
        tried = " to ".join(f"{factor * 100:.0f}" for factor in root.tried)
        return f"; from what demand on it would pay cannot be told ({tried} % of today's were tried)"
    low, high = root.low, root.high
    between = "" if low is None or high is None else f" ({math.floor(low * 100)} to {math.ceil(high * 100)})"
    return f"; at the same demand every year it pays from {root.estimate * 100:.0f} % of today's on{between}"


def _doubt(found: Payback) -> str:
    if not found.plan.ranges:
        return ""
    currency, doubt = found.base.scenario.money.currency, found.with_doubt
    low, high = (money(quantile(doubt.npv_cu, share)) for share in (_TAIL, 1 - _TAIL))
    gains = sum(value > 0 for value in doubt.npv_cu) / len(doubt.npv_cu)
    most = INPUT_WORDS[found.tornado[0].doubt.name]
    return (
        f" With doubt about {len(found.plan.ranges)} inputs it is worth more than nothing in {gains * 100:.0f} % of "
        f"cases, and in 80 % of cases {low} to {high} {currency}; {most} matters most."
    )


def _settle(found: Payback) -> str:
    """How many replications would tell whether it pays, where these cannot."""
    if found.settled:
        return ""
    needed = more_to_settle(found.runs.npv_cu, _confidence_pct(found))
    return f"About {needed:,} more replications would settle whether it pays. " if needed else ""


def _below(found: Payback) -> str:
    study = found.base.scenario.study
    taxed = f"taxed at {found.plan.tax_share * 100:g} %" if found.plan.tax_share else "before tax"
    demands = len(found.curves.factors)
    runs = len(found.runs.npv_cu)
    return (
        f"{_settle(found)}Intervals tell how well the mean is known; 80 % of runs is the spread of {runs} "
        f"replications, each taken as the luck of every year. What happens in {weeks_text(study.weeks)} is taken as "
        f"typical of the year, {taxed}; run at {demands} demands, {opening(found.base.scenario)}.{_cut_off(found)}"
    )


def _cut_off(found: Payback) -> str:
    """Where growth leads beyond the demands that were run."""
    first, last = found.curves.factors[0], found.curves.factors[-1]
    reached = last_demand(found.plan.inputs)
    if not first <= reached <= last:
        end = last if reached > last else first
        return f" Demand beyond {end * 100:.0f} % of today's was not run: the gain is taken as there."
    if not found.cut_off_share:
        return ""
    return (
        f" In {math.ceil(found.cut_off_share * 100)} % of the cases with doubt demand leaves {first * 100:.0f} to "
        f"{last * 100:.0f} % of today's, which was run: the gain is then taken as there."
    )
