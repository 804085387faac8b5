"""Shift patterns side by side on a terminal: the sentence, a column a pattern, and rest-time findings by pattern."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from rich.console import Console

from shopsim.figures import NOTHING, measured, signed
from shopsim.measures.measure_names import scale_of
from shopsim.sentences import Answer
from shopsim.shop.names import words_for
from shopsim.shop.rest_words import rules_words
from shopsim.studies.replicate import Replications
from shopsim.studies.shift_patterns import LEFT_OVER, ON_TIME, PatternAnswer
from shopsim.terminal.rest_rows import HOW_JUDGED, rest_rows
from shopsim.terminal.tables import chunks, print_notes, print_table, print_text

_ROWS: tuple[tuple[str, str, float], ...] = (
    ("on_time_share", "On time, %", 100),
    ("lead_time_p50_h", "Half of the orders within, days", 1 / 24),
    ("lead_time_p90_h", "Nine in ten within, days", 1 / 24),
    ("orders_per_week", "Orders dispatched a week", 1),
    ("turned_away_share", "Turned away, of orders received, %", 100),
    ("overtime_h_per_week", "Overtime, h a week", 1),
    ("handover_h_per_week", "Lost at handovers, h a week", 1),
    ("unattended_hot_h_per_week", "Printers hot, nobody there, h a week", 1),
    ("energy_kwh_per_week", "Electricity, kWh a week", 1),
    ("cost_per_week", "All cost a week", 1),
    ("margin_per_week", "What is left over a week", 1),
)
_AGAINST = (
    (ON_TIME, "On time against the shop as it stands, points"),
    (LEFT_OVER, "What is left over a week against it"),
)
_PAIRED = (
    "Against the shop as it stands: run by run on the same orders, so surer than the two numbers side by side; these "
    "intervals hold for all patterns at once, the others each on its own."
)
_WORDS_WIDTH, _COLUMN_WIDTH = 38, 18


def print_shifts(console: Console, found: PatternAnswer, answer: Answer, notes: Mapping[str, Sequence[str]]) -> None:
    """Print the whole page to a console; `notes` tells what to be careful about in each pattern."""
    print_text(console, answer.sentence)
    print_text(console, answer.below)
    base, *others = found.patterns
    # The shop as it stands is in every table, to be compared with.
    names, room = [pattern.name for pattern in others], console.width - _WORDS_WIDTH - _COLUMN_WIDTH
    parts = list(chunks(names, room, _COLUMN_WIDTH))
    for part in parts:
        patterns = [base, *(pattern for pattern in others if pattern.name in part)]
        rows = []
        for measure, words, scale in _ROWS:
            cells = [_cell(pattern.found, measure, scale) for pattern in patterns]
            if any(cell not in ("0", NOTHING) for cell in cells):
                rows.append((words, *cells))
        for measure, words in _AGAINST:
            steps = found.comparison.differences(measure)
            cells = [signed(steps[p.name].interval, scale_of(measure)).short for p in patterns[1:]]
            rows.append((words, NOTHING, *cells))
        rows.append(("Rest-time rules broken", *(str(sum(f.rule for f in p.findings)) for p in patterns)))
        rows.append(("Guidance gone against", *(str(sum(not f.rule for f in p.findings)) for p in patterns)))
        columns = ("", *(pattern.name for pattern in patterns))
        note = _PAIRED if part is parts[-1] else ""
        print_table(console, "Patterns side by side", columns, rows, note, wraps=tuple(range(len(columns))))
    _print_findings(console, found)
    print_notes(console, notes)


def _cell(found: Replications, measure: str, scale: float) -> str:
    return measured(found.interval("measures", measure), measure, scale).short


def _print_findings(console: Console, found: PatternAnswer) -> None:
    rows = [
        (pattern.name, *row)
        for pattern in found.patterns
        for row in rest_rows(pattern.findings, words_for(pattern.found.scenario))
    ]
    if rows:
        columns = ("pattern", "who", "what", "kind", "dates", "found", "asked")
        print_table(console, "Rest times over the whole rotation", columns, rows,
                    f"{_judged_by(found)} {HOW_JUDGED}", texts=(3,), wraps=(0, 1, 2, 4))  # fmt: skip


def _judged_by(found: PatternAnswer) -> str:
    """By which rules each pattern is judged; patterns alike are told together."""
    names: dict[str, list[str]] = {}
    for pattern in found.patterns:
        names.setdefault(rules_words(pattern.found.scenario.policies.working_time), []).append(pattern.name)
    if len(names) == 1:
        return f"Rule: {next(iter(names))}."
    return " ".join(f"Rule for {', '.join(patterns)}: {rules}." for rules, patterns in names.items())
