"""What all looks at a shop share: its hours, its load, what comes in, and who is there when."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK
from shopsim.distributions import Distribution
from shopsim.shop.people import Crew
from shopsim.shop.products import At
from shopsim.shop.rough_cut import Load
from shopsim.shop.rough_demand import Arrivals, arrivals
from shopsim.shop.rough_hours import Hours
from shopsim.shop.rough_work import Hands
from shopsim.shop.shop_file import Shop
from shopsim.shop.skills import HELPER, PRINTING, skill_for_calenders
from shopsim.streams import stream

Bools = NDArray[np.bool_]
Counts = NDArray[np.int_]
GRID_MIN = 15
# Long enough for any rotation of a quarter; shift plans repeat.
_WEEKS_SEEN = 26
_SPARE = 0.6
_SAMPLE = 20_000


def drawn(values: Distribution) -> NDArray[np.float64]:
    """A fixed sample of a distribution, the same for every review."""
    return np.asarray(values.sample(stream(0, 0, "review"), _SAMPLE), dtype=float)


class Paper:
    """A checked shop laid out for review; everything is worked out when it is first asked for."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self.scenario = shop.scenario
        self.cut = shop.rough_cut
        self._with_skill: dict[str, Counts] = {}

    @cached_property
    def hours(self) -> Hours:
        """Hours there are, week by week."""
        return Hours(self.scenario)

    @cached_property
    def asked(self) -> Arrivals:
        """What comes in, week by week."""
        return arrivals(self.scenario, self.shop.order_lines)

    @cached_property
    def grid(self) -> NDArray[np.float64]:
        """Moments a quarter of an hour apart, over whole weeks."""
        weeks = max(1, min(_WEEKS_SEEN, int(self.scenario.horizon_min // MINUTES_PER_WEEK)))
        return np.arange(GRID_MIN / 2, weeks * MINUTES_PER_WEEK, GRID_MIN)

    @cached_property
    def _there(self) -> dict[str, Bools]:
        """Whether a shift is on at each moment of the grid, breaks included."""
        found = {}
        for shift in {crew.shift for crew in self.hours.crews}:
            hours = self.hours.calendars[shift].envelope()
            place = np.searchsorted(hours.starts, self.grid, side="right") - 1
            ends = np.array([*hours.ends, -np.inf])
            found[shift] = self.grid < ends[place]
        return found

    def heads(self, able: Callable[[Crew], bool]) -> Counts:
        """How many people of the crews meant are there at each moment of the grid."""
        total = np.zeros(len(self.grid), dtype=int)
        for crew in self.hours.crews:
            if able(crew):
                total += crew.count * self._there[crew.shift]
        return total

    def with_skill(self, skill: str) -> Counts:
        """People with a skill there at each moment of the grid."""
        if skill not in self._with_skill:
            self._with_skill[skill] = self.heads(lambda crew: skill in crew.skills)
        return self._with_skill[skill]

    def hours_a_week(self, when: Bools) -> float:
        """Hours a week of moments of the grid."""
        return float(when.sum()) * GRID_MIN / 60 / self.weeks

    def days_a_week(self, when: Bools) -> float:
        """Days a week with any such moment."""
        return float(self.by_day(when).any(axis=1).sum()) / self.weeks

    @staticmethod
    def by_day(when: Bools) -> Bools:
        """Moments of the grid, a row a day."""
        return when.reshape(-1, MINUTES_PER_DAY // GRID_MIN)

    @property
    def weeks(self) -> float:
        """Weeks of the grid."""
        return len(self.grid) * GRID_MIN / MINUTES_PER_WEEK

    @cached_property
    def skills_of_places(self) -> dict[str, str]:
        """The skill each place of a route needs, and calenders', printers' and desks' in use."""
        used = {op.at for product in self.scenario.products for op in product.route if isinstance(op, At)}
        art, dispatch = self.scenario.demand.artwork, self.scenario.policies.dispatch
        used |= {art.check_at if art else None, dispatch.order_check_at} - {None}  # type: ignore[arg-type]
        found = {centre.id: centre.needed_skill for centre in self.scenario.work_centres if centre.id in used}
        if self.prints:
            found |= {each.id: PRINTING for each in self.scenario.printers}
            found |= {each.id: skill_for_calenders(self.scenario) for each in self.scenario.calenders}
        return found

    @cached_property
    def prints(self) -> bool:
        """Whether anything is printed here."""
        return bool(self.scenario.printers) and any(each.print_step for each in self.scenario.products)

    @cached_property
    def loads(self) -> dict[str, Load]:
        """The load of each place that has any."""
        return {load.id: load for load in self.cut.loads}

    def people(self, skills: Iterable[str]) -> int:
        """How many people have one of these skills."""
        wanted = set(skills)
        return sum(crew.count for crew in self.hours.crews if wanted & crew.skills.keys())

    def could_learn(self, skills: Iterable[str], when: Bools | None = None) -> list[str]:
        """Crews without these skills whose own place is at most 60 % full, the emptiest first; there at these times."""
        wanted = set(skills)
        found = []
        for crew in self.hours.crews:
            if wanted & crew.skills.keys() or (when is not None and not (self._there[crew.shift] & when).any()):
                continue
            home = crew.home_skill
            load = max((each.share for each in self.cut.loads if home in self._skills_of(each)), default=0.0)
            if load <= _SPARE:
                found.append((load, crew.id))
        return [name for _, name in sorted(found)]

    def _skills_of(self, load: Load) -> set[str]:
        if load.kind in ("printer", "print_room"):
            return {PRINTING}
        return {self.skills_of_places[place] for place in load.places or (load.id,) if place in self.skills_of_places}

    def earned_h(self, skill: str, week: int) -> float:
        """Standard hours that all with a skill can earn in a week studied."""
        return float(self.hours.people([Hands(skill, False)])[week]) / 60

    def pairs(self, skill: str) -> Counts:
        """People there who can lend a hand: with the skill, or helpers."""
        return self.heads(lambda crew: skill in crew.skills or HELPER in crew.skills)
