"""Risks and cautions of the shop as it stands, and what each change adds."""

from __future__ import annotations

from shopsim.answers.question import cautions_of
from shopsim.cautions import STANDING_TEXT
from shopsim.report.blocks import Block, Lines, Para, Section, table
from shopsim.report.contents import Contents


def cautions_section(contents: Contents) -> Section:
    """The section; it always ends with who decides."""
    rows = [(each.row, each.hazard, each.where.replace("_", " "), each.advice) for each in cautions_of(contents.shop)]
    blocks: list[Block] = []
    if rows:
        blocks.append(table("In this shop", ("row", "hazard", "where", "before deciding"), rows, left=(0, 1, 2, 3)))
    for name, option in contents.options.items():
        if option["notes"]:
            blocks.append(Lines(tuple(option["notes"]), f"With “{name}” as well"))
    blocks.append(Para(STANDING_TEXT, "caution"))
    return Section("cautions", "Risks and cautions", tuple(blocks))
