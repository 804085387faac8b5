"""Page one: what was asked, what came out, how the shop stands, and what to keep in mind before deciding."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from shopsim.answers.question import AS_IT_STANDS
from shopsim.cautions import STANDING_TEXT
from shopsim.report.blocks import Block, Lines, Para, Section, table
from shopsim.report.cautions_section import risks_in_short
from shopsim.report.contents import Contents
from shopsim.report.doubts import doubts_in_short
from shopsim.report.options_table import options_tables
from shopsim.report.told import told
from shopsim.terminal.compare_page import SHOWN

_KEY_FIGURES = ("on_time_share", "lead_time_p50_h", "lead_time_p90_h", "orders_per_week", "fabric_waste_share",
                "margin_per_week")  # fmt: skip
_WORDS = (
    "Cloth wasted: all of the cloth used but the pieces, such as gaps, edges, tails and ends of rolls. Where an answer "
    "names a constraint: that is what holds the shop back, being at work longest without a pause."
)
# So many answers stand large on one page; of more, the first alone.
_LARGE = 3


def first_page(contents: Contents) -> Section:
    """The first page, for whoever decides."""
    blocks: list[Block] = []
    for number, answer in enumerate(contents.answers, start=1):
        blocks.append(Para(f"{number}. {answer.about['question']}", "asked"))
        blocks.append(
            Para(answer.document["sentence"], "lead" if number == 1 or len(contents.answers) <= _LARGE else "plain")
        )
    blocks += options_tables(contents)
    stands = how_it_stands(contents)
    if stands is not None:
        measures, confidence, runs = stands
        rows = [
            (words, told(measures[name], name, scale), unit.replace("CU", contents.currency))
            for name, words, unit, scale in SHOWN
            if name in _KEY_FIGURES and name in measures and measures[name]["mean"] is not None
        ]
        blocks.append(table(
            "The shop as it stands", ("", f"mean ({confidence * 100:g} % interval)", ""), rows,
            f"{runs} replications. {_WORDS}", left=(0, 2),
        ))  # fmt: skip
    relying = (*doubts_in_short(contents), *risks_in_short(contents))
    blocks.append(Lines(relying, "Before you rely on it"))
    blocks.append(Para(STANDING_TEXT, "caution"))
    return Section("in_short", "In short", tuple(blocks))


def how_it_stands(contents: Contents) -> tuple[Mapping[str, Any], float, int] | None:
    """Measures of the shop as it stands with their confidence and replications; None if no answer holds them."""
    for answer in contents.answers:
        document = answer.document
        if answer.about["kind"] == "as_we_are":
            return document["measures"], document["confidence"], document["replications"]
    for answer in contents.answers:
        base = answer.document.get("options", {}).get(AS_IT_STANDS, {})
        if "measures" in base:
            return base["measures"], answer.document["confidence"], base["replications"]
    return None
