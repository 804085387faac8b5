"""What is uncertain: luck, inputs nobody has measured, what the model leaves out, and what was never checked."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator

from shopsim.report.blocks import Block, Lines, Open, Para, Section
from shopsim.report.contents import Contents
from shopsim.report.inputs import Input, inputs_of
from shopsim.report.usual_values import HANDBOOK
from shopsim.sentences.words import listed
from shopsim.shop.printers import InlineFixation
from shopsim.shop.scenario import Scenario

NOT_VALIDATED = "No records of this shop have been set beside the simulation yet."


def doubts_section(contents: Contents) -> Section:
    """All of it, the most important first."""
    blocks: list[Block] = [Lines(tuple(_luck(contents)), "Luck of the runs"), Lines(tuple(_inputs(contents)), "Inputs")]
    blocks.append(Lines(tuple(left_out(contents.shop.scenario)), "What the model leaves out or makes simple"))
    blocks += [Para(text) for text in _validated(contents)]
    blocks.append(
        Open("Whether somebody has compared orders a week, share on time and lead times with what this shop did.")
    )
    return Section("uncertain", "What is uncertain", tuple(blocks))


def doubts_in_short(contents: Contents) -> Iterator[str]:
    """A few lines for page one."""
    yield from unsettled(contents)
    yield from _inputs(contents)
    yield from _validated(contents)


def _validated(contents: Contents) -> Iterator[str]:
    """What records of the shop say of the model, if they were asked."""
    matched = contents.of_kind("match")
    if not matched:
        yield NOT_VALIDATED
    for answer in matched:
        yield f"Set beside what happened: {answer.document['sentence']}"


def unsettled(contents: Contents) -> list[str]:
    """A line on the questions that the runs could not settle, if there are any."""
    numbers = [
        str(number)
        for number, answer in enumerate(contents.answers, start=1)
        if answer.document.get("settled") is False
    ]
    questions = f"Question{'s' if len(numbers) > 1 else ''}"
    return [f"{questions} {listed(numbers)} could not be settled by the runs made."] if numbers else []


def _luck(contents: Contents) -> Iterator[str]:
    yield (
        "Intervals say how well a mean over runs is known, and nothing about inputs. More runs make them narrower: "
        "half as wide takes four times as many."
    )
    for number, answer in enumerate(contents.answers, start=1):
        document = answer.document
        runs = document.get("replications")
        told = f", {runs} replications" if runs else ""
        sure = f"{document['confidence'] * 100:g} % confidence" if "confidence" in document else "no interval"
        open_still = "; not settled" if document.get("settled") is False else ""
        yield f"Question {number}: {sure}{told}{open_still}."


def _inputs(contents: Contents) -> Iterator[str]:
    inputs = inputs_of(contents.shop.scenario)
    counts = Counter(one.origin for one in inputs)
    yield (
        f"Of {len(inputs):,} values in use {counts['file']:,} stand in the file; {counts['handbook']:,} are usual "
        f"values ({HANDBOOK}), {counts['program']:,} defaults of the program without a source."
    )
    weak = sum(one.basis in ("from memory", "common practice") for one in inputs)
    if weak:
        yield (
            f"{weak:,} of the usual values are from memory or common practice, not published: two to four weeks of the "
            "shop's own log would replace most of them."
        )


def bases_of(inputs: list[Input]) -> dict[str, int]:
    """How many of the handbook's values stand on what."""
    return dict(Counter(one.basis for one in inputs if one.basis))


_Applies = Callable[[Scenario], bool]
_LEFT_OUT: tuple[tuple[_Applies, str], ...] = (
    (lambda s: s.warm_up_min == 0, "The shop opens empty: no order is in work on the first day."),
    (lambda s: s.warm_up_min > 0, ("The weeks that count begin in a shop filled by the warm-up, not with the "
                                  "orders that are in work today.")),
    (lambda s: bool(s.printers), ("Pieces of a print run go on when the run, or what was printed before a stop of the "
                                 "day, has passed the plate, not piece by piece.")),
    (lambda s: any(isinstance(p.fixation, InlineFixation) for p in s.printers),
     "Colour, shrinkage and fixation are taken as right once the set point is reached; faults come by chance."),
    (lambda s: s.policies.printing.nesting == "shelves", ("Pieces are laid in rows across the web, which takes a "
                                                         "little more cloth than the tightest layout.")),
    (lambda s: any(crew.absence for crew in s.crews), "Absences are drawn a person and day; nobody is called in."),
    (lambda s: any(c.kind == "sewing" for c in s.work_centres), ("A mended piece takes as long at its second "
                                                                "inspection as at its first.")),
    (lambda _: True, "Moving work from place to place takes no time and no hands."),
    (lambda _: True, "Daylight saving is left out."),
    (lambda s: s.demand.forecast is not None, ("Customers order on whatever the shop's record of dates is: late orders "
                                              "today cost no orders tomorrow.")),
)  # fmt: skip


def left_out(scenario: Scenario) -> Iterator[str]:
    """What a reader of this shop's answers should know of the model."""
    yield from (text for applies, text in _LEFT_OUT if applies(scenario))
