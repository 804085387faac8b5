"""Edits to the open shop's file: each can be taken back, also after a reload; comments in the file stay.

Rows are edited by their number, so an edit is made only to the very text that its tab shows.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from functools import lru_cache

import streamlit as st

from app import state
from app.drafts import PAST, Draft
from app.say import faults as say_faults
from shopsim.errors import InputError
from shopsim.shop.changes import Change
from shopsim.shop.file_text import write_text
from shopsim.shop.forms.editing import Editing
from shopsim.shop.forms.tables import Values

_MOST_KEPT = 50
_MOVED_ON = (
    "This shop was changed in another tab, so what you did here was not taken. The page now shows the shop as it "
    "stands: do it again if it still fits."
)


def current() -> Editing:
    """The open shop as it is being edited, sound or not; without a shop the page ends here."""
    draft = state.required()
    return _editing(draft.text(), draft.name)


def make(changes_to: Callable[[Values], Iterable[Change]]) -> bool:
    """Make the changes to the shop's values, all or none; whether the file is another now.

    What cannot be made is told on the page, and so is a file that another tab has changed since this one showed it.
    """
    draft = state.required()
    with draft.changing():
        before = _editing(draft.text(), draft.name)
        if not _is_shown(before.text):
            return False
        try:
            after = before.changed(changes_to(before.values))
        except InputError as fault:
            say_faults(fault.problems)
            return False
        if after.text == before.text:
            return False
        _put(draft, after.text, [*_past(draft), before.text])
    return True


def put(text: str) -> bool:
    """Another text of the file in place of the one that is shown; whether it is another now."""
    draft = state.required()
    with draft.changing():
        now = draft.text()
        if not _is_shown(now) or text == now:
            return False
        _put(draft, text, [*_past(draft), now])
    return True


def undo() -> None:
    """Take the last edit back, unless another tab has changed the file since this one showed it."""
    draft = state.required()
    with draft.changing():
        past = _past(draft)
        if past and _is_shown(draft.text()):
            _put(draft, past[-1], past[:-1])


def can_undo() -> bool:
    """Whether there is an edit to take back."""
    return bool(_past(state.required()))


def before() -> tuple[str, ...]:
    """Texts of the open shop's file before each edit that can be taken back, the oldest first."""
    return tuple(_past(state.required()))


def _is_shown(text: str) -> bool:
    found = state.is_shown(text)
    if not found:
        st.warning(_MOVED_ON, icon=":material/tab:")
    return found


def _put(draft: Draft, text: str, past: list[str]) -> None:
    draft.put_text(text)
    state.now_shown(text)
    write_text(draft.folder / PAST, json.dumps(past[-_MOST_KEPT:]))


@lru_cache(maxsize=8)
def _editing(text: str, name: str) -> Editing:
    return Editing(text, name)


def _past(draft: Draft) -> list[str]:
    try:
        read = json.loads((draft.folder / PAST).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return []
    return [text for text in read if isinstance(text, str)] if isinstance(read, list) else []
