"""The page of transcripts holds every question, each a command that is understood, with an answer and its seconds."""

from __future__ import annotations

import re

import pytest

from shopsim.doors.command_line import parser
from tests.evidence.transcripts import PAGE, QUESTIONS

ASKED = [words.replace("SHOP", f"{demo}.yaml") for demo, questions in QUESTIONS.items() for _, words in questions]


@pytest.mark.parametrize("words", ASKED)
def test_a_question_stands_there_with_its_answer(words: str) -> None:
    assert parser().parse_args(words.split()).command == words.split()[0]
    typed = re.escape(f"shopsim {words}")
    told = re.findall(rf"```text\n{typed}\n\n(.+?)\n```\n\n\d+ s(?:; the runs cannot settle it)?\.\n",
                      PAGE.read_text(encoding="utf-8"), re.DOTALL)  # fmt: skip
    assert len(told) == 1
    assert told[0].rstrip().endswith(".")
    assert "```" not in told[0]


def test_each_of_the_three_is_told_on_each_demo() -> None:
    who = {(demo, asks) for demo, questions in QUESTIONS.items() for asks, _ in questions}
    assert len(who) == 9
    assert PAGE.read_text(encoding="utf-8").count("\n## ") == 3
