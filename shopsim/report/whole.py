"""The whole report as sections: page one for whoever decides, then the answers, then what a modeller checks."""

from __future__ import annotations

from shopsim.report.answer_section import answer_section
from shopsim.report.assumed import assumed_section
from shopsim.report.blocks import Section
from shopsim.report.cautions_section import cautions_section
from shopsim.report.contents import Contents
from shopsim.report.doubts import doubts_section
from shopsim.report.first_page import first_page
from shopsim.report.money import money_section
from shopsim.report.rerun import rerun_section
from shopsim.report.stress import stress_section


def sections_of(contents: Contents) -> tuple[Section, ...]:
    """All sections in order."""
    return (
        first_page(contents),
        *(answer_section(answer, number) for number, answer in enumerate(contents.answers, start=1)),
        money_section(contents),
        cautions_section(contents),
        assumed_section(contents),
        doubts_section(contents),
        rerun_section(contents),
        stress_section(contents),
    )
