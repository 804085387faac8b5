"""One answer in full: the question, the sentence, what the options change, pictures, tables, what to heed."""

from __future__ import annotations

from shopsim.answers.finished import Finished
from shopsim.report.blocks import Block, Lines, Para, Picture, Section, Table


def answer_section(answer: Finished, number: int) -> Section:
    """The section of the answer with this number, from 1."""
    document, about = answer.document, answer.about
    blocks: list[Block] = [Para(document["sentence"], "lead"), Para(document["below"])]
    if document.get("settled") is False:
        blocks.append(Para("The runs made so far cannot settle this question; see how sure it is.", "caution"))
    for name, option in about["options"].items():
        differs = tuple(option["differs"]) or ("nothing that the file holds",)
        blocks.append(Lines(differs, f"{name}: what is different"))
        if option["notes"]:
            blocks.append(Lines(tuple(option["notes"]), f"{name}: what to heed"))
    blocks += [Picture(each["figure"], each["words"]) for each in answer.pictures]
    blocks += [
        Table(each["title"], tuple(each["columns"]), tuple(tuple(row) for row in each["rows"]), each["note"],
              tuple(each["texts"]))
        for each in answer.tables
    ]  # fmt: skip
    return Section(f"answer_{number}", f"{number}. {about['question']}", tuple(blocks), new_page=True)
