"""The tables of the workbook: tidy (one row an observation), numbers as numbers, every column with unit and meaning."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from shopsim.report.contents import Contents
from shopsim.report.rerun import digest_of, files_of, machine, programs
from shopsim.report.sheet import ENDS, MEASURE, OPTION, QUESTION, RUNS, UNIT, Column, Sheet, Value
from shopsim.report.sheets_of_answers import (
    Row,
    answers,
    breaks,
    cash,
    crews,
    curves,
    differences,
    doubts,
    hours,
    matches,
    measures,
    options,
    promises,
    replications,
    rest_times,
    worth,
)
from shopsim.report.sheets_of_shop import sheets_of_shop


class _Table(NamedTuple):
    """A sheet of answers before there are any."""

    name: str
    about: str
    columns: tuple[Column, ...]
    rows: Callable[[Contents], Iterator[Row]]

    def sheet(self, contents: Contents) -> Sheet:
        return Sheet(self.name, self.about, self.columns, tuple(self.rows(contents)))


_REPLICATIONS = _Table("Replications", "The numbers behind means and intervals, a replication a row; differences are "
                       "paired by the number of the replication.", (
    QUESTION, OPTION, Column("replication", "1", "Its number, from 0"), MEASURE, UNIT,
    Column("value", "see unit", "What it came to in this replication"),
), replications)  # fmt: skip
_OF_ANSWERS = (
    _Table("Answers", "The questions and their answers.", (
        QUESTION, Column("kind", "name", "Kind of question"), Column("asked", "name", "The question"),
        Column("sentence", "name", "The answer"), Column("below", "name", "What belongs to it"),
        Column("settled", "yes/no", "Whether the runs could tell; empty where nothing had to be told"), RUNS,
        Column("confidence", "1", "Share of such intervals that hold the true value"),
        Column("command", "name", "The command that asks it"),
    ), answers),
    _Table("Options", "What each changed shop changes, a change a row.", (
        QUESTION, OPTION, Column("change", "name", "One change, in words; or a note, or a caution it adds"),
        Column("kind", "name", "change or note"),
    ), options),
    _Table("Measures", "How each shop does.", (QUESTION, OPTION, MEASURE, UNIT, *ENDS, RUNS), measures),
    _Table("Differences", "Each changed shop less the shop as it stands, paired; intervals hold at once.", (
        QUESTION, OPTION, MEASURE, UNIT, *ENDS,
        Column("variance_reduction", "1", "How many times as many replications it would take with orders of their own"),
        Column("variance_reduction_low", "1", "Its lower end"), Column("variance_reduction_high", "1", "Its upper end"),
    ), differences),
    _REPLICATIONS,
    _Table("Hours", "How printers, places and people of the shop as it stands spend their time.", (
        QUESTION, Column("kind", "name", "printer, place or crew"), Column("id", "name", "Which"),
        Column("state", "name", "What it does"), Column("share", "1", "Share of its time"),
    ), hours),
    _Table("Crews", "Crews of different size.", (
        QUESTION, Column("heads", "name", "Head counts by crew"), Column("pay", "CU/week", "Wages and overtime pay"),
        Column("on_time_mean", "1", "Share of orders on time, mean"), Column("on_time_low", "1", "Lower end"),
        Column("on_time_high", "1", "Upper end"), RUNS,
    ), crews),
    _Table("Demand", "What becomes of each shop at more and less demand.", (
        QUESTION, OPTION, Column("demand", "1", "Demand as a share of today's"), MEASURE, UNIT, *ENDS, RUNS,
    ), curves),
    _Table("Breaks", "The demand at which each shop falls below its target.", (
        QUESTION, OPTION, Column("target", "1", "Share of orders on time that is wanted"),
        Column("demand_mean", "1", "Demand as a share of today's; empty where it breaks nowhere that was tried"),
        Column("demand_low", "1", "Lower end"), Column("demand_high", "1", "Upper end"),
        Column("headroom", "m2/week", "What the shop can take on besides today's"),
        Column("held_back_by", "name", "What holds it back there"),
    ), breaks),
    _Table("Worth", "What an investment is worth, and what that rests on.", (
        QUESTION, OPTION, Column("quantity", "name", "What"),
        Column("of", "name", "result: mean of the runs; input: what was given; runs: spread over runs (luck); with "
               "doubt: spread over samples of the inputs in doubt and luck"),
        Column("share_below", "1", "Share of all that lies below the value, for spreads; else empty"), UNIT, *ENDS,
    ), worth),
    _Table("Cash", "Cash flow of an investment, mean of the runs.", (
        QUESTION, OPTION, Column("year", "1", "Year, 0 the start"), Column("flow", "CU", "Cash in less cash out"),
    ), cash),
    _Table("Doubts", "What an answer hangs on among inputs given as ranges.", (
        QUESTION, Column("input", "name", "Its place in the scenario"),
        Column("unit", "name", "Unit of its least, most and present value"), Column("low", "see unit", "Least"),
        Column("high", "see unit", "Most"), Column("now", "see unit", "Value in the file"),
        Column("matters", "yes/no", "Whether it does more than luck"),
        Column("effect_unit", "name", "Unit of its effect; 1 for counts and shares"),
        Column("effect_mean", "see unit", "Change of the answer over its range, by the method used; for sobol the "
               "share of the variance that it has with others"),
        Column("effect_low", "see unit", "Lower end"), Column("effect_high", "see unit", "Upper end"),
    ), doubts),
    _Table("Match", "What happened beside runs of the same orders.", (
        QUESTION, Column("figure", "name", "What is compared"), UNIT,
        Column("happened", "see unit", "On record"), *ENDS,
        Column("difference", "see unit", "What happened less the mean of the runs"),
        Column("outcome", "name", "Whether they agree"),
    ), matches),
    _Table("Promises", "When each open order leaves, from the morning that was told.", (
        QUESTION, Column("order", "name", "Its id"), Column("due", "ISO 8601", "By when it is promised"),
        Column("chance_mean", "1", "Chance to leave by then"), Column("chance_low", "1", "Lower end"),
        Column("chance_high", "1", "Upper end"),
        Column("waits_for", "name", "What it waits for most"), Column("waits", "h", "So long on average"),
    ), promises),
    _Table("Rest times", "What rest-time rules say of each shift pattern.", (
        QUESTION, OPTION, Column("date", "ISO 8601", "The shift, or the Monday of the week or reference period"),
        Column("shift", "name", "Which shift"), Column("crew", "name", "Whose"),
        Column("people", "1", "How many people of the crew: it is about each"),
        Column("kind", "name", "A minimum rule, or advice"), Column("row", "name", "Handbook row"),
        Column("finding", "name", "What was found"),
        Column("found", "h", "Hours found; days or nights where the finding says so"),
        Column("required", "h", "Hours required or advised, or days or nights; empty where the rule names no number"),
    ), rest_times),
)  # fmt: skip


def sheets_of(contents: Contents) -> list[Sheet]:
    """All sheets that have rows, the one that explains them first and the columns second."""
    made = (*(table.sheet(contents) for table in _OF_ANSWERS), *sheets_of_shop(contents))
    found = [sheet for sheet in made if sheet.rows]
    told = Sheet("Columns", "What every column of every sheet holds.", (
        Column("sheet", "name", "Sheet"), Column("column", "name", "Column"), Column("unit", "name", "Its unit"),
        Column("meaning", "name", "What it holds"),
    ), tuple((sheet.name, *column) for sheet in found for column in sheet.columns))  # fmt: skip
    return [_read_me(contents, found), told, *found]


_FIRST = (
    "Answers: the questions with their answers. Then Options and Differences; Columns explains every column of every "
    "sheet, Measure names every measure."
)


def _read_me(contents: Contents, sheets: Sequence[Sheet]) -> Sheet:
    rows: list[tuple[Value, ...]] = [
        ("open first", _FIRST),
        ("shop", contents.name), ("made on", contents.made_on.isoformat()), ("scenario", contents.scenario_file),
        ("currency, CU", contents.currency),
        *programs(contents).items(), *machine().items(),
        *((f"file {name}", f"sha256 {digest_of(content)}") for name, content in files_of(contents).items()),
        *((f"sheet {sheet.name}", sheet.about) for sheet in sheets),
    ]  # fmt: skip
    return Sheet("Read me", "What this workbook is.", (
        Column("what", "name", "What is told"), Column("is", "name", "Its value"),
    ), tuple(rows))  # fmt: skip


def replications_sheet(contents: Contents) -> Sheet:
    """The numbers that means and intervals are worked out from."""
    return _REPLICATIONS.sheet(contents)
