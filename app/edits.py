"""Edits to the open shop's file: each can be taken back, also after a reload; comments in the file stay."""

from __future__ import annotations

import json
from collections.abc import Iterable
from functools import lru_cache

from app import state
from app.drafts import PAST, Draft
from app.say import faults as say_faults
from shopsim.errors import InputError
from shopsim.shop.changes import Change
from shopsim.shop.file_text import write_text
from shopsim.shop.forms.editing import Editing

_MOST_KEPT = 50


def current() -> Editing:
    """The open shop as it is being edited, sound or not; without a shop the page ends here."""
    draft = state.required()
    return _editing(draft.text(), draft.name)


def make(changes: Iterable[Change]) -> bool:
    """Make changes, all or none; whether the file is another now. What cannot be made is told on the page."""
    draft = state.required()
    before = _editing(draft.text(), draft.name)
    try:
        after = before.changed(changes)
    except InputError as fault:
        say_faults(fault.problems)
        return False
    put(after.text)
    return after.text != before.text


def put(text: str) -> None:
    """Another text in place of the open shop's, which `undo` takes back."""
    draft = state.required()
    before = draft.text()
    if text != before:
        draft.put_text(text)
        _keep(draft, [*_past(draft), before])


def undo() -> None:
    """Take the last edit back."""
    draft = state.required()
    past = _past(draft)
    if past:
        draft.put_text(past[-1])
        _keep(draft, past[:-1])


def can_undo() -> bool:
    """Whether there is an edit to take back."""
    return bool(_past(state.required()))


@lru_cache(maxsize=8)
def _editing(text: str, name: str) -> Editing:
    return Editing(text, name)


def _past(draft: Draft) -> list[str]:
    try:
        read = json.loads((draft.folder / PAST).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return []
    return [text for text in read if isinstance(text, str)] if isinstance(read, list) else []


def _keep(draft: Draft, past: list[str]) -> None:
    write_text(draft.folder / PAST, json.dumps(past[-_MOST_KEPT:]))
