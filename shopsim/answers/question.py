"""What every question to a shop has in common, and the shops that it compares."""

from __future__ import annotations

import hashlib
from abc import ABC, abstractmethod
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, fields
from functools import cached_property
from pathlib import PurePath
from typing import Any, ClassVar, Generic, Self, TypeVar

from rich.console import Console

from shopsim.answers.by_run import ByRun
from shopsim.answers.care import caution_line, cautions_added
from shopsim.answers.drawn import Drawn
from shopsim.answers.program import program_version
from shopsim.errors import InputError, Problem
from shopsim.sentences import Answer
from shopsim.shop.shop_file import Shop
from shopsim.shop.what_if import WhatIf, apply
from shopsim.studies.option import Option
from shopsim.studies.runner import Runner

AS_IT_STANDS = "as it stands"
# Replications of the first look at an answer: fewer say next to nothing.
FIRST_SHOWN = 4
Document = dict[str, Any]
Found = TypeVar("Found")
FilesOf = Callable[[Sequence[WhatIf]], str]


@dataclass(frozen=True, slots=True)
class Changed:
    """A shop with what-ifs made in it, one after the other; `name` is what the option is called."""

    name: str
    shop: Shop
    what_ifs: tuple[WhatIf, ...]

    @property
    def option(self) -> Option:
        """As a study takes it."""
        return option_of(self.name, self.shop)


def changed(base: Shop, what_ifs: Sequence[WhatIf]) -> Changed:
    """The shop with all the what-ifs. Raises WhatIfError with every fault of the first that does not fit."""
    shop = base
    for what_if in what_ifs:
        shop = apply(shop, what_if)
    return Changed(" + ".join(what_if.name for what_if in what_ifs), shop, tuple(what_ifs))


def all_changed(base: Shop, options: Sequence[Sequence[WhatIf]]) -> tuple[Changed, ...]:
    """Each option with its what-ifs. Raises WhatIfError as `changed`, and InputError for two options of one name."""
    made: dict[str, Changed] = {}
    for what_ifs in options:
        one = changed(base, what_ifs)
        if one.name in made:
            raise InputError([Problem(files_of(what_ifs), None, None, "", f"a second option named {one.name!r}")])
        made[one.name] = one
    return tuple(made.values())


def files_of(what_ifs: Sequence[WhatIf]) -> str:
    """The files what-ifs were read from, as a command line joins them; empty for those that have none."""
    return "+".join(what_if.source.file for what_if in what_ifs if what_if.source is not None)


def notes_of(base: Shop, one: Changed) -> list[str]:
    """What the what-ifs of an option note, and the cautions that its shop adds to those of the base."""
    said = [what_if.note for what_if in one.what_ifs if what_if.note]
    return said + [caution_line(each) for each in cautions_added(base, one.shop)]


def option_of(name: str, shop: Shop) -> Option:
    """A shop as a study takes it."""
    return Option(name, shop.scenario, shop.order_lines)


@dataclass(frozen=True, kw_only=True)
class Question(ABC, Generic[Found]):
    """One question to one shop; `scenario` is the name of the shop's file, or what stands for it."""

    kind: ClassVar[str]
    scenario: str
    shop: Shop

    @property
    def in_rounds(self) -> bool:
        """Whether the study asks for more replications as it goes."""
        return False

    @property
    def scenario_file(self) -> str:
        """The name of the shop's file without its folder."""
        return PurePath(self.scenario).name

    def options(self) -> tuple[Changed, ...]:
        """The changed shops that are asked about."""
        return ()

    def made_before(self) -> tuple[WhatIf, ...]:
        """What-ifs already made in `shop`, which its file does not have."""
        return ()

    def files(self) -> dict[str, str]:
        """Files its command needs besides the scenario and what-ifs: name and text."""
        return {}

    @abstractmethod
    def in_words(self) -> str:
        """What is asked, as a question."""

    @abstractmethod
    def command(self, files: FilesOf) -> list[str]:
        """The command line that asks it, after the program's name; `files` names the files of what-ifs."""

    @abstractmethod
    def study(self, runner: Runner) -> Found:
        """Run what the question needs. Raises as `Runner`, and InputError for what only the runs can tell."""

    def study_showing(self, runner: Runner, show: Callable[[Found], None]) -> Found:
        """As `study`, with what the runs tell so far given to `show` on the way, where that is worth reading."""
        first = self.at_first()
        if first is not None:
            runner.expect(self.runs_in_all())
            show(first.study(runner))
        return self.study_in_rounds(runner, show)

    def study_in_rounds(self, runner: Runner, on_round: Callable[[Found], None] | None = None) -> Found:
        """As `study`, with what each round tells given to `on_round` where more is to be run after it."""
        return self.study(runner)

    def at_first(self) -> Self | None:
        """The same question to be answered by its first few replications; None where that is not worth reading."""
        return None

    def runs_in_all(self) -> int:
        """Replications the whole study takes, each counted once, where that is known before a first look; else 0."""
        return 0

    @abstractmethod
    def answer(self, found: Found) -> Answer:
        """The sentence, and the line below it."""

    @abstractmethod
    def document(self, found: Found) -> Document:
        """The whole answer as plain values."""

    @abstractmethod
    def show(self, console: Console, found: Found) -> None:
        """The page for people: sentence and tables."""

    def pictures(self, found: Found) -> Iterator[Drawn]:
        """Pictures of the answer, the most telling first."""
        return iter(())

    def by_run(self, found: Found) -> ByRun:
        """The numbers of each replication behind the answer, where its intervals are worked out from such."""
        return {}

    def enough(self) -> str:
        """When the replications are enough, in words."""
        return "as many as were asked for"

    @abstractmethod
    def settled(self, found: Found) -> bool:
        """Whether the runs could tell what was asked."""

    @cached_property
    def key(self) -> str:
        """sha256 over all that the answer depends on, the program too: equal keys have equal documents."""
        return hashlib.sha256(f"{program_version()} {self.asked}".encode()).hexdigest()

    @cached_property
    def asked(self) -> str:
        """sha256 over shop and inputs alone: what another program would be asked as well."""
        told = [(each.name, _told(getattr(self, each.name))) for each in fields(self)]
        return hashlib.sha256(repr((self.kind, told)).encode()).hexdigest()


def shop_key(shop: Shop) -> str:
    """A hash of all that a run of the shop depends on."""
    return hashlib.sha256(repr((shop.scenario.content_hash, shop.order_lines)).encode()).hexdigest()


def _told(value: Any) -> Any:
    if isinstance(value, Shop):
        return shop_key(value)
    if isinstance(value, Changed):
        notes = [(what_if.note, what_if.spends) for what_if in value.what_ifs]
        return value.name, notes, _told(value.shop)
    return [_told(each) for each in value] if isinstance(value, tuple | list) else value
