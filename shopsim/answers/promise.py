"""What date can be promised this morning, with what chance, and what would make it earlier."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any, ClassVar

from rich.console import Console

from shopsim import __version__
from shopsim.answers.drawn import Drawn, of_promise
from shopsim.answers.plain import bounds, typed
from shopsim.answers.question import Changed, Document, FilesOf, Question, notes_of
from shopsim.clock import date_of, stamp
from shopsim.sentences import Answer
from shopsim.sentences.promising import asked_text, promised, told_of
from shopsim.shop.today_file import dump_today
from shopsim.shop.today_model import OpenLine, OpenOrder, Today
from shopsim.shop.what_if import WhatIf
from shopsim.studies.promise import Promised, PromisePlan, WayFound, promise
from shopsim.studies.promise_outlook import LEVELS, DateAt, Outlook
from shopsim.studies.runner import Runner
from shopsim.studies.shares import Share
from shopsim.terminal.promise_page import print_promise

# After so many futures the first words are shown.
_FIRST = 20
_DAYS_SHOWN = 15
_MORNING = "morning.yaml"


@dataclass(frozen=True, kw_only=True)
class PromiseADate(Question[Promised]):
    """Chances of the open orders of a morning, and dates for a request; settled where there is a date.

    `changed` are shops that are further ways to make the request; `notes` tell what looks like a slip in the morning;
    `before` are the what-ifs the shop has been changed by.
    """

    kind: ClassVar = "promise"
    today: Today
    request: OpenOrder | None = None
    plan: PromisePlan
    changed: tuple[Changed, ...] = ()
    notes: tuple[str, ...] = ()
    before: tuple[WhatIf, ...] = ()

    def options(self) -> tuple[Changed, ...]:
        return self.changed

    def made_before(self) -> tuple[WhatIf, ...]:
        return self.before

    def files(self) -> dict[str, str]:
        return {_MORNING: dump_today(self.today)}

    def in_words(self) -> str:
        if self.request is None:
            return "Which open orders leave by their dates, from this morning on?"
        return f"When can {asked_text(self.request)} leave, and what would make it earlier?"

    def command(self, files: FilesOf) -> list[str]:
        before = ["--what-if", files(self.before)] if self.before else []
        return [
            "promise", self.scenario_file, "--today", _MORNING, *before, *self._request_typed(),
            *(word for one in self.changed for word in ("--way", files(one.what_ifs))),
            "--chance", typed(self.plan.chance_pct), "--replications", str(self.plan.futures),
        ]  # fmt: skip

    def _request_typed(self) -> list[str]:
        if self.request is None:
            return []
        lines = [word for line in self.request.lines for word in ("--request", _line_typed(line))]
        by = [] if self.plan.wanted is None else ["--by", self.request.due.isoformat()]
        rush = ["--rush"] if self.request.rush else []
        return [*lines, *by, *rush, *(["--new-file"] if self.request.stage == "received" else [])]

    def study(self, runner: Runner) -> Promised:
        return self._promised(runner, self.plan)

    def study_showing(self, runner: Runner, show: Callable[[Promised], None]) -> Promised:
        # Without a store the first futures would be run twice.
        if runner.store is not None and self.plan.futures > 2 * _FIRST:
            show(self._promised(runner, replace(self.plan, futures=_FIRST)))
        return self._promised(runner, self.plan)

    def _promised(self, runner: Runner, plan: PromisePlan) -> Promised:
        changed = [(one.name, one.shop) for one in self.changed]
        return promise(runner, self.shop, self.today, self.request, plan, changed)

    def answer(self, found: Promised) -> Answer:
        return promised(found, self.told())

    def told(self) -> tuple[str, ...]:
        """What is to be known of the morning, a sentence or two each."""
        return (*told_of(self.today), *self.notes)

    def show(self, console: Console, found: Promised) -> None:
        print_promise(console, found, self.answer(found), self.careful())

    def careful(self) -> dict[str, list[str]]:
        """For each way what its files note and its shop asks to be careful about."""
        return {one.name: notes_of(self.shop, one) for one in self.changed}

    def pictures(self, found: Promised) -> Iterator[Drawn]:
        return of_promise(self.document(found))

    def settled(self, found: Promised) -> bool:
        return found.settled

    def document(self, found: Promised) -> Document:
        """Dates are those of collections; `leaves` by chance, with the interval that holds the true date."""
        study, answer = self.shop.scenario.study, self.answer(found)
        return {
            "scenario": self.scenario,
            "version": __version__,
            "seed": study.seed,
            "replications": len(found.base.futures),
            "confidence": study.confidence_pct / 100,
            "sentence": answer.sentence,
            "below": answer.below,
            "settled": found.settled,
            "now": stamp(found.now_min, self.shop.scenario.shop.starts),
            "chance": found.chance_pct / 100,
            "notes": list(self.told()),
            "orders": [_order(found.base, order) for order in range(len(found.base.orders))],
            "at_risk": [found.base.orders[order].order for order in found.at_risk()],
            "request": self._request(found),
        }

    def _request(self, found: Promised) -> Document | None:
        if self.request is None:
            return None
        best = found.best()
        careful = self.careful()
        return {
            "lines": [line.model_dump(exclude_defaults=True) for line in self.request.lines],
            "due": self.request.due.isoformat(),
            "wanted": None if found.wanted_min is None else self._date(found.wanted_min),
            "best": None if best is None else best.way.name,
            "ways": [self._way(found, way) | {"notes": careful.get(way.way.name, [])} for way in found.ways],
        }

    def _way(self, found: Promised, way: WayFound) -> Document:
        outlook, order = way.outlook, found.request
        return {
            "kind": way.way.kind,
            "name": way.way.name,
            "replications": way.futures,
            "leaves": {f"{level:g}": _date_at(outlook, outlook.date_at(order, level)) for level in LEVELS}
            | {"wanted": _date_at(outlook, way.date)},
            "with_customer": _date_at(outlook, outlook.delivered_at(order, found.chance_pct)),
            "chance_by_wanted": None if way.by_wanted is None else _share(way.by_wanted),
            "cost_more": None if way.cost_cu is None else bounds(way.cost_cu),
            "surely_earlier": way.earlier,
            "late": [
                {
                    "order": outlook.orders[each.order].order,
                    "sure": each.sure,
                    "late_with_it": each.late,
                    "late_without_it": each.saved,
                }
                for each in way.late
            ],
            "by_day": [
                {"date": self._date(at), "chance": outlook.chance(order, at).mean}
                for at in outlook.collections[:_DAYS_SHOWN]
            ],
        }

    def _date(self, minute: float) -> str:
        return date_of(minute, self.shop.scenario.shop.starts).isoformat()


def _line_typed(line: OpenLine) -> str:
    size = "" if line.width_m is None or line.height_m is None else f"@{typed(line.width_m)}x{typed(line.height_m)}"
    return f"{line.product}={line.pieces}{size}"


def _order(outlook: Outlook, order: int) -> Document:
    told, waits = outlook.orders[order], outlook.waits_for(order)
    return {
        "order": told.order,
        "due": told.due.isoformat(),
        "chance": _share(outlook.chance(order)),
        "leaves": {f"{level:g}": _date_at(outlook, outlook.date_at(order, level)) for level in LEVELS},
        "waits_for": None if waits is None else {"reason": waits[0], "place": waits[1] or None, "mean_h": waits[2]},
    }


def _share(share: Share) -> dict[str, float]:
    return {"mean": share.mean, "low": share.low, "high": share.high}


def _date_at(outlook: Outlook, date: DateAt) -> dict[str, Any]:
    starts = outlook.option.scenario.shop.starts

    def day(minute: float | None) -> str | None:
        return None if minute is None else date_of(minute, starts).isoformat()

    return {"date": day(date.at), "low": day(date.low), "high": day(date.high)}
