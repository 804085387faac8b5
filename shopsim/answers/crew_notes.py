"""What a crew of other heads asks to be careful about: on top of the shop as it stands, seats to add, full hands."""

from __future__ import annotations

from collections.abc import Mapping

from shopsim.answers.care import caution_line, cautions_added, cautions_of
from shopsim.answers.question import changed
from shopsim.answers.ready_made import crew_of
from shopsim.cautions import caution_on
from shopsim.shop.review.finding import counted
from shopsim.shop.seat_shares import short_of_seats
from shopsim.shop.shop_file import Shop

_NOISE, _REPETITIVE = "SAF-10", "SAF-11"


def crew_notes(shop: Shop, heads: Mapping[str, int]) -> list[str]:
    """The cautions of a shop with these head counts, by crew. Repetitive work is told also where it is no news."""
    now = changed(shop, [crew_of(shop.scenario, heads, "shop.yaml")]).shop
    found = {each.row: each for each in cautions_of(now) if each.row == _REPETITIVE}
    found |= {each.row: each for each in cautions_added(shop, now)}
    sewing = {place.id for place in now.scenario.work_centres if place.kind == "sewing"}
    missing = sum(each.missing for each in short_of_seats(now.scenario, heads) if sewing & set(each.places))
    if missing:
        seats = sum(place.seats for place in now.scenario.work_centres if place.id in sewing)
        there = f"{counted(seats, 'sewing seat')}, {missing} more so that everybody has one"
        found[_NOISE] = caution_on(_NOISE, there)
    return [caution_line(found[row]) for row in sorted(found)]
