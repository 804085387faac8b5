"""People of one trade against the seats they share: whoever is hired needs a place to sit."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from shopsim.shop.scenario import Scenario


@dataclass(frozen=True, slots=True)
class SharedSeats:
    """Too few seats: `people` of `crews` in one shift whose home skill it is, `seats` at all `places` that ask for it.

    `price` is that of the seats that are missing, in currency units: the places' price in the file by their seats.
    """

    crews: tuple[str, ...]
    places: tuple[str, ...]
    people: int
    seats: int
    price: float

    @property
    def missing(self) -> int:
        """Seats to add so that each of them has one."""
        return self.people - self.seats


def short_of_seats(scenario: Scenario, crews: Iterable[str]) -> list[SharedSeats]:
    """Where crews, with all others of their home skill and shift, are more people than seats; each set of seats once.

    Work without a place, at a printer for one, has no seats.
    """
    found: dict[tuple[str, ...], SharedSeats] = {}
    for name in crews:
        crew = scenario.by_id("crews")[name]
        places = [place for place in scenario.work_centres if place.needed_skill == crew.home_skill]
        peers = [one for one in scenario.crews if one.home_skill == crew.home_skill and one.shift == crew.shift]
        people, seats = sum(one.count for one in peers), sum(place.seats for place in places)
        if not places or people <= seats:
            continue
        ids = tuple(one.id for one in peers if one.count)
        price = sum(place.money.price for place in places) / seats * (people - seats)
        found[ids] = SharedSeats(ids, tuple(place.id for place in places), people, seats, price)
    return list(found.values())
