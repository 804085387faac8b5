"""Does an investment pay: net present value, internal rates, payback, and comparison of unequal lives.

Flows are amounts at the end of year 0, 1, 2, ...; received is positive, paid is negative, and the first is not
discounted. Rates are shares a year, 0.09 for 9 %. Methods as in E. F. Brigham, M. C. Ehrhardt, "Financial Management:
Theory and Practice", and R. A. Brealey, S. C. Myers, F. Allen, "Principles of Corporate Finance".
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import inf

from shopsim.craft._limits import count, not_negative, share

_HALVINGS = 200


def _rate(name: str, value: float) -> float:
    if -1.0 < value < inf:
        return value
    raise ValueError(f"{name} must be above -1 (a loss of everything), found {value!r}")


def npv_cu(rate: float, flows_cu: Sequence[float]) -> float:
    """Return the net present value. Raises ValueError for a rate of -1 or less."""
    factor = 1.0 / (1.0 + _rate("rate", rate))
    value = 0.0
    for flow in reversed(flows_cu):
        value = value * factor + flow
    return value


def internal_rates(flows_cu: Sequence[float]) -> list[float]:
    """Return every rate above -1 at which the net present value is 0, rising; there may be none or several.

    Descartes: at most as many as the flows change sign. Where several come out none of them ranks the investment; its
    net present value does. Raises ValueError if all flows are 0.
    """
    if not any(flows_cu):
        raise ValueError("flows_cu must not all be 0: any rate would do")
    first = next(i for i, flow in enumerate(flows_cu) if flow)
    factors = _positive_roots(list(flows_cu)[first:])
    return sorted(1.0 / factor - 1.0 for factor in factors)


def irr(flows_cu: Sequence[float]) -> float:
    """Return the internal rate of return; of several the one nearest 0 (see `internal_rates`).

    Raises ValueError if the flows never change sign, or change it and still have no such rate.
    """
    signs = {flow > 0 for flow in flows_cu if flow}
    if len(signs) < 2:
        raise ValueError("flows_cu must hold money paid and money received: else no rate makes them worth 0")
    rates = internal_rates(flows_cu)
    if not rates:
        raise ValueError("flows_cu have no internal rate: their present value is never 0")
    return min(rates, key=abs)


def _positive_roots(terms: list[float]) -> list[float]:
    """The roots above 0 of terms[0] + terms[1] x + ...: between its turning points it rises or falls, so halving
    finds the one root there, if there is one."""
    while terms and not terms[-1]:
        terms.pop()
    if len(terms) < 2:
        return []
    changes = sum(a * b < 0 for a, b in pairwise(term for term in terms if term))
    # Descartes: no root where the sign never changes, one where it does once; turning points tell of more.
    turns = _positive_roots([power * term for power, term in enumerate(terms)][1:]) if changes > 1 else []
    # Cauchy's bound: no root is larger.
    edges = [0.0, *turns, 1.0 + max(abs(term) for term in terms[:-1]) / abs(terms[-1])]
    roots: list[float] = []
    for low, high in pairwise(sorted(edges)):
        at_low, at_high = _rounded(terms, low), _rounded(terms, high)
        if at_high == 0.0:
            roots.append(high)
        elif at_low and (at_low > 0) != (at_high > 0):
            roots.append(_halved(terms, low, high))
    return sorted({root for root in roots if root > 0.0})


def _rounded(terms: list[float], x: float) -> float:
    """The value, 0 where it is rounding residue: a root that is only touched lies on a turning point."""
    value = _value(terms, x)
    return 0.0 if abs(value) <= 1e-14 * _value([abs(term) for term in terms], x) else value


def _halved(terms: list[float], low: float, high: float) -> float:
    rising = _value(terms, high) > 0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if middle in (low, high):
            break
        if (_value(terms, middle) > 0) == rising:
            high = middle
        else:
            low = middle
    return (low + high) / 2


def _value(terms: list[float], x: float) -> float:
    value = 0.0
    for term in reversed(terms):
        value = value * x + term
    return value


def mirr(flows_cu: Sequence[float], finance_rate: float, reinvest_rate: float) -> float:
    """Return the modified internal rate: what is paid discounted to the start, what is received grown to the end.

    Raises ValueError for an impossible rate, and unless something is paid and something received.
    """
    years = len(flows_cu) - 1
    paid = -npv_cu(finance_rate, [min(0.0, flow) for flow in flows_cu])
    received = npv_cu(reinvest_rate, [max(0.0, flow) for flow in flows_cu])
    if paid <= 0 or received <= 0:
        raise ValueError("flows_cu must hold money paid and money received")
    return float((received * (1.0 + reinvest_rate) ** years / paid) ** (1.0 / years) - 1.0)


def payback_years(flows_cu: Sequence[float], rate: float = 0.0) -> float:
    """Return the years until what was paid has come back, each year's flow taken as even; infinity if it never does.

    With a rate the flows are discounted first. Raises ValueError for an impossible rate.
    """
    growth = 1.0 + _rate("rate", rate)
    total = 0.0
    for year, flow in enumerate(flows_cu):
        value = flow / growth**year
        if total < 0.0 <= total + value:
            return year - 1 - total / value
        total += value
    return inf if total < 0.0 else 0.0


def profitability_index(rate: float, flows_cu: Sequence[float]) -> float:
    """Return the present value of what follows over what is paid at the start.

    Raises ValueError for an impossible rate and unless the first flow is paid.
    """
    if not flows_cu or flows_cu[0] >= 0:
        raise ValueError("flows_cu must begin with money paid")
    return 1.0 + npv_cu(rate, flows_cu) / -flows_cu[0]


def equivalent_annual_cu(value_cu: float, rate: float, years: int) -> float:
    """Return the equal yearly amount worth a present value: how to rank machines of unequal lives.

    Raises ValueError for an impossible number.
    """
    count("years", years, least=1)
    if _rate("rate", rate) == 0.0:
        return value_cu / years
    return float(value_cu * rate / (1.0 - (1.0 + rate) ** -years))


def after_tax_flows(
    price_cu: float, benefit_cu_per_year: float, years: int, tax_share: float, book_end_cu: float = 0.0,
    resale_cu: float = 0.0,
) -> list[float]:  # fmt: skip
    """Return the flows of a machine written off evenly down to `book_end_cu` and sold at the end.

    Each year's benefit is taxed after the write-off; of the resale only what is above the book value is taxed, and a
    loss saves tax. Raises ValueError for an impossible number.
    """
    written_off = (not_negative("price_cu", price_cu) - not_negative("book_end_cu", book_end_cu)) / count(
        "years", years, least=1
    )
    kept = 1.0 - share("tax_share", tax_share)
    yearly = (benefit_cu_per_year - written_off) * kept + written_off
    at_end = not_negative("resale_cu", resale_cu) - tax_share * (resale_cu - book_end_cu)
    return [-price_cu, *([yearly] * (years - 1)), yearly + at_end]
