"""Widgets to compose one change of a what-if: which part, which field, which value."""

from __future__ import annotations

from typing import Any

import streamlit as st

from app.say import plain
from shopsim.shop.changes import Change
from shopsim.shop.pick_list import Part, Pick, fields_of, lists_of, parts_of, read_written, written
from shopsim.shop.scenario import Scenario

VERBS = {
    "set": "Set a value", "copy": "Add another like one that is there", "remove": "Take something away",
    "add": "Add something new", "replace": "Write something anew",
}  # fmt: skip
_AS_IN_FILES = "As a scenario file has it, e.g. three numbers [low, usual, high] or {key: value}."


def compose_change(scenario: Scenario) -> Change | None:
    """One change as entered; None until it is complete. Raises ScenarioError for text that cannot be read."""
    verb = st.selectbox("What to do", list(VERBS), format_func=VERBS.__getitem__, key="pick.verb")
    if verb == "add":
        path = st.selectbox("To which list", lists_of(scenario), format_func=_words, key="pick.list")
        text = st.text_area("What it is", "", help=_AS_IN_FILES, key=f"pick.item.{path}")
        return Change("add", path, read_written(text)) if text.strip() else None
    parts = [part for part in parts_of(scenario) if part.item or verb == "set"]
    part = st.selectbox("Which", parts, format_func=lambda one: one.words, key=f"pick.part.{verb}")
    if part is None:
        return None
    if verb == "remove":
        return Change("remove", part.path)
    if verb == "replace":
        text = st.text_area("All it is from now on", "", help=_AS_IN_FILES, key=f"pick.anew.{part.path}")
        return Change("replace", part.path, read_written(text)) if text.strip() else None
    return _copy(part) if verb == "copy" else _set(scenario, part)


def kept(change: Change) -> dict[str, str]:
    """A change as text, to be kept with what was entered."""
    return {"action": change.action, "path": change.path, "value": written(change.value)}


def read_kept(entry: dict[str, Any]) -> Change:
    """The change that was kept."""
    return Change(entry["action"], entry["path"], read_written(entry["value"]))


def said(change: Change) -> str:
    """A change in a line."""
    value = "" if change.value is None else f" to {written(change.value)}" if change.action == "set" else (
        f": {written(change.value)}"
    )  # fmt: skip
    return f"{VERBS[change.action]}: {change.path}{value}"


def _copy(part: Part) -> Change | None:
    own_id = st.text_input("Short name of the new one", "", max_chars=40, key=f"pick.id.{part.path}",
                           help="Letters, digits and _, starting with a letter.")  # fmt: skip
    return Change("copy", part.path, {"id": own_id}) if own_id else None


def _set(scenario: Scenario, part: Part) -> Change:
    picks = fields_of(scenario, part)
    pick = st.selectbox("What of it", picks, format_func=lambda one: one.words, key=f"pick.field.{part.path}")
    return Change("set", pick.path, value_input(pick, f"pick.value.{pick.path}"))


def value_input(pick: Pick, key: str) -> Any:
    """The widget that fits a field, with its unit and usual range; returns the plain value entered."""
    label, told = plain(f"{pick.words} ({pick.unit})" if pick.unit else pick.words), plain(pick.help) or None
    if pick.kind == "yes_no":
        return st.toggle(label, pick.value, help=told, key=key)
    if pick.kind == "whole":
        return int(st.number_input(label, value=int(pick.value), step=1, help=told, key=key))
    if pick.kind == "number":
        return float(st.number_input(label, value=float(pick.value), format="%g", help=told, key=key))
    if pick.kind == "choice":
        index = pick.choices.index(pick.value) if pick.value in pick.choices else None
        return st.selectbox(label, pick.choices, index, format_func=_words, help=told, key=key)
    if pick.kind == "text":
        return st.text_input(label, pick.value, help=told, key=key)
    return read_written(st.text_area(label, written(pick.value), help=told or _AS_IN_FILES, key=key))


def _words(name: str) -> str:
    return name.replace("policies.", "").replace("_", " ")
