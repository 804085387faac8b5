"""What a report is made of: one shop, the answers to some questions about it, and how they came about."""

from __future__ import annotations

import datetime
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from shopsim.answers.finished import Finished
from shopsim.shop.review.finding import Finding
from shopsim.shop.review.shop_review import shop_review
from shopsim.shop.shop_file import Shop


@dataclass(frozen=True, slots=True)
class Effort:
    """What the answers cost on this machine: replications asked for, those of them run now and those that earlier
    studies had kept (the others serve several questions), and seconds of waiting.

    `one_run_s` is how long one replication of the shop as it stands takes, None if that was not measured.
    """

    replications: int
    newly_run: int
    kept_before: int
    seconds: float
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
    effort: Effort | None = None
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

    @cached_property
    def review(self) -> list[Finding]:
        """What is worth a look in the shop on paper, worst first."""
        return shop_review(self.shop)

    @property
    def options(self) -> dict[str, dict[str, Any]]:
        """Every changed shop that some answer is about, see `answers.about`; by name, with the number of the question
        where different shops have one name."""
        shops: dict[str, dict[str, tuple[int, dict[str, Any]]]] = {}
        for number, answer in enumerate(self.answers, start=1):
            for name, option in answer.about["options"].items():
                shops.setdefault(name, {}).setdefault(option["scenario_hash"], (number, option))
        return {
            name if len(alike) == 1 else f"{name} (question {number})": option
            for name, alike in shops.items()
            for number, option in alike.values()
        }
