"""Some crews of a shift get a copy of it with other hours."""

from __future__ import annotations

from shopsim.shop.changes import Change
from shopsim.shop.own_shift import own_shift_changes
from shopsim.shop.people import Crew, Shift
from shopsim.shop.shift_grid import grid_of, painted, weeks_of

DAY = Shift(id="day", name="Day", weeks=[{"blocks": [{"days": ["mon"], "hours": "07:00-15:00"}]}], premium_pct=5)
LATER = painted(grid_of(DAY), 0, [0], 8 * 60, 18 * 60, "work")


def crew(own_id: str, name: str = "") -> Crew:
    return Crew(id=own_id, name=name, skills={"general": 3}, shift="day")


def test_a_copy_for_those_chosen() -> None:
    changes = own_shift_changes(DAY, LATER, [crew("hem_lead"), crew("sewers", "Sewers")], {"day", "sewers"})
    assert changes == [
        Change("copy", "shifts.day", {
            "id": "day_hem_lead_sewers", "name": "Day: hem lead, Sewers", "weeks": weeks_of(LATER),
        }),
        Change("set", "crews.hem_lead.shift", "day_hem_lead_sewers"),
        Change("set", "crews.sewers.shift", "day_hem_lead_sewers"),
    ]  # fmt: skip


def test_hours_that_stay_need_no_copy() -> None:
    assert own_shift_changes(DAY, grid_of(DAY), [crew("sewers")], {"day"}) == []


def test_an_id_is_free_and_short_enough_and_so_is_the_name() -> None:
    taken = {"day_sewers", "day_sewers_2"}
    assert own_shift_changes(DAY, LATER, [crew("sewers")], taken)[0].value["id"] == "day_sewers_3"
    many = [crew(f"crew_of_the_room_number_{number}", f"Crew of the big sewing room {number}") for number in range(9)]
    value = own_shift_changes(DAY, LATER, many, ())[0].value
    made = Shift(id=value["id"], name=value["name"], weeks=value["weeks"])
    assert (made.id, len(made.name)) == ("day_crew_of_the_room_number_0_crew_o", 120)
