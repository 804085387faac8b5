"""The same shop with named changes, as a Python object and as the models of a what-if file."""

from __future__ import annotations

import datetime
import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, ClassVar

from pydantic import AfterValidator, BeforeValidator, Discriminator, Field, Tag, ValidationError, model_validator

from shopsim.errors import Problem, WhatIfError
from shopsim.shop.base import Base, Id, Label, NotNegative, Positive
from shopsim.shop.changes import Change
from shopsim.shop.located_faults import faults_of
from shopsim.shop.model_paths import Path, path_text
from shopsim.shop.plain_messages import did_you_mean, found
from shopsim.shop.scenario_dump import plain


def _plain(value: Any) -> Any:
    """A copy of a value a file can hold, with lists for tuples. Raises ValueError for anything else."""
    if isinstance(value, dict) and all(isinstance(key, str) for key in value):
        return {key: _plain(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(item) for item in value]
    if isinstance(value, float) and not math.isfinite(value):
        raise ValueError("must be a number, not infinity or NaN")
    if value is None or isinstance(value, str | int | float | datetime.date):
        return value
    raise ValueError(f"must be what a file can hold, found {found(value)}")


Plain = Annotated[Any, AfterValidator(_plain)]
PathText = Annotated[str, Field(min_length=1, max_length=300)]
Inside = dict[Annotated[str, Field(min_length=1, max_length=300)], Plain]


class SetValue(Base):
    """Put a value: `{set: crews.sewers.count, to: 3}`."""

    TAG: ClassVar = ("set",)
    path: PathText = Field(alias="set")
    value: Plain = Field(alias="to")

    def change(self) -> Change:
        return Change("set", self.path, self.value)


class AddItem(Base):
    """Append an item to a list: `{add: policies.overtime, item: {crews: [packers], when_queue_h: 6}}`."""

    TAG: ClassVar = ("add",)
    path: PathText = Field(alias="add")
    value: Plain = Field(alias="item")

    def change(self) -> Change:
        return Change("add", self.path, self.value)


class CopyItem(Base):
    """Append a copy of a list item to its list: `{copy: printers.p1, as: p2, with: {fixation.plate_m: 1.0}}`.

    `as` is the copy's id, left out where items have none; `with` gives what differs, by paths inside the copy.
    """

    TAG: ClassVar = ("copy",)
    path: PathText = Field(alias="copy")
    own_id: Id | None = Field(default=None, alias="as")
    inside: Inside = Field(default={}, alias="with")

    @model_validator(mode="after")
    def _one_id(self) -> CopyItem:
        if "id" in self.inside:
            raise ValueError("`as` gives the copy its id; leave `id` out of `with`")
        return self

    def change(self) -> Change:
        return Change("copy", self.path, {**({"id": self.own_id} if self.own_id else {}), **self.inside})


class RemoveItem(Base):
    """Take a key or a list item away: `{remove: printers.p2}`."""

    TAG: ClassVar = ("remove",)
    path: PathText = Field(alias="remove")

    def change(self) -> Change:
        return Change("remove", self.path)


class ReplaceItem(Base):
    """Put other keys in place of all those of an item, which keeps its id: `{replace: shifts.day, with: {...}}`."""

    TAG: ClassVar = ("replace",)
    path: PathText = Field(alias="replace")
    inside: Inside = Field(alias="with")

    def change(self) -> Change:
        return Change("replace", self.path, self.inside)


VERBS = ("set", "add", "copy", "remove", "replace")


def _one_verb(value: Any) -> Any:
    if not isinstance(value, dict):
        raise ValueError(f"must be one change, a group of keys with one of {', '.join(VERBS)}; found {found(value)}")
    if sum(verb in value for verb in VERBS) != 1:
        keys = ", ".join(map(str, value)) or "no key"
        known = any(verb in value for verb in VERBS)
        hint = "" if known else next((meant for key in value if (meant := did_you_mean(key, VERBS))), "")
        raise ValueError(f"must hold exactly one of {', '.join(VERBS)}; found {keys}{hint}")
    return value


def _verb(value: Any) -> str:
    return next(verb for verb in VERBS if verb in value)


ChangeInFile = Annotated[
    Annotated[SetValue, Tag("set")]
    | Annotated[AddItem, Tag("add")]
    | Annotated[CopyItem, Tag("copy")]
    | Annotated[RemoveItem, Tag("remove")]
    | Annotated[ReplaceItem, Tag("replace")],
    Discriminator(_verb),
    BeforeValidator(_one_verb),
]


class Spends(Base):
    """What the changes cost and win, for questions of money; nothing here changes a run of the what-if itself.

    In the scenario's currency: `once` is paid at the start, machines included although the scenario holds their price
    too; `resale` is got back after `life_years`; `per_year` is paid beyond what the scenario counts by itself (wages,
    service, energy, floor), or saved if negative. `training_h` are paid hours of learning. During the first
    `ramp_up_weeks` what is new reaches `ramp_up_speed_pct` of its speed. `orders_won_pct`, in percent of today's, or
    `orders_won_per_week` are orders taken because of the changes alone; they come evenly, all after `orders_won_weeks`.
    """

    once: NotNegative = 0
    life_years: Positive | None = None
    resale: NotNegative = 0
    per_year: float = Field(default=0, ge=-1e9, le=1e9)
    training_h: NotNegative = 0
    ramp_up_weeks: NotNegative = 0
    ramp_up_speed_pct: float = Field(default=100, gt=0, le=100)
    orders_won_pct: float = Field(default=0, ge=0, le=200)
    orders_won_per_week: NotNegative = 0
    orders_won_weeks: float = Field(default=0, ge=0, le=520)

    @model_validator(mode="after")
    def _goes_together(self) -> Spends:
        if self.resale > self.once:
            raise ValueError(f"`resale` must be at most `once`, {self.once:g}, found {self.resale:g}")
        if self.resale and self.life_years is None:
            raise ValueError("`resale` needs `life_years`, after which it is paid")
        if (self.ramp_up_weeks > 0) != (self.ramp_up_speed_pct < 100):
            raise ValueError("`ramp_up_weeks` and `ramp_up_speed_pct` go together")
        if self.orders_won_pct and self.orders_won_per_week:
            raise ValueError("give `orders_won_pct` or `orders_won_per_week`, not both")
        if self.orders_won_weeks and not (self.orders_won_pct or self.orders_won_per_week):
            raise ValueError("`orders_won_weeks` needs `orders_won_pct` or `orders_won_per_week`, which then have come")
        return self


class WhatIfFile(Base):
    """A what-if file: the scenario it starts from (`base`, relative to this file) and the changes, made in turn."""

    name: Annotated[Label, Field(min_length=1)]
    note: str = Field(default="", max_length=5000)
    base: str = Field(min_length=1, max_length=300)
    changes: tuple[ChangeInFile, ...] = Field(min_length=1, max_length=200)
    spends: Spends | None = None


@dataclass(frozen=True, slots=True)
class Source:
    """The file a what-if was read from, and line and column of everything in it by its path."""

    file: str
    places: Mapping[Path, tuple[int, int]]


@dataclass(frozen=True, slots=True)
class WhatIf:
    """A shop with named changes, made one after the other; `base` is the scenario's file as seen from the what-if's.

    `source` says where it was read, for messages, and is no part of what is compared. Raises WhatIfError for anything a
    what-if file could not hold.
    """

    name: str
    changes: tuple[Change, ...]
    base: str
    note: str = ""
    spends: Spends | None = None
    source: Source | None = field(default=None, repr=False, compare=False)

    def __post_init__(self) -> None:
        values = file_values(self)
        try:
            checked = WhatIfFile.model_validate(values)
        except ValidationError as error:
            raise WhatIfError(
                Problem(str(self.name), None, None, path_text(values, path), message)
                for path, message in faults_of(WhatIfFile, error)
            ) from None
        # The values are copied, so that nobody can alter them from outside.
        object.__setattr__(self, "changes", tuple(each.change() for each in checked.changes))

    def problem(self, path: Path, shown: str, message: str) -> Problem:
        """A problem with the value at ``path`` of the what-if, with its place if it has a file; ``shown`` names it."""
        if self.source is None:
            return Problem(self.name, None, None, shown, message)
        places = (self.source.places.get(path[:length]) for length in range(len(path), 0, -1))
        line, column = next((place for place in places if place), (None, None))
        return Problem(self.source.file, line, column, shown, message)


def file_values(what_if: WhatIf) -> dict[str, Any]:
    """The plain values a file of this what-if would hold."""
    values: dict[str, Any] = {"name": what_if.name}
    if what_if.note:
        values["note"] = what_if.note
    values["base"] = what_if.base
    values["changes"] = [_in_file(change) for change in what_if.changes]
    if what_if.spends is not None:
        values["spends"] = plain(what_if.spends)
    return values


def _in_file(change: Change) -> dict[str, Any]:
    verb: dict[str, Any] = {change.action: change.path}
    if change.action == "remove":
        return verb
    if change.action == "copy":
        own_id = {"as": change.value["id"]} if "id" in change.value else {}
        inside = {key: value for key, value in change.value.items() if key != "id"}
        return {**verb, **own_id, **({"with": inside} if inside else {})}
    key = {"set": "to", "add": "item", "replace": "with"}[change.action]
    return {**verb, key: change.value}
