"""Skills that the shop itself knows; every other skill is a name of the file's own."""

from __future__ import annotations

from shopsim.shop.scenario import Scenario

PRINTING = "printing"
CALENDER = "calender"
HELPER = "helper"


def skill_for_calenders(scenario: Scenario) -> str:
    """The skill calenders need: `calender` where a crew lists it, else `printing`."""
    return CALENDER if any(CALENDER in crew.skills for crew in scenario.crews) else PRINTING
