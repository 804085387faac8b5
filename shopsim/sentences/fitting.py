"""What a fit found, in one sentence, and as comments of the scenario it makes."""

from __future__ import annotations

from shopsim.figures import plain
from shopsim.sentences.words import Answer
from shopsim.studies.fit_found import Fitted
from shopsim.studies.fit_rates import RATE_AT_THE_END, TREND
from shopsim.studies.fit_shop import NEVER_FITTED, ShopFit

_TABLES = {"orders": "order lines", "printer_log": "rows of the printer log", "work_log": "rows of the work log"}
_PARTS = {
    "demand": "demand", "printers": "printers", "crews": "crews", "work_centres": "work centres", "products": "sizes",
    "policies": "faults",
}  # fmt: skip


def fitted_sentence(fit: ShopFit) -> Answer:
    """How many values come from how many rows, of which parts, and that the rest stays as it was."""
    rows = [f"{count:,} {_TABLES[name]}" for name, count in fit.rows.items() if count]
    written = fit.written
    source = _listed(rows) or "no rows"
    if not written:
        return Answer(f"Nothing could be fitted from {source}; every value stays as it was.", _below(fit))
    parts = dict.fromkeys(_PARTS.get(one.path.split(".")[0], one.path.split(".")[0]) for one in written)
    sentence = (
        f"{len(written)} value{'s' if len(written) > 1 else ''} of {_listed(list(parts))} fitted from {source}; "
        f"all others stay as they were in the file."
    )
    return Answer(sentence, _below(fit))


def _below(fit: ShopFit) -> str:
    weeks = ""
    if fit.history is not None:
        weeks = f"Orders of {fit.history.weeks} whole weeks, {fit.history.first} to {fit.history.last}. "
    return (
        f"{weeks}{_growth(fit)}"
        f"Intervals at {fit.confidence_pct:g} %; {len(fit.ranges)} of them are ranges for `sensitivity`. "
        f"Still from the handbook or the file, whatever the records: {NEVER_FITTED}."
    )


def _growth(fit: ShopFit) -> str:
    """That the rate is a mean, where orders surely grow or fall; empty else."""
    told = {one.about: one for one in fit.fitted}
    if RATE_AT_THE_END not in told:
        return ""
    trend, now = told[TREND], told[RATE_AT_THE_END]
    growth = trend.estimate
    return (
        f"Orders {'grow' if growth.value > 0 else 'fall'} by {plain(abs(growth.value))} % a year "
        f"({interval_text(trend)}): the rate written is the mean of these weeks, at their end it is about "
        f"{plain(now.estimate.value)} a week. "
    )


def comment_of(one: Fitted, confidence_pct: float) -> str:
    """What one value rests on, as it stands above it in the file."""
    return (
        f"from data: {one.about} {plain(one.estimate.value)} ({confidence_pct:g} % interval {interval_text(one)}, "
        f"{one.estimate.n:,} {one.of}; {one.how})"
    )


def interval_text(one: Fitted) -> str:
    """`1.9 to 2.3`."""
    return f"{plain(one.estimate.low)} to {plain(one.estimate.high)}"


def _listed(words: list[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""
