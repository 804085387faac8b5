"""How orders come: rate, month, weekday, hour, scatter from day to day, trend; from an order history.

A multiplicative Poisson model fitted by iterated proportions (W. E. Deming and F. F. Stephan, Annals of Mathematical
Statistics 11, 1940; the maximum likelihood of this model), with errors widened by the dispersion (quasi-likelihood).
"""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from shopsim.clock import WEEKDAYS
from shopsim.shop.demand import Forecast
from shopsim.studies.fit_estimates import Estimate, dispersion, normal_quantile
from shopsim.studies.fit_found import Doubt, Findings, Fitted, short
from shopsim.studies.fit_history import History

Floats = NDArray[np.float64]
# A year, near enough; and days a month must have on record to have an index of its own.
_LEAST_DAYS, _LEAST_MONTH_DAYS = 330, 20
_LEAST_WEEKS_TREND = 26
TREND, RATE_AT_THE_END = "trend, % a year", "orders a week at the end of these weeks"
_MONTHS = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
# Scale, what it is, and the name of each place in the list.
_LISTS: dict[str, tuple[float, str, tuple[str, ...]]] = {
    "weekday_shares": (100.0, "share of the week, %,", WEEKDAYS),
    "hour_shares": (100.0, "share of the day, %,", tuple(f"{hour:02d}:00" for hour in range(24))),
    "month_index": (1.0, "index", _MONTHS),
}


def fit_rates(history: History, base: Forecast, confidence_pct: float) -> Findings:
    """Rate, weekday and hour shares, month index (from a year on) and dispersion of a forecast."""
    found = Findings()
    days = history.days
    counts = np.zeros(len(days))
    for order in history.orders:
        counts[(order.received.date() - history.first).days] += 1
    month, weekday = np.array([day.month - 1 for day in days]), np.array([day.weekday() for day in days])
    own_months = len(days) >= _LEAST_DAYS and int(np.bincount(month, minlength=12).min()) >= _LEAST_MONTH_DAYS
    index, shares, rate = _proportions(counts, month, weekday, None if own_months else np.array(base.month_index))
    expected = rate * index[month] * shares[weekday]
    open_days = expected > 0
    parameters = int((shares > 0).sum()) + (11 if own_months else 0)
    scatter = dispersion(counts[open_days].tolist(), expected[open_days].tolist(), parameters, confidence_pct)
    z = normal_quantile(confidence_pct)
    n = len(history.orders)
    spread = math.sqrt(max(1.0, scatter.value))
    known = _around(rate, z * spread / math.sqrt(n), n)
    found.fitted.append(Fitted(
        "demand.forecast.orders_per_week", short(rate), "orders a week", known, "orders",
        "Poisson by month and weekday, interval widened by the dispersion",
        (Doubt("demand.forecast.orders_per_week", short(known.low), short(known.high)),),
    ))  # fmt: skip
    found.fitted.append(_shares("demand.forecast.weekday_shares", shares, counts, weekday, spread * z))
    if own_months:
        found.fitted.append(_shares("demand.forecast.month_index", index, counts, month, spread * z))
    else:
        found.left.append("month index: less than a year on record")
    found.fitted.append(Fitted(
        "demand.forecast.day_to_day_dispersion", short(min(50.0, max(1.0, scatter.value))),
        "variance over mean of daily orders", scatter, "days", _dispersion_words(scatter, expected),
        _dispersion_doubt(scatter),
    ))  # fmt: skip
    found.add(_hours(history, z * spread))
    trend = _trend(history, counts, expected, month if own_months else np.zeros_like(month), z * spread)
    found.add(trend)
    found.add(_at_the_end(rate, history, trend))
    return found


def _proportions(counts: Floats, month: Floats, weekday: Floats, given: Floats | None) -> tuple[Floats, Floats, float]:
    """Month index (mean 1 over twelve months), weekday shares (sum 1) and rate a week."""
    index = np.ones(12) if given is None else given / given.mean()
    shares = np.full(7, 1 / 7)
    rate = 1.0
    for _ in range(200):
        before = rate * np.outer(index, shares)
        shares = _levels(counts, index[month], weekday, 7)
        shares = shares / shares.sum()
        if given is None:
            index = _levels(counts, shares[weekday], month, 12)
            index = index / index.mean()
        rate = float(counts.sum() / (index[month] * shares[weekday]).sum())
        if np.allclose(rate * np.outer(index, shares), before, rtol=1e-12):
            break
    return index, shares, rate


def _levels(counts: Floats, others: Floats, group: Floats, groups: int) -> Floats:
    exposure = np.bincount(group, weights=others, minlength=groups)
    return np.bincount(group, weights=counts, minlength=groups) / np.maximum(exposure, 1e-12)


