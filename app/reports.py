"""What a report of the open shop may hold: the answers that its pages have got, and the files it is made from."""

from __future__ import annotations

import datetime
from collections.abc import Sequence
from dataclasses import dataclass

from app import state
from shopsim.answers.finished import Finished
from shopsim.answers.question import shop_key
from shopsim.report.contents import Contents


@dataclass(frozen=True, slots=True)
class Answered:
    """The last answer of a page; `fresh` unless the shop has changed since."""

    page: str
    answer: Finished
    fresh: bool

    @property
    def title(self) -> str:
        """The page and what was asked there."""
        return f"{self.page.replace('_', ' ').capitalize()}: {self.answer.about['question']}"


def answered() -> list[Answered]:
    """All answers of the open shop's pages, in the order in which the pages were first used."""
    draft, shop = state.required(), state.sound_shop()
    now, found = shop_key(shop), []
    for page, entries in draft.forms().items():
        key = entries.get("answered") if isinstance(entries, dict) else None
        answer = state.jobs().answer(str(key)) if key else None
        if answer is not None and answer.about:
            found.append(Answered(page, answer, answer.about["shop_key"] == now))
    return found


def contents_of(chosen: Sequence[Answered], title: str, author: str) -> Contents:
    """A report of the answers chosen, made today."""
    draft = state.required()
    shop = state.sound_shop()
    book = shop.scenario.demand.order_book
    books = {} if book is None else {book.file: (draft.folder / book.file).read_bytes()}
    return Contents(
        shop, draft.name, draft.text(), tuple(each.answer for each in chosen), datetime.date.today(), books,
        title=title, author=author,
    )  # fmt: skip
