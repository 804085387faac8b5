"""The reporting list STRESS-DES, filled for this study; what only a person can say is marked as open.

T. Monks, C. S. M. Currie, B. S. Onggo, S. Robinson, M. Kunc, S. J. E. Taylor, "Strengthening the reporting of empirical
simulation studies: Introducing the STRESS guidelines", Journal of Simulation 13(1) (2019) 55-67. Numbers and titles of
the items are the guideline's; what each asks for is told in our own words.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from shopsim.report.blocks import Block, Open, Para, Section
from shopsim.report.contents import Contents
from shopsim.report.stress_data import assumptions, data_sources, input_parameters, pre_processing
from shopsim.report.stress_experiments import (
    estimation,
    execution,
    initialisation,
    run_length,
    sampling,
    sharing,
    software,
    system,
)
from shopsim.report.stress_logic import (
    activities,
    algorithms,
    base_logic,
    diagram,
    entities,
    entry_and_exit,
    queues,
    resources,
    scenario_logic,
)
from shopsim.report.stress_objectives import aims, outputs, purpose

CITED = (
    "After T. Monks, C. S. M. Currie, B. S. Onggo, S. Robinson, M. Kunc and S. J. E. Taylor, Strengthening the "
    "reporting of empirical simulation studies: Introducing the STRESS guidelines, Journal of Simulation 13(1), "
    "2019, 55–67."
)


@dataclass(frozen=True, slots=True)
class Item:
    """One item of the list: number and title as in the guideline, what it asks for, and what fills it here."""

    number: str
    title: str
    asks: str
    fill: Callable[[Contents], list[Block]]


ITEMS: tuple[Item, ...] = (
    Item("1.1", "Purpose of the model", "Background and aims.", purpose),
    Item("1.2", "Model outputs", "What is measured, how and when, and how its error is worked out.", outputs),
    Item("1.3", "Experimentation aims", "What the experiments were to find out.", aims),
    Item("2.1", "Base model overview diagram", "A picture of the process.", diagram),
    Item("2.2", "Base model logic", "How the model works.", base_logic),
    Item("2.3", "Scenario logic", "In what the scenarios differ from the base.", scenario_logic),
    Item("2.4", "Algorithms", "Methods inside the model, so that somebody could build them again.", algorithms),
    Item("2.5.1", "Components: entities", "What moves through the model, and what is known of it.", entities),
    Item("2.5.2", "Components: activities", "What is done to it, and the way from one to the next.", activities),
    Item("2.5.3", "Components: resources", "Machines, places and people.", resources),
    Item("2.5.4", "Components: queues", "Who comes next, place by place.", queues),
    Item("2.5.5", "Components: entry and exit points", "Where and how work enters and leaves.", entry_and_exit),
    Item("3.1", "Data sources", "Where the numbers come from.", data_sources),
    Item("3.2", "Pre-processing", "What was done to data before the model read them.", pre_processing),
    Item("3.3", "Input parameters", "Every input with its value or distribution.", input_parameters),
    Item("3.4", "Assumptions", "What was taken for granted where nothing was known.", assumptions),
    Item("4.1", "Initialisation", "How a run begins, and what of it is left out.", initialisation),
    Item("4.2", "Run length", "How long a run is, in which unit of time.", run_length),
    Item("4.3", "Estimation approach", "Replications or one long run, and how many.", estimation),
    Item("5.1", "Software or programming language", "Programs and their versions.", software),
    Item("5.2", "Random sampling", "Which generator, and how streams are shared out.", sampling),
    Item("5.3", "Model execution", "How events are worked off, in parallel or not.", execution),
    Item("5.4", "System specification", "What it ran on, and for how long.", system),
    Item("6.1", "Computer model sharing statement", "How others get the model.", sharing),
)
_PARTS = {
    "1": "Objectives",
    "2": "Logic",
    "3": "Data",
    "4": "Experimentation",
    "5": "Implementation",
    "6": "Code access",
}


def stress_section(contents: Contents) -> Section:
    """The annex: a section an item, within those of the guideline."""
    parts = tuple(
        Section(f"stress_{number}", f"{number} {title}", (), 3, sections=tuple(
            _item(item, contents) for item in ITEMS if item.number.partition(".")[0] == number
        ))
        for number, title in _PARTS.items()
    )  # fmt: skip
    return Section("annex", "Annex: the model, by the reporting list STRESS-DES", (Para(CITED, "small"),),
                   new_page=True, sections=parts)  # fmt: skip


def _item(item: Item, contents: Contents) -> Section:
    blocks = (Para(item.asks, "asks"), *item.fill(contents))
    return Section(f"stress_{item.number.replace('.', '_')}", f"{item.number} {item.title}", blocks, 4)


def open_items(contents: Contents) -> dict[str, list[str]]:
    """What is left to a person, by number of the item."""
    return {
        item.number: told
        for item in ITEMS
        if (told := [block.text for block in item.fill(contents) if isinstance(block, Open)])
    }