def _around(value: float, half_log: float, n: int) -> Estimate:
    factor = math.exp(half_log)
    return Estimate(value, value / factor, value * factor, n)


def _shares(path: str, levels: Floats, counts: Floats, group: Floats, width: float) -> Fitted:
    """A list of shares in per cent (weekdays), or of indices; the largest one's interval is the one told."""
    percent, kind, names = _LISTS[path.rsplit(".", 1)[1]]
    orders = np.bincount(group, weights=counts, minlength=len(levels))
    each = [_around(float(level) * percent, width / math.sqrt(max(1.0, n)), int(n))
            for level, n in zip(levels, orders, strict=True)]  # fmt: skip
    top = int(np.argmax(levels))
    doubts = tuple(
        Doubt(f"{path}[{i}]", short(one.low), short(one.high)) for i, one in enumerate(each) if 0 < one.low < one.high
    )
    about = f"{kind} of {names[top]}, the strongest"
    return Fitted(path, [short(one.value) for one in each], about, each[top]._replace(n=int(orders.sum())), "orders",
                  "iterated proportions", doubts)  # fmt: skip


def _dispersion_words(scatter: Estimate, expected: Floats) -> str:
    if scatter.low <= 1 <= scatter.high:
        return "Pearson's statistic; no more scatter than chance can be told"
    if scatter.value < 1:
        return "Pearson's statistic; less scatter than chance, taken as chance"
    index = float(expected.mean()) / (scatter.value - 1)
    return f"Pearson's statistic; negative binomial index {index:.2g} on the mean day"


def _dispersion_doubt(scatter: Estimate) -> tuple[Doubt, ...]:
    low, high = short(max(1.0, scatter.low)), short(min(50.0, scatter.high))
    return (Doubt("demand.forecast.day_to_day_dispersion", low, high),) if low < high else ()


def _hours(history: History, width: float) -> Findings:
    clocks = [order.received for order in history.orders if order.received.time() != order.received.min.time()]
    if len(clocks) < 0.8 * len(history.orders):
        return Findings([], ["hours of the day: the history has days without clock times"])
    hours = np.array([at.hour for at in clocks])
    counts = np.bincount(hours, minlength=24).astype(float)
    path = "demand.forecast.hour_shares"
    return Findings([_shares(path, counts / counts.sum(), np.ones(len(hours)), hours, width)])


def _trend(history: History, counts: Floats, expected: Floats, group: Floats, width: float) -> Findings:
    """Growth a year by the score of a log-linear trend; told, never written: a forecast is a level.

    Within months that have an index of their own only what differs from year to year can be growth, so time is measured
    from each month's own mean (`group`); this leaves the months' levels out of the slope and of its error.
    """
    if history.weeks < _LEAST_WEEKS_TREND:
        return Findings([], [f"trend: less than {_LEAST_WEEKS_TREND} weeks on record"])
    years = np.arange(len(counts)) / 365.25
    weight = np.bincount(group, weights=expected)
    years = years - (np.bincount(group, weights=expected * years) / np.maximum(weight, 1e-12))[group]
    slope, information = 0.0, float((expected * years**2).sum())
    if information <= 0:
        return Findings([], ["trend: no month is on record in two years"])
    for _ in range(100):
        fitted = expected * np.exp(slope * years)
        information = float((fitted * years**2).sum())
        step = float(((counts - fitted) * years).sum()) / information
        slope += step
        if abs(step) < 1e-10:
            break
    half = width / math.sqrt(information)
    growth, low, high = (100 * (math.exp(each) - 1) for each in (slope, slope - half, slope + half))
    told = "told only, a forecast is a level" if low > 0 or high < 0 else "cannot be told from none"
    months = "" if group.any() else ", months as the file has them"
    estimate = Estimate(growth, low, high, len(history.orders))
    return Findings([Fitted("", None, TREND, estimate, "orders", f"log-linear Poisson{months}; {told}")])


def _at_the_end(rate: float, history: History, trend: Findings) -> Findings:
    """Where orders surely grow or fall: the rate when the record ends, half of it after its mean."""
    ahead = history.weeks * 7 / 2 / 365.25
    found = Findings()
    for one in trend.fitted:
        if one.estimate.low > 0 or one.estimate.high < 0:
            value, low, high = (rate * (1 + each / 100) ** ahead for each in one.estimate[:3])
            estimate = Estimate(value, low, high, one.estimate.n)
            how = "the rate written, moved on by the trend"
            found.fitted.append(Fitted("", None, RATE_AT_THE_END, estimate, "orders", how))
    return found
