"""The sheets of the workbook that are about the shop and the report, whatever was asked."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.answers.care import cautions_of
from shopsim.measures.measure_names import MEANINGS, UNITS, base_name
from shopsim.report.contents import Contents
from shopsim.report.craft_values import craft_values
from shopsim.report.file_notes import notes_beside
from shopsim.report.inputs import inputs_of
from shopsim.report.sheet import UNIT, Column, Sheet, Value
from shopsim.report.sheets_of_answers import measures
from shopsim.report.stress import ITEMS, open_items
from shopsim.report.usual_values import HANDBOOK, usual_values


def sheets_of_shop(contents: Contents) -> Iterator[Sheet]:
    """Inputs, minutes, usual values, cautions, what is open in the reporting list, and what measures mean."""
    scenario = contents.shop.scenario
    notes = notes_beside(contents.scenario_text, contents.scenario_file)
    yield Sheet("Inputs", "Every value in use, with where it comes from.", (
        Column("path", "name", "Its place in the scenario"),
        Column("number", "see unit", "The value where it is a number"),
        Column("shown", "name", "The value in words, distributions with their parameters"), UNIT,
        Column("origin", "name", "file, handbook (a usual value) or program (a default without a source)"),
        Column("row", "name", "Row of the handbook"), Column("basis", "name", "What the row stands on"),
        Column("source", "name", "Kind of source"), Column("note", "name", "What the file says beside it"),
    ), tuple(
        (one.path, _number(one.value), one.shown, one.unit, one.origin, one.row, one.basis, one.source, one.note)
        for one in inputs_of(scenario, notes)
    ))  # fmt: skip
    yield Sheet("Minutes", "Standard minutes of work by hand behind the routes.", (
        Column("work", "name", "Kind of work"), Column("made_of", "name", "What its minutes are made of"),
        Column("row", "name", "Row of the handbook"), Column("basis", "name", "What the row stands on"),
        Column("source", "name", "Kind of source"),
    ), tuple(tuple(each) for each in craft_values(scenario)))  # fmt: skip
    yield Sheet("Usual values", f"Rows of the trade handbook, {HANDBOOK}, that this shop's values cite.", (
        Column("row", "name", "Its id"), Column("about", "name", "What it is about"),
        Column("usual", "name", "Usual ranges of the values that cite it; empty where it has none"),
        Column("basis", "name", "What the row stands on"), Column("source", "name", "Kind of source"),
    ), tuple(tuple(each) for each in usual_values(contents)))  # fmt: skip
    yield Sheet("Cautions", "What to be careful about in the shop as it stands; nothing is made safe or legal by it.", (
        Column("row", "name", "Row of the handbook"), Column("hazard", "name", "Hazard"),
        Column("where", "name", "Where in this shop"), Column("advice", "name", "What to look at before deciding"),
    ), tuple((each.row, each.hazard, each.where, each.advice) for each in cautions_of(contents.shop)))  # fmt: skip
    still_open = open_items(contents)
    yield Sheet("Reporting list", "The items of STRESS-DES (Monks et al. 2019); they are filled in the report.", (
        Column("item", "name", "Number of the item"), Column("title", "name", "Its title"),
        Column("open", "name", "What is left to a person; empty where nothing is"),
    ), tuple((each.number, each.title, " ".join(still_open.get(each.number, []))) for each in ITEMS))  # fmt: skip
    used = {base_name(str(row[2])) for row in measures(contents)}
    yield Sheet("Measure names", "What each measure means.", (
        Column("measure", "name", "Its name"), UNIT, Column("meaning", "name", "What it counts"),
    ), tuple((name, UNITS[name], MEANINGS[name]) for name in UNITS if name in used))  # fmt: skip


def _number(value: object) -> Value:
    return value if isinstance(value, int | float) and not isinstance(value, bool) else None
