"""What a report is made of: one shop, the answers to some questions about it, and how they came about."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from shopsim.answers.finished import Finished
from shopsim.shop.shop_file import Shop


@dataclass(frozen=True, slots=True)
class Effort:
    """What the answers cost on this machine: all replications they rest on, those newly run, and seconds of waiting.

    `one_run_s` is how long one replication of the shop as it stands takes, None if that was not measured.
    """

    replications: int | None = None
    newly_run: int | None = None
    seconds: float | None = None
    one_run_s: float | None = None


@dataclass(frozen=True)
class Contents:
    """A report before it is written: `scenario_file` and `scenario_text` as the shop was run, answers in order.

    `books` are the order books by name, as bytes; `title` is what the cover says, the shop's name unless given.
    """

    shop: Shop
    scenario_file: str
    scenario_text: str
    answers: tuple[Finished, ...]
    made_on: datetime.date
    books: Mapping[str, bytes] = field(default_factory=dict)
    effort: Effort = Effort()
    title: str = ""
    author: str = ""

    @property
    def name(self) -> str:
        """What the report is about."""
        return self.title or self.shop.scenario.shop.name

    @property
    def currency(self) -> str:
        """The currency's name, for labels."""
        return self.shop.scenario.money.currency

    def of_kind(self, kind: str) -> list[Finished]:
        """The answers to one kind of question."""
        return [answer for answer in self.answers if answer.about["kind"] == kind]

    @property
    def options(self) -> dict[str, dict[str, Any]]:
        """Every changed shop that some answer is about, by name: see `answers.about`."""
        found: dict[str, dict[str, Any]] = {}
        for answer in self.answers:
            for name, option in answer.about["options"].items():
                found.setdefault(name, option)
        return found
