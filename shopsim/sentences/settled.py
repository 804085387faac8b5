"""How long the shop takes to settle, and whether the file leaves out as much."""

from __future__ import annotations

from shopsim.sentences.words import Answer, weeks_text
from shopsim.shop.scenario import Scenario
from shopsim.studies.settling import Settling


def settled(found: Settling, scenario: Scenario) -> Answer:
    """The sentence on the warm-up."""
    below = (
        f"Judged by the orders in the shop, mean of {found.replications} replications of "
        f"{weeks_text(len(found.by_day) / 7)} that start empty (MSER by weeks). "
        "The rule gives one value without an interval: other replications may give another."
    )
    if found.weeks is None:
        return Answer(
            f"The shop has not settled after {weeks_text(len(found.by_day) / 7)}: more orders may come in than it can "
            "make, or the season decides; look at it over given weeks instead of in the long run.", below,
        )  # fmt: skip
    when = f"within {weeks_text(found.weeks)}" if found.weeks else "at once"
    return Answer(f"By the rule below the shop settles {when}{_against_file(found.weeks, scenario)}.", below)


def _against_file(weeks: int, scenario: Scenario) -> str:
    study = scenario.study
    if study.opening == "empty":
        return "; this file counts from the first day, which is right for a season or an order book"
    enough = "enough" if study.warm_up_weeks >= weeks else "too little"
    return f"; the file leaves out {weeks_text(study.warm_up_weeks)}, which is {enough} by this rule"
