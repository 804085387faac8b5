"""Risks of the shop on paper, cautions of the shop as it stands, and what each change adds."""

from __future__ import annotations

from collections.abc import Iterator

from shopsim.answers.care import cautions_of
from shopsim.cautions import STANDING_TEXT
from shopsim.report.blocks import Block, Lines, Para, Section, table
from shopsim.report.contents import Contents

# So many risks are named on page one.
_FIRST = 3


def cautions_section(contents: Contents) -> Section:
    """The section; it always ends with who decides."""
    blocks: list[Block] = []
    if contents.review:
        found = [(each.grade_text, each.headline, each.found, each.do, each.basis) for each in contents.review]
        blocks.append(table(
            "What to look at in the file, worst first", ("", "what", "found", "to do", "by"), found,
            "Found on paper, without a run, as by `shopsim check`.", left=(0, 1, 2, 3, 4),
        ))  # fmt: skip
    rows = [(each.row, each.hazard, each.where.replace("_", " "), each.advice) for each in cautions_of(contents.shop)]
    if rows:
        blocks.append(
            table("Cautions in this shop", ("row", "hazard", "where", "before deciding"), rows, left=(0, 1, 2, 3))
        )
    for name, option in contents.options.items():
        if option["notes"]:
            blocks.append(Lines(tuple(option["notes"]), f"With “{name}” as well"))
    blocks.append(Para(STANDING_TEXT, "caution"))
    return Section("cautions", "Risks and cautions", tuple(blocks))


def risks_in_short(contents: Contents) -> Iterator[str]:
    """The first risks and cautions by name, for page one."""
    # Paths of values stay as they stand in the file.
    looked = [each.headline if "." in each.where else each.headline.replace("_", " ") for each in contents.review]
    if looked:
        yield f"To look at in the file, worst first: {_first_of(looked)}."
    hazards = [each.hazard for each in cautions_of(contents.shop)]
    if hazards:
        yield f"To be careful about in this shop: {_first_of(hazards)}."


def _first_of(risks: list[str]) -> str:
    more = len(risks) - _FIRST
    return "; ".join(risks[:_FIRST]) + (f"; and {more} more, see risks and cautions" if more > 0 else "")
