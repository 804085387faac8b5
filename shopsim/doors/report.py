"""`shopsim report`: questions answered, and everything written that somebody else needs to check the answers."""

from __future__ import annotations

import argparse
import datetime
import shlex
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

from shopsim.answers.about import about
from shopsim.answers.finished import finished
from shopsim.answers.plain import without_nan
from shopsim.answers.question import Question, option_of
from shopsim.doors.asked import asked_of
from shopsim.doors.folders import check_free, filled_at_once
from shopsim.doors.records import write_records
from shopsim.doors.study import NOT_SETTLED, several_replications, study_runner, study_shop
from shopsim.doors.writing import TO_STDOUT, console, note, write_json
from shopsim.errors import InputError, OrderBookError
from shopsim.report.contents import Contents, Effort
from shopsim.report.doubts import unsettled
from shopsim.report.rerun import files_with
from shopsim.report.same_again import Earlier
from shopsim.shop.changes import Change
from shopsim.shop.file_text import read_bytes, read_text
from shopsim.shop.review.finding import counted
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.scenario_file import parse_scenario
from shopsim.shop.shop_file import Shop
from shopsim.shop.what_if import load_what_if
from shopsim.shop.what_if_file import base_path
from shopsim.shop.workbooks import MAX_BYTES
from shopsim.studies.code_version import code_version
from shopsim.studies.replication import one_log
from shopsim.terminal.tables import print_text

_ASKED_FOR = {"seed": "seed", "weeks": "weeks", "confidence": "confidence_pct"}


def run(arguments: argparse.Namespace) -> int:
    """Answer and write; returns 3 if a question could not be settled.

    Raises InputError for questions, files and folders that do not do.
    """
    shop = study_shop(arguments)
    if arguments.compare:
        return _compare(arguments)
    where = arguments.out or f"{Path(arguments.scenario).stem}_report"
    check_free(where)
    questions = [asked_of(text, arguments.scenario, arguments) for text in _asked(arguments, shop)]
    unanswered = _unanswered(arguments, shop)
    files_with(unanswered, map(about, questions))
    contents = _answered(arguments, unanswered, questions)
    names = _write(where, arguments, contents)
    if arguments.json:
        from shopsim.report.folder import document_of

        write_json(document_of(contents), arguments.json)
    if arguments.json != TO_STDOUT:
        _tell(contents, where, names)
    return NOT_SETTLED if unsettled(contents) else 0


def _asked(arguments: argparse.Namespace, shop: Shop) -> list[str]:
    """The questions as commands: those asked, or how the shop does and what the what-ifs would change."""
    if arguments.asks and not arguments.what_ifs:
        return list(arguments.asks)
    runs = f"--replications {several_replications(arguments, shop)}"
    what_ifs = arguments.what_ifs or _beside(arguments.scenario)
    compared = [f"compare {shlex.join(what_ifs)} {runs}"] if what_ifs else []
    return [f"run {runs}", *compared, *arguments.asks]


def _beside(scenario: str) -> list[str]:
    """The what-ifs in the folder beside the scenario that start from it; those that are not sound are told of."""
    found = []
    for path in sorted((Path(scenario).parent / "what_ifs").glob("*.yaml")):
        try:
            if base_path(path, load_what_if(path)).samefile(scenario):
                found.append(str(path))
        except InputError as fault:
            note(f"note: left out, because it is not sound: {fault}")
    return found


def _compare(arguments: argparse.Namespace) -> int:
    """Ask the questions of an earlier report again. Raises InputError with the numbers that are not the same."""
    earlier = Earlier(arguments.compare)
    questions = [asked_of(text, arguments.scenario, arguments) for text in earlier.asked()]
    if earlier.program != code_version():
        note(f"note: made by shopsim {earlier.program}, this is {code_version()}")
    with study_runner(arguments) as runner:
        documents = [without_nan(question.document(question.study(runner))) for question in questions]
    count = earlier.require_same(documents)
    print_text(console(), f"All {count:,} numbers of {counted(len(questions), 'answer')} are the same.")
    return 0


def _unanswered(arguments: argparse.Namespace, shop: Shop) -> Contents:
    """The report before anything was run."""
    path = Path(arguments.scenario)
    changes = [Change("set", f"study.{name}", value) for name, value in _in_place_of(arguments).items()]
    book = shop.scenario.demand.order_book
    books = {book.file: read_bytes(path.parent / book.file, MAX_BYTES, OrderBookError)} if book is not None else {}
    text = edit_scenario(read_text(path), changes, str(path))
    # Read again, because only a file knows which of its values it wrote down.
    as_run = replace(shop, scenario=parse_scenario(text, str(path)))
    today = datetime.date.today()
    return Contents(as_run, path.name, text, (), today, books, title=arguments.title, author=arguments.author)


def _answered(arguments: argparse.Namespace, unanswered: Contents, questions: list[Question[Any]]) -> Contents:
    began = time.monotonic()
    with study_runner(arguments) as runner:
        answers = tuple(finished(question, question.study(runner)) for question in questions)
    effort = Effort(
        runner.finished, runner.newly_run, runner.kept_before, time.monotonic() - began,
        runner.seconds_of(option_of("", unanswered.shop)),
    )  # fmt: skip
    return replace(unanswered, answers=answers, effort=effort)


def _in_place_of(arguments: argparse.Namespace) -> dict[str, float]:
    """What the command line puts in place of the file's own values under `study`."""
    asked = {name: getattr(arguments, given) for given, name in _ASKED_FOR.items()}
    return {name: value for name, value in asked.items() if value is not None}


def _pdf(page: bytes) -> dict[str, bytes]:
    """The PDF by its name; nothing, and a note, where it cannot be made: all else is worth having without it."""
    from shopsim.report.folder import PDF
    from shopsim.report.pdf import pdf_of

    try:
        return {PDF: pdf_of(page.decode())}
    except InputError as fault:
        note(f"note: {fault}")
        return {}


def _write(where: str, arguments: argparse.Namespace, contents: Contents) -> list[str]:
    """Fill the folder at once, or leave it as it was; returns what stands in it."""
    from shopsim.report.folder import PAGE, RECORDS, folder_of

    made = folder_of(contents)
    if not arguments.no_pdf:
        made |= _pdf(made[PAGE])
    with filled_at_once(where) as part:
        for name, content in made.items():
            (part / name).parent.mkdir(parents=True, exist_ok=True)
            (part / name).write_bytes(content)
        if not arguments.no_records:
            records, source = part / RECORDS, Path(arguments.scenario)
            log = one_log(contents.shop.scenario, contents.shop.order_lines)
            write_records(str(records), source, contents.shop, _in_place_of(arguments), log)
    return sorted(path.name + ("/" if path.is_dir() else "") for path in Path(where).iterdir())


def _tell(contents: Contents, where: str, names: list[str]) -> None:
    from shopsim.report.stress import ITEMS, open_items

    out = console()
    for answer in contents.answers:
        print_text(out, answer.about["question"])
        print_text(out, answer.document["sentence"], "  ")
        out.print()
    for line in unsettled(contents):
        print_text(out, line)
    print_text(out, f"Written into {where}: {', '.join(names)}.")
    left = open_items(contents)
    print_text(
        out,
        f"Of {len(ITEMS)} items of the reporting list {len(left)} have something for you to fill in: "
        f"{', '.join(left)}.",
    )
