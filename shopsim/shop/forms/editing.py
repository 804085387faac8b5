"""The scenario that is being edited, as the text of its file: comments stay, and every edit can be taken back."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from shopsim.shop.changes import Change
from shopsim.shop.located_faults import Fault
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.scenario_file import scenario_or_faults
from shopsim.shop.yaml_tree import compose
from shopsim.shop.yaml_values import plain_value

MOST_KEPT = 100


@dataclass(frozen=True)
class Editing:
    """A scenario's text on the way from one sound state to the next; in between it may be unsound.

    `past` holds the texts before each edit, the oldest first. Raises ScenarioError for text that is no YAML of ours.
    """

    text: str
    name: str = "scenario"
    past: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        # What cannot be read is refused here, not when somebody first looks at the values.
        _ = self.values

    @cached_property
    def values(self) -> dict[str, Any]:
        """The plain values the text holds; not to be altered."""
        values: dict[str, Any] = plain_value(compose(self.text, self.name), self.name)
        return values

    @cached_property
    def checked(self) -> Scenario | list[Fault]:
        """The scenario, or every fault that keeps it from being one."""
        return scenario_or_faults(self.values)

    @property
    def scenario(self) -> Scenario | None:
        """The scenario if it is sound."""
        return self.checked if isinstance(self.checked, Scenario) else None

    @property
    def faults(self) -> list[Fault]:
        """What keeps it from being sound, as paths with messages."""
        return [] if isinstance(self.checked, Scenario) else self.checked

    def changed(self, changes: Iterable[Change]) -> Editing:
        """The text after changes, made one after the other; itself if they alter nothing.

        Raises ScenarioError for a change that fits nothing.
        """
        return self.with_text(edit_scenario(self.text, changes, self.name))

    def with_text(self, text: str) -> Editing:
        """The text with another text, which can be undone; itself if it is the same."""
        return self if text == self.text else Editing(text, self.name, (*self.past, self.text)[-MOST_KEPT:])

    def undone(self) -> Editing:
        """The text before its last edit; itself if there is none."""
        return replace(self, text=self.past[-1], past=self.past[:-1]) if self.past else self
