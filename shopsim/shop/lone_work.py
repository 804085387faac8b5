"""Hours in which one person is planned to be in the shop alone, and of these the ones beside a machine that may be hot.

Handbook SAF-12. By the plan: overtime and absence are left out. Local fire code and rules for lone work decide.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from shopsim.clock import MINUTES_PER_WEEK
from shopsim.shop.printers import InlineFixation
from shopsim.shop.rough_hours import shift_calendars
from shopsim.shop.scenario import Scenario
from shopsim.shop.skills import PRINTING, skill_for_calenders

HOT_METHODS = ("hot_knife", "laser")
_GRID_MIN = 15
# Long enough for any rotation of a demo or a quarter; shift plans repeat.
_WEEKS_SEEN = 26


def lone_hours_a_week(scenario: Scenario) -> float:
    """Hours a week with exactly one person planned to be there, breaks of that person included."""
    there, _ = _planned(scenario)
    return _a_week(there == 1)


def lone_hot_hours_a_week(scenario: Scenario) -> float:
    """Of these hours the ones in which that person may be alone with a hot machine.

    That is one who can work at a heat plate, a drum, a hot knife or a laser; anybody, where a printer may be hot with
    nobody there.
    """
    there, at_hot = _planned(scenario)
    left_hot = any(printer.unattended_running or printer.hot_overnight for printer in scenario.printers)
    return _a_week(there == 1 if left_hot else (there == 1) & (at_hot == 1))


def _planned(scenario: Scenario) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
    """How many people are planned to be there, and how many of them can work at hot machines, by quarter of an hour."""
    calendars, hot = shift_calendars(scenario), _hot_skills(scenario)
    until = min(scenario.horizon_min, _WEEKS_SEEN * MINUTES_PER_WEEK)
    grid = np.arange(_GRID_MIN / 2, until, _GRID_MIN)
    there, at_hot = np.zeros((2, len(grid)), dtype=np.int64)
    for crew in scenario.crews:
        hours = calendars[crew.shift].envelope()
        if hours.starts and crew.count:
            i = np.searchsorted(hours.starts, grid, side="right") - 1
            present = crew.count * ((i >= 0) & (grid < np.array(hours.ends)[i]))
            there += present
            at_hot += present * bool(hot & set(crew.skills))
    return there, at_hot


def _hot_skills(scenario: Scenario) -> set[str]:
    found = {centre.needed_skill for centre in scenario.work_centres if centre.method in HOT_METHODS}
    if any(isinstance(printer.fixation, InlineFixation) for printer in scenario.printers):
        found.add(PRINTING)
    return found | ({skill_for_calenders(scenario)} if scenario.calenders else set())


def _a_week(quarters: NDArray[np.bool_]) -> float:
    """Hours a week of what holds in some quarters of an hour of all."""
    return float(quarters.mean() * MINUTES_PER_WEEK / 60)
