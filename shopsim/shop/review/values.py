"""Values outside the handbook's ranges, and order books that do not fill the weeks studied."""

from __future__ import annotations

import re
from collections.abc import Iterator

from shopsim.errors import Problem
from shopsim.shop.model_paths import path_text
from shopsim.shop.review.finding import COMMON_PRACTICE, Finding, named
from shopsim.shop.review.paper import Paper
from shopsim.shop.shop_file import BOOK_PATH

_ROW = re.compile(r" \(handbook (.+?)\)")


def look(paper: Paper) -> Iterator[Finding]:
    """Everything that looked unusual when the files were read; equal values of one field are told once."""
    same: dict[tuple[str, str], list[Problem]] = {}
    for warning in paper.shop.warnings:
        if warning.path == path_text(paper.scenario, BOOK_PATH):
            yield _of_book(warning)
        else:
            same.setdefault((warning.path.rpartition(".")[2], warning.message), []).append(warning)
    for (_, message), warnings in same.items():
        row, far = _ROW.search(message), "far outside" in message
        what_follows = "; what else is found may come from it" if far else ""
        yield Finding(
            "value_far_outside" if far else "unusual_value", named([_place(each) for each in warnings], 3),
            _ROW.sub("", message, count=1),
            f"measure it in your shop, or mend a slip of unit; a value that is yours may stay{what_follows}",
            row[1] if row else COMMON_PRACTICE,
        )  # fmt: skip


def _of_book(warning: Problem) -> Finding:
    do = "let study.weeks end with the book, or give a forecast from there on (demand.forecast.starts)"
    return Finding("book_and_study", warning.path, warning.message, do, COMMON_PRACTICE)


def _place(warning: Problem) -> str:
    return warning.path if warning.line is None else f"{warning.path} (line {warning.line})"
