"""An answer as plain values, whichever door asked: what is kept, shown in the front end and put into a report."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

from shopsim.answers.about import about
from shopsim.answers.by_run import ByRun
from shopsim.answers.plain import without_nan
from shopsim.answers.question import Found, Question
from shopsim.shop.id_checks import KINDS
from shopsim.shop.names import in_words, names_of
from shopsim.shop.rough_cut import PRINT_ROOM
from shopsim.shop.scenario import Scenario
from shopsim.terminal.tables import NotePad


@dataclass(frozen=True, slots=True)
class Finished:
    """An answer: the document of the question (as `--json`), the tables that the command line shows, and pictures.

    `key` is the question's for this program, `asked` the question's whichever program answers it; `about` says what was
    asked (see `about.about`), empty for answers kept before there was such; `by_run` has the numbers of each run.
    """

    key: str
    asked: str
    document: dict[str, Any]
    tables: list[dict[str, Any]]
    pictures: list[dict[str, Any]]
    about: dict[str, Any] = field(default_factory=dict)
    by_run: ByRun = field(default_factory=dict)


def finished(question: Question[Found], found: Found) -> Finished:
    """The answer to a question from what its study found."""
    pad = NotePad()
    question.show(pad, found)
    tables = [_by_name(asdict(table), question.shop.scenario) for table in pad.tables]
    pictures = [asdict(each) for each in question.pictures(found)]
    made = without_nan({
        "document": question.document(found), "tables": tables, "pictures": pictures, "about": about(question),
        "by_run": question.by_run(found),
    })  # fmt: skip
    return Finished(question.key, question.asked, **made)


def _by_name(table: dict[str, Any], scenario: Scenario) -> dict[str, Any]:
    """A table of the command line with names where ids stand: in its columns of text and in its headings."""
    names = names_of(scenario)
    called = {part.id: names.get(part.id, in_words(part.id)) for kind in KINDS for part in getattr(scenario, kind)}
    called[PRINT_ROOM] = "people at the printers"
    rows = [[_called(cell, called) if i in table["texts"] else cell for i, cell in enumerate(row)]
            for row in table["rows"]]  # fmt: skip
    crews = {in_words(crew.id): names.get(crew.id, in_words(crew.id)) for crew in scenario.crews}
    return {**table, "columns": [crews.get(each) or called.get(each, each) for each in table["columns"]], "rows": rows}


def _called(cell: str, called: Mapping[str, str]) -> str:
    """A cell with names for ids: alone, set in under a heading, one after the other, or with the number of a seat."""
    inner = cell.lstrip(" ")
    return cell[: len(cell) - len(inner)] + ", ".join(_part(part, called) for part in inner.split(", "))


def _part(part: str, called: Mapping[str, str]) -> str:
    place, _, seat = part.rpartition(" ")
    known = called.get(place) if seat.isdecimal() else None
    return f"{known}, {seat}" if known else called.get(part, part)


def read_back(key: str, kept: dict[str, Any]) -> Finished:
    """An answer that was kept as JSON of its fields. Raises KeyError where one is missing."""
    about, by_run = kept.get("about", {}), kept.get("by_run", {})
    return Finished(key, kept["asked"], kept["document"], kept["tables"], kept["pictures"], about, by_run)
