"""Widgets to compose one change of a what-if: which part, which field, which value."""

from __future__ import annotations

from typing import Any

import streamlit as st

from app.say import plain
from shopsim.shop.changes import Change
from shopsim.shop.new_items import item_now, new_item, written_out
from shopsim.shop.pick_list import Part, Pick, fields_of, lists_of, parts_of, read_written, written
from shopsim.shop.scenario import Scenario

VERBS = {
    "set": "Set a value", "copy": "Add another like one that is there", "remove": "Take something away",
    "add": "Add something new", "replace": "Write something anew",
}  # fmt: skip
_AS_IN_FILES = "As a scenario file has it, e.g. three numbers [low, usual, high] or {key: value}."
_BEGUN = "It begins as the last one of the list: change what is to be another."


def compose_change(scenario: Scenario) -> Change | None:
    """One change as entered; None until it is complete. Raises ScenarioError for text that cannot be read."""
    verb = st.selectbox("What to do", list(VERBS), format_func=VERBS.__getitem__, key="pick.verb")
    if verb == "add":
        path = st.selectbox("To which list", lists_of(scenario), format_func=_words, key="pick.list")
        begun = new_item(scenario, path)
        # The next one of the same list begins under another id.
        text = st.text_area("What it is", written_out(begun), height="content", help=f"{_BEGUN} {_AS_IN_FILES}",
                            key=f"pick.item.{path}.{begun.get('id', '')}")  # fmt: skip
        return Change("add", path, read_written(text)) if text.strip() else None
    parts = [part for part in parts_of(scenario) if part.item or verb == "set"]
    part = st.selectbox("Which", parts, format_func=lambda one: one.words, key=f"pick.part.{verb}")
    if part is None:
        return None
    if verb == "remove":
        return Change("remove", part.path)
    if verb == "replace":
        now = item_now(scenario, part.path)
        text = st.text_area("All it is from now on", written_out(now), height="content", help=_AS_IN_FILES,
                            key=f"pick.anew.{part.path}")  # fmt: skip
        anew = read_written(text) if text.strip() else now
        return Change("replace", part.path, anew) if anew != now else None
    return _copy(part) if verb == "copy" else _set(scenario, part)


def kept(change: Change) -> dict[str, str]:
    """A change as text, to be kept with what was entered."""
    return {"action": change.action, "path": change.path, "value": written(change.value)}


def read_kept(entry: dict[str, Any]) -> Change:
    """The change that was kept."""
    return Change(entry["action"], entry["path"], read_written(entry["value"]))


def said(scenario: Scenario, change: Change) -> str:
    """A change in a line, on the scenario it is made in: what to do, with which part, and what of it."""
    part = next((one for one in parts_of(scenario) if f"{change.path}.".startswith(f"{one.path}.")), None)
    where = _words(change.path) if part is None else part.words
    if part is not None and change.path != part.path:
        known = {pick.path: pick.words for pick in fields_of(scenario, part)}
        inside = change.path.removeprefix(f"{part.path}.")
        where += f", {known.get(change.path, inside.replace('_', ' '))}"
    value = f" to {written(change.value)}" if change.action == "set" else ""
    return f"{VERBS[change.action]}: {where}{value}"


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
