"""What belongs to the answer whether an investment pays: on time with it, luck beside doubt, what was run."""

from __future__ import annotations

import math

from shopsim.figures import percent
from shopsim.sentences.paying_words import confidence_pct, middle, orders_compared, usual_told
from shopsim.sentences.turning_away import turned_away
from shopsim.sentences.words import held_back, no_new_orders, often, opening, weeks_text, would_settle
from shopsim.studies.order_weeks import order_weeks
from shopsim.studies.payback import Payback
from shopsim.studies.payback_inputs import last_demand

_WEEKS_PER_YEAR = 52


def below(found: Payback) -> str:
    """What stands below the sentence."""
    study = found.base.scenario.study
    taxed = f"taxed at {found.plan.tax_share * 100:g} %" if found.plan.tax_share else "before tax"
    demands = len(found.curves.option.factors)
    runs = len(found.runs.npv_cu)
    shorter = ", if anything too much for a year" if study.weeks < _WEEKS_PER_YEAR else ""
    return (
        f"{_settle(found)}{_on_time(found)}{_luck_beside(found)}Intervals tell how well the mean is known. "
        f"Luck is that of {runs} replications, drawn anew for each year of use{shorter}. What happens in "
        f"{weeks_text(study.weeks)} is taken as typical of the year{_run_out(found)}, {taxed}; run at {demands} "
        f"demands, {opening(found.base.scenario)}.{_usual(found)}{_cut_off(found)}"
    )


def _run_out(found: Payback) -> str:
    """Which weeks a year's orders are counted from, where some of those studied have none."""
    now, then = (no_new_orders(order_weeks(which)) for which in (found.base, found.option))
    if now == then:
        told = now
    else:
        told = "; ".join(f"{text} {which}" for text, which in ((now, "as it stands"), (then, "with it")) if text)
    by = "wages, machine service and floor by all weeks, what goes with orders by those in which orders come in"
    return f" ({told}: {by})" if told else ""


def _settle(found: Payback) -> str:
    """How many replications would tell whether it pays, where these cannot."""
    return "" if found.settled else would_settle(found.runs.npv_cu, confidence_pct(found), "whether it pays")


def _luck_beside(found: Payback) -> str:
    """Luck, on its own and with the doubt that the sentence tells of."""
    if not found.plan.ranges:
        return ""
    currency = found.base.scenario.money.currency
    return (
        f"Luck alone makes it {middle(found.luck.npv_cu)} {currency} in 80 % of cases, both together "
        f"{middle(found.with_doubt.npv_cu)} {currency}. "
    )


def _on_time(found: Payback) -> str:
    """Whether the shop can do what it takes on."""
    now, then = percent(found.on_time_now), percent(found.on_time_then)
    sure_now = _told(now.between, turned_away(found.runs_now))
    sure_then = _told(then.between, turned_away(found.runs_then))
    what = "With these orders" if orders_compared(found) else "With it"
    told = (
        f"{what} {then.mean} % of orders go out on time{sure_then}, {now.mean} % as the shop stands"
        f"{sure_now}{_held_back(found)}. "
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


def _told(*parts: str) -> str:
    told = "; ".join(part for part in parts if part)
    return f" ({told})" if told else ""


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


def _usual(found: Payback) -> str:
    """What ranges of the program's own rest on, and how to do without."""
    if not usual_told(found):
        return ""
    return (
        " Usual ranges of ours are common practice without a source, but those of resale and electricity; on the "
        "command line --only-given leaves them out."
    )
