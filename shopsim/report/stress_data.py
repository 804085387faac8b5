"""STRESS-DES 3.1 to 3.4: where the numbers come from, every input, what was assumed."""

from __future__ import annotations

from shopsim.report.assumed import craft_table, default_table, given_table, lists_table
from shopsim.report.blocks import Block, Lines, Open, Para, table
from shopsim.report.contents import Contents
from shopsim.report.doubts import bases_of, left_out
from shopsim.report.file_notes import notes_beside
from shopsim.report.inputs import inputs_of
from shopsim.report.rerun import digest_of
from shopsim.report.usual_values import HANDBOOK, usual_table


def data_sources(contents: Contents) -> list[Block]:
    inputs = inputs_of(contents.shop.scenario)
    bases = ", ".join(f"{count} {basis}" for basis, count in bases_of(inputs).items())
    rows = [
        ("scenario file", contents.scenario_file, f"sha256 {digest_of(contents.scenario_text.encode())[:16]}…"),
        *(("order book", name, f"{len(contents.shop.order_lines):,} order lines, sha256 {digest_of(content)[:16]}…")
          for name, content in contents.books.items()),
        ("trade handbook", f"{HANDBOOK}, for what the file leaves out",
         f"{sum(one.origin == 'handbook' for one in inputs)} values: {bases}"),
    ]  # fmt: skip
    return [
        table("", ("source", "is", ""), rows, left=(0, 1, 2)),
        Para("What each value rests on stands in 3.3, with what the file says beside it."),
        Open("Who measured the values in the file, when, and over how long."),
    ]


def pre_processing(contents: Contents) -> list[Block]:
    blocks: list[Block] = []
    if contents.books:
        blocks.append(Para(
            "Order books are read strictly, a row an order line; times without a clock are taken as the start of "
            "the day. Nothing is repaired: a row that does not fit is refused."
        ))  # fmt: skip
    blocks.append(Para(
        "Distributions given as three numbers are triangular (least, usual, most). Shares are weights. Nothing "
        "else is done to the values of the file."
    ))  # fmt: skip
    blocks.append(Open("What was done to records before they became the values of the file (or: `shopsim fit` did "
                       "it, see the comments it left there)."))  # fmt: skip
    return blocks


def input_parameters(contents: Contents) -> list[Block]:
    notes = notes_beside(contents.scenario_text, contents.scenario_file)
    inputs = inputs_of(contents.shop.scenario, notes)
    minutes = craft_table(contents)
    return [
        given_table(inputs), default_table(inputs), *(each for each in (lists_table(inputs), minutes) if each),
        usual_table(contents),
        Para("Inputs are drawn independently of each other, but for what belongs to one order, piece or day. Demand "
             "depends on month, weekday and hour where a forecast is given."),
    ]  # fmt: skip


def assumptions(contents: Contents) -> list[Block]:
    return [
        Para("Every default listed in 3.3 is an assumption. Besides, the model makes simple or leaves out:"),
        Lines(tuple(left_out(contents.shop.scenario))),
        Open("Assumptions behind the values of the file."),
    ]
