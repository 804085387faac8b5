"""Options beside the base on a terminal: the sentence, what differs, then differences measure by measure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rich.console import Console

from shopsim.figures import ALIKE, NOTHING, measured, plain, signed
from shopsim.measures.measure_names import is_share, scale_of
from shopsim.sentences import Answer
from shopsim.sentences.comparison import measure_words, unit_words
from shopsim.sentences.words import constraints_told
from shopsim.studies.comparison import Comparison
from shopsim.studies.precision import LEAST_PLANNED
from shopsim.terminal.tables import print_table, print_text

# Measure, words, unit, scale of its numbers.
SHOWN: tuple[tuple[str, str, str, float], ...] = (
    ("on_time_share", "On time, of orders due", "%", 100),
    ("tardiness_mean_h", "Hours late, on time counted as 0", "h", 1),
    ("lead_time_p50_h", "Half of the orders within", "days", 1 / 24),
    ("lead_time_p90_h", "Nine orders in ten within", "days", 1 / 24),
    ("work_in_process_orders", "Orders in the shop at a time", "orders", 1),
    ("orders_per_week", "Orders dispatched", "a week", 1),
    ("turned_away_share", "Turned away, of orders received", "%", 100),
    ("fabric_waste_share", "Cloth wasted, of cloth used", "%", 100),
    ("overtime_h_per_week", "Overtime, hours of people", "h a week", 1),
    ("unattended_hot_h_per_week", "Printers hot, nobody there (SAF-08)", "h a week", 1),
    ("energy_kwh_per_week", "Electricity", "kWh a week", 1),
    ("cost_per_week", "All cost", "CU a week", 1),
    ("margin_per_week", "What is left over", "CU a week", 1),
)


def print_compare(
    console: Console,
    found: Comparison,
    answer: Answer,
    differs: Mapping[str, Sequence[str]],
    notes: Mapping[str, Sequence[str]],
) -> None:
    """Print the whole page to a console; `differs` lists what each option changes, `notes` what to be careful about."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    for name, lines in differs.items():
        console.print()
        print_text(console, f"{name}:")
        for line in (*lines, *notes[name]):
            print_text(console, line, "  ")
    if len(found.options) > 1:
        _print_overview(console, found)
    for name in found.options:
        _print_option(console, found, name)


def _print_overview(console: Console, found: Comparison) -> None:
    """All options in a table, by what decides and by money."""
    scale, currency = scale_of(found.measure), found.base.scenario.money.currency
    margins = found.differences("margin_per_week")
    rows = []
    for name in found.options:
        steps = signed(found.deciding[name].interval, scale), signed(margins[name].interval)
        cells = [cell for step in steps for cell in (step.mean, "" if step.between == ALIKE else step.between)]
        rows.append((name, *cells, str(len(found.options[name].rows))))
    unit = "points" if is_share(found.measure) else unit_words(found.measure, currency)
    print_table(
        console, f"All changes: {measure_words(found.measure)}{f', {unit}' if unit else ''}, and what is left over, "
        f"{currency} a week", ("", "change", "interval", "left over", "interval", "runs"), rows,
        f"Intervals of one column hold at once with {found.base.scenario.study.confidence_pct:g} % confidence or more.",
    )  # fmt: skip


def _at_once(found: Comparison) -> str:
    if len(found.options) == 1:
        return "Each interval stands for itself: of so many rows one may differ by luck alone."
    return (
        "Intervals of one row hold at once for all options (Bonferroni), those of several rows do not: of so many one "
        "may differ by luck alone."
    )


def _print_option(console: Console, found: Comparison, name: str) -> None:
    currency = found.base.scenario.money.currency
    # From few runs the factor is luck.
    few, rows = len(found.options[name].rows) < LEAST_PLANNED, []
    for measure, words, unit, scale in SHOWN:
        difference = found.differences(measure)[name]
        before, after = (each.interval("measures", measure) for each in (found.base_beside(name), found.options[name]))
        texts = [measured(each, measure, scale) for each in (before, after)]
        if all(text.mean in ("0", NOTHING) for text in texts):
            continue
        step = signed(difference.interval, scale)
        sure = "" if step.between == ALIKE else step.between
        saved = difference.variance_reduction
        factor = () if few else ("" if saved is None else plain(saved),)
        rows.append((words, texts[0].mean, texts[1].mean, step.mean, sure, *factor, unit.replace("CU", currency)))
    confidence = f"{found.levels[name]:.4g} % interval"
    heads = ("", "base", "then", "change", confidence, *(() if few else ("saved",)), "")
    told = "" if few else (
        " saved: how many times as many replications it would take without the same orders for all."
    )  # fmt: skip
    print_table(
        console, f"{name} against the shop as it stands", heads, rows,
        f"{_at_once(found)}{told}", texts=(len(heads) - 1,),
    )  # fmt: skip
    held = [
        f"{label} {told}"
        for label, option in (("as it stands", found.base), ("then", found.options[name]))
        if (told := constraints_told(option, with_share=True))
    ]
    if held:
        print_text(console, f"Held back most of the time: {'; '.join(held)}.")
