"""An answer as plain values, whichever door asked: what is kept, shown in the front end and put into a report."""

from __future__ import annotations

from dataclasses import asdict, dataclass, field
from typing import Any

from shopsim.answers.about import about
from shopsim.answers.by_run import ByRun
from shopsim.answers.plain import without_nan
from shopsim.answers.question import Found, Question
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
    tables, pictures = [asdict(table) for table in pad.tables], [asdict(each) for each in question.pictures(found)]
    made = without_nan({
        "document": question.document(found), "tables": tables, "pictures": pictures, "about": about(question),
        "by_run": question.by_run(found),
    })  # fmt: skip
    return Finished(question.key, question.asked, **made)


def read_back(key: str, kept: dict[str, Any]) -> Finished:
    """An answer that was kept as JSON of its fields. Raises KeyError where one is missing."""
    about, by_run = kept.get("about", {}), kept.get("by_run", {})
    return Finished(key, kept["asked"], kept["document"], kept["tables"], kept["pictures"], about, by_run)
