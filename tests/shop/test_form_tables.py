"""Tables of a scenario: nothing changes by itself, every edit reaches its own place and no other."""

import datetime
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import BaseModel

from shopsim.shop.changes import Change
from shopsim.shop.forms.cell_faults import place_faults
from shopsim.shop.forms.cells import cell_of, plain_of, value_at
from shopsim.shop.forms.columns import Column, column
from shopsim.shop.forms.editing import Editing
from shopsim.shop.forms.layout import LAYOUTS, PARTS
from shopsim.shop.forms.skills import HOME, skill_changes
from shopsim.shop.forms.spread_text import read_spread, spread_text
from shopsim.shop.forms.tables import Table
from shopsim.shop.model_paths import models_of
from shopsim.shop.people import Closure
from shopsim.shop.printers import Mode, Printer
from shopsim.shop.products import Cut, Operation, Print, Product, Sew
from shopsim.shop.scenario import Scenario
from tests.properties.random_shops import shops

DEMOS = Path(__file__).parents[2] / "demo_scenarios"
SMALL = (Path(__file__).parent / "small_shop.yaml").read_text(encoding="utf-8")
DRAFTS = {
    path.stem: Editing(path.read_text(encoding="utf-8"), path.name)
    for path in [*sorted(DEMOS.glob("*.yaml")), Path(__file__).parent / "unusual.yaml"]
}


def all_tables(values: dict[str, Any]) -> list[Table]:
    tables = []
    for layout in LAYOUTS.values():
        owners = range(len(values.get(layout.owner) or [])) if layout.owner else (None,)
        tables += [Table(layout, owner) for owner in owners]
    return tables


def everything(values: dict[str, Any]) -> dict[tuple[Any, ...], Any]:
    """What every cell of every table shows."""
    return {
        (*table.row_path(row), key): cell
        for table in all_tables(values)
        for row, cells in enumerate(table.rows(values))
        for key, cell in cells.items()
    }


def left_alone(values: dict[str, Any]) -> list[Change]:
    return [
        change for table in all_tables(values) for change in table.edits(values, dict(enumerate(table.rows(values))))
    ]


@pytest.mark.parametrize("name", DRAFTS)
def test_tables_left_alone_change_nothing(name: str) -> None:
    assert left_alone(DRAFTS[name].values) == []


@given(shops())
@settings(max_examples=15, deadline=None)
def test_random_shops_left_alone_stay_as_they_are(values: dict[str, Any]) -> None:
    assert left_alone(values) == []
    assert len(everything(values)) > 300


def other_cell(column: Column, cell: Any, draw: st.DrawFn) -> Any:
    """A value for a cell unlike the one in it."""
    kinds: dict[str, st.SearchStrategy[Any]] = {
        "number": st.integers(1, 900).map(lambda n: n / 8),
        "whole": st.integers(1, 50),
        "yes_no": st.booleans(),
        "text": st.sampled_from(["north", "south wing", "yes", "06:00", "#1"]),
        "choice": st.sampled_from(column.choices or ("",)),
        "several": st.lists(st.sampled_from(column.choices or ("north", "south")), min_size=1, unique=True),
        "spread": st.sampled_from(["7", "1 / 2.5 / 9", "exponential: mean 4", "discrete: values 1 2, weights 3 4"]),
        "date": st.dates(datetime.date(2020, 1, 1), datetime.date(2030, 1, 1)),
    }
    return draw(kinds[column.kind].filter(lambda value: value != cell))


@given(st.data())
@settings(max_examples=25, deadline=None)
def test_an_edit_reaches_its_own_place_and_no_other(data: st.DataObject) -> None:
    draft = DRAFTS[data.draw(st.sampled_from(sorted(DRAFTS)))]
    before = draft.values
    tables = [table for table in all_tables(before) if table.count(before)]
    table = data.draw(st.sampled_from(tables))
    row = data.draw(st.integers(0, table.count(before) - 1))
    # Ids, families and members of unions take other cells with them on purpose; they have tests of their own.
    fields = [each for each in table.layout.columns if each.kind not in ("group", "tag")]
    fields = [each for each in fields if each.key not in ("id", "family") and not each.tags]
    if not fields:
        return
    field = data.draw(st.sampled_from(fields))
    group = value_at(before, (*table.row_path(row), *field.path[:-1]))
    cell = other_cell(field, table.rows(before)[row][field.key], data.draw)
    after = draft.changed(table.edits(before, {row: {field.key: cell}})).values
    shown = everything(before)
    changed = {key: value for key, value in everything(after).items() if shown.get(key) != value}
    key = (*table.row_path(row), field.key)
    assert changed.pop(key) == cell
    # A cell of a group that was not there brings the group, and a printer that fails by the calendar fails by it alone.
    assert group is None or not changed or field.path[-1] == "every_calendar_h"
    if isinstance(cell, int | float | str) and field.kind != "spread":
        assert value_at(after, (*table.row_path(row), *field.path)) == cell


@given(st.data())
@settings(max_examples=15, deadline=None)
def test_an_edit_taken_back_leaves_the_text_as_it_was(data: st.DataObject) -> None:
    draft = DRAFTS[data.draw(st.sampled_from(sorted(DRAFTS)))]
    table = data.draw(st.sampled_from([each for each in all_tables(draft.values) if each.count(draft.values)]))
    row = data.draw(st.integers(0, table.count(draft.values) - 1))
    change = table.copied(draft.values, row) if not table.layout.single else Change("set", "shop.name", "Another")
    edited = draft.changed([change])
    assert edited.text != draft.text
    assert edited.undone().text == draft.text
    assert edited.undone() == draft


def leaves(model: type[BaseModel], path: tuple[str, ...] = ()) -> set[tuple[str, ...]]:
    """Every field of a model that is no group, by its path; list items count as one."""
    found = set()
    for name, field in model.model_fields.items():
        inner = models_of(field.annotation) or [
            each for argument in getattr(field.annotation, "__args__", ()) for each in models_of(argument)
        ]
        below = [leaf for each in inner for leaf in leaves(each, (*path, name))]
        found |= set(below) if inner else {(*path, name)}
    return found


def test_every_field_of_the_models_can_be_edited_somewhere() -> None:
    shown = {
        tuple(part for part in (layout.owner, *layout.place.split("."), *each.path) if part)
        for layout in LAYOUTS.values()
        for each in layout.columns
    }
    # Edges by side are four columns; the others have editors of their own (shift grid, forecast, skills, order book).
    elsewhere = {
        ("products", "route", "edges"),
        ("shifts", "weeks", "blocks", "days"),
        ("shifts", "weeks", "blocks", "hours"),
        ("shifts", "weeks", "blocks", "breaks"),
        ("crews", "skills"),
        ("demand", "order_book", "file"),
        ("demand", "forecast", "month_index"),
        ("demand", "forecast", "weekday_shares"),
        ("demand", "forecast", "hour_shares"),
    }
    assert leaves(Scenario) - shown == elsewhere


def test_every_column_with_a_unit_shows_it() -> None:
    spelled = {"min": "minutes", "h": "hours"}
    for layout in LAYOUTS.values():
        for each in layout.columns:
            unit, title = each.unit("EUR"), each.title("EUR")
            words = each.label.lower().replace(",", " ").split()
            assert not unit or title.endswith(f", {unit}") or spelled.get(unit, unit) in words, title
    titles = {each.key: each.title("EUR") for layout in LAYOUTS.values() for each in layout.columns}
    assert titles["edge_margin_m"] == "Edge margin, m"
    assert titles["drum_m"] == "Drum diameter, m"
    assert titles["gang_max_web_m"] == "Run at most, m"


def test_no_two_columns_of_a_table_share_a_title() -> None:
    for part in PARTS:
        for layout in part.tables:
            titles = [each.title("CU") for each in layout.columns]
            assert len(titles) == len(set(titles)), layout.key


def test_a_column_tells_what_its_field_may_hold() -> None:
    attention = column((Printer,), "attention_pct")
    assert attention.title("CU") == "Operator's attention, %"
    assert attention.help() == (
        "Share of the printing time in which an operator is busy with this printer. Usual 10 to 80 (handbook OPR-01). "
        "Left empty: 20. Allowed: 0 to 100."
    )
    price = column((Printer,), "money.price")
    assert price.title("EUR") == "Price when new, EUR"
    assert column((Printer,), "fixation.plate_m").tags == ("inline",)
    steps = models_of(Operation)
    assert set(column(steps, "mode").tags) == {"print"}
    assert column(steps, "edges.top").choices[:2] == ("silicone_hand", "silicone_semi")
    with pytest.raises(KeyError, match="no colour in Product"):
        column((Product,), "colour")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (5, "5"),
        (2.5, "2.5"),
        ([20.0, 26.0, 38.5], "20 / 26 / 38.5"),
        ({"log_normal": {"median": 2, "p90": 10}}, "log_normal: median 2, p90 10"),
        ({"discrete": {"values": [1, 2], "weights": [80, 20]}}, "discrete: values 1 2, weights 80 20"),
        ({"erlang": {"mean": 3, "k": 2}}, "erlang: mean 3, k 2"),
        (1e-07, "1e-07"),
    ],
)
def test_distributions_as_text_and_back(value: Any, text: str) -> None:
    assert spread_text(value) == text
    assert read_spread(text) == value


@pytest.mark.parametrize(
    ("text", "value"),
    [
        (" 20-26 ", [20, -26]),
        ("20–26–38", [20, 26, 38]),
        ("1 2 3", [1, 2, 3]),
        ("about five", "about five"),
        ("5 min", "5 min"),
        ("log_normal: median 2 3", "log_normal: median 2 3"),
        ("normal: mean 2", "normal: mean 2"),
        ("Exponential mean 7", {"exponential": {"mean": 7}}),
        ("exponential 7", "exponential 7"),
        ("?", "?"),
        ("", ""),
    ],
)
def test_distributions_as_people_type_them(text: str, value: Any) -> None:
    assert read_spread(text) == value


@pytest.mark.parametrize(
    ("value", "text"),
    [
        ({"empirical": [1, 2.5]}, "empirical: values 1 2.5"),
        ({"exponential": 7}, "{'exponential': 7}"),
        ({}, "{}"),
        (None, ""),
    ],
)
def test_forms_that_a_cell_shows_and_does_not_write(value: Any, text: str) -> None:
    assert spread_text(value) == text


@pytest.mark.parametrize(
    ("model", "field", "cell", "value"),
    [
        (Printer, "attention_pct", 12.0, 12),
        (Printer, "attention_pct", 12.5, 12.5),
        (Printer, "attention_pct", " many ", "many"),
        (Mode, "passes", 4.0, 4),
        (Mode, "passes", 4.5, 4.5),
        (Mode, "passes", float("nan"), None),
        (Printer, "roll_change.full_min", " ", None),
        (Closure, "first", "2026-01-05T00:00:00.000", datetime.date(2026, 1, 5)),
        (Closure, "first", datetime.datetime(2026, 1, 5, 9), datetime.date(2026, 1, 5)),
        (Closure, "first", datetime.date(2026, 1, 5), datetime.date(2026, 1, 5)),
        (Closure, "first", "soon", "soon"),
    ],
)
def test_what_a_table_gives_for_a_cell_becomes_the_value_of_the_file(
    model: type[BaseModel], field: str, cell: Any, value: Any
) -> None:
    found = plain_of(column((model,), field), cell)
    assert (found, type(found)) == (value, type(value))


def test_a_cell_shows_nothing_of_another_kind_and_of_a_row_that_is_not_there() -> None:
    attention, passes = column((Printer,), "attention_pct"), column((Mode,), "passes")
    assert [cell_of(attention, value) for value in (20, "many", True, None)] == [20, None, None, None]
    assert cell_of(passes, "four") is None
    values = DRAFTS["frame_fabric_shop"].values
    assert value_at(values, ("printers", 1, "id")) == "printer_2"
    assert value_at(values, ("printers", 2, "id")) is None
    assert value_at(values, ("shop", 0, "id")) is None


def test_a_row_is_known_by_its_first_cell_or_by_its_number() -> None:
    values = {**DRAFTS["frame_fabric_shop"].values, "work_centres": [{"id": "cutter"}, {}]}
    assert [Table(LAYOUTS["work_centres"]).label(values, row) for row in (0, 1)] == ["cutter", "2"]
    assert Table(LAYOUTS["quality"]).label(values, 0) == "Quality"


def test_levels_left_as_they_are_change_nothing() -> None:
    values: dict[str, Any] = {"crews": [{"id": "a", "skills": {"sewing": 3, "packing": 2}}, {"id": "b"}]}
    edit = skill_changes
    assert edit(values, {0: {HOME: "sewing", "sewing": 3.0, "packing": 2}}) == []
    assert edit(values, {1: {"sewing": None}}) == []
    # The home skill taken away leaves the others in their order; without one nothing stands first.
    assert edit(values, {0: {"sewing": None}}) == [Change("set", "crews[0].skills", {"packing": 2})]
    assert edit(values, {1: {"sewing": 2}}) == [Change("set", "crews[1].skills", {"sewing": 2})]


def edited(draft: Editing, table: Table, row: int, **cells: Any) -> Editing:
    return draft.changed(table.edits(draft.values, {row: cells}))


def test_comments_stay_and_only_the_edited_value_differs() -> None:
    draft = DRAFTS["frame_fabric_shop"]
    after = edited(draft, Table(LAYOUTS["crews"]), 6, count=3)
    before_lines, after_lines = draft.text.splitlines(), after.text.splitlines()
    differing = [(a, b) for a, b in zip(before_lines, after_lines, strict=True) if a != b]
    assert differing == [("    count: 2", "    count: 3")]


def test_a_new_name_is_followed_by_whatever_refers_to_it() -> None:
    draft = Editing(SMALL)
    after = edited(draft, Table(LAYOUTS["work_centres"]), 1, id="stitchers")
    assert after.faults == []
    assert after.values["products"][0]["route"][2]["at"] == "stitchers"
    after = edited(after, Table(LAYOUTS["shifts"]), 0, id="daytime")
    assert [crew["shift"] for crew in after.values["crews"]] == ["daytime", "daytime"]
    # A name that is taken joins nothing: the doubled id is a fault that can be mended.
    doubled = edited(draft, Table(LAYOUTS["work_centres"]), 1, id="bench")
    assert doubled.values["products"][0]["route"][2]["at"] == "machines"


def test_a_family_fills_in_what_is_not_written() -> None:
    draft = Editing(SMALL)
    fixing = Table(LAYOUTS["fixing"])
    assert fixing.rows(draft.values)[0]["plate_c"] == 190
    after = edited(draft, Table(LAYOUTS["fabrics"]), 0, family="voile")
    assert (fixing.rows(after.values)[0]["plate_c"], fixing.rows(after.values)[0]["dwell_s"]) == (180, 30)


def test_cleared_cells_go_back_to_the_default_or_to_none() -> None:
    table = Table(LAYOUTS["printers"])
    draft = edited(Editing(SMALL), table, 0, print_width_m=1.6)
    assert draft.values["printers"][0]["print_width_m"] == 1.6
    draft = edited(draft, table, 0, print_width_m=None)
    assert "print_width_m" not in draft.values["printers"][0]
    care = Table(LAYOUTS["care"])
    draft = edited(draft, care, 0, **{"care.service_every_days": float("nan")})
    assert draft.values["printers"][0]["care"] == {"service_every_days": None}
    assert care.rows(draft.values)[0]["care.service_every_days"] is None


def test_groups_are_switched_off_and_on() -> None:
    table, key = Table(LAYOUTS["breakdowns"]), "breakdowns.*"
    off = edited(Editing(SMALL), table, 0, **{key: False})
    assert off.scenario is not None
    assert off.scenario.printers[0].breakdowns is None
    assert table.rows(off.values)[0] == {
        "id": "p1", "breakdowns.*": False, "breakdowns.every_running_h": None, "breakdowns.every_calendar_h": None,
        "breakdowns.repair_at": None, "breakdowns.renew_after_running_h": None, "breakdowns.renewal_h": None,
    }  # fmt: skip
    on = edited(off, table, 0, **{key: True})
    assert "breakdowns" not in on.values["printers"][0]
    rules = Table(LAYOUTS["other_rules"])
    limited = edited(on, rules, 0, **{"orders_at_once.*": True})
    assert limited.values["policies"] == {"orders_at_once": {"most": 50, "when_full": "wait"}}
    assert edited(limited, rules, 0, **{"orders_at_once.*": False}).scenario == on.scenario


def test_rules_of_our_own_begin_with_those_of_the_directive() -> None:
    table, breaks = Table(LAYOUTS["working_time"]), Table(LAYOUTS["due_breaks"])
    draft = Editing(SMALL)
    assert breaks.rows(draft.values) == []
    own = edited(draft, table, 0, **{"working_time.*": True})
    assert own.values["policies"] == {"working_time": {}}
    assert table.rows(own.values)[0]["working_time.daily_rest_h"] == 11
    assert breaks.rows(own.values) == [{"above_h": 6, "least_min": None}]
    germany = edited(own.changed([breaks.added(own.values)]), breaks, 0, least_min=30)
    assert germany.values["policies"] == {
        "working_time": {"breaks": [{"above_h": 6, "least_min": 30}, {"above_h": 9, "least_min": 45}]}
    }
    assert germany.faults == []
    assert edited(germany, table, 0, **{"working_time.*": False}).scenario == draft.scenario
    wrong = edited(own, table, 0, **{"working_time.night_ends": "25:00"})
    assert [str(each) for each in place_faults(wrong.values, wrong.faults)] == [
        "Rest and working hours, Night ends: '25:00' is not a clock time; allowed is hh:mm from 00:00 to 24:00"
    ]


def test_another_step_keeps_what_both_have() -> None:
    route = Table(LAYOUTS["route"], 0)
    after = edited(Editing(SMALL), route, 2, op="cut")
    assert after.values["products"][0]["route"][2] == {"op": "cut", "at": "machines"}
    offline = edited(Editing(SMALL), Table(LAYOUTS["fixation"]), 0, **{"fixation.kind": "offline"})
    assert [str(each) for each in place_faults(offline.values, offline.faults)] == [
        "Fixing in the printer, p1, Calender: missing; give a name"
    ]


def test_cells_of_other_steps_are_empty() -> None:
    rows = Table(LAYOUTS["route"], 0).rows(Editing(SMALL).values)
    assert [row["op"] for row in rows] == ["print", "cut", "sew", "pack"]
    assert [row["mode"] for row in rows] == ["production", None, None, None]
    assert [row["edge_extra_m"] for row in rows] == [0.012, None, None, None]
    assert [row["way"] for row in rows] == [None, None, None, "bag"]


@pytest.mark.parametrize(
    ("key", "owner", "expected"),
    [
        ("fabrics", None, ("fabrics", {"id": "fabric_2", "family": "front_lit"})),
        ("printers", None, ("printers", {"id": "printer_2", "modes": [{"id": "normal", "passes": 4}]})),
        ("modes", 0, ("printers[0].modes", {"id": "mode_2", "passes": 4})),
        ("route", 0, ("products[0].route", {"op": "work", "at": "table", "minutes": 5})),
        ("overtime", None, ("policies.overtime", {"crews": ["print_crew"], "when_queue_h": 8})),
        ("closed", None, ("closed", {"first": datetime.date(2026, 1, 5), "last": datetime.date(2026, 1, 5)})),
        ("mix", None, ("demand.forecast.mix", {"product": "banner", "share_pct": 10})),
    ],
)
def test_new_rows_are_sound(key: str, owner: int | None, expected: tuple[str, Any]) -> None:
    draft = Editing(SMALL)
    change = Table(LAYOUTS[key], owner).added(draft.values)
    assert change == Change("add", *expected)
    assert draft.changed([change]).faults == []


def test_copies_and_removals() -> None:
    draft, printers = Editing(SMALL), Table(LAYOUTS["printers"])
    two = draft.changed([printers.copied(draft.values, 0)])
    assert [each.id for each in two.scenario.printers] == ["p1", "p1_2"]
    three = two.changed([printers.copied(two.values, 1)])
    assert [each.id for each in three.scenario.printers] == ["p1", "p1_2", "p1_3"]
    assert three.changed([printers.removed(1), printers.removed(1)]).scenario == draft.scenario
    ladder = Table(LAYOUTS["ladder"], 0)
    shorter = draft.changed([ladder.removed(1)])
    assert [step.name for step in shorter.scenario.printers[0].nozzle_check.ladder] == ["light clean", "manual wipe"]


def test_steps_change_places() -> None:
    route, draft = Table(LAYOUTS["route"], 0), Editing(SMALL)
    after = draft.changed(route.moved(draft.values, 3, -1))
    assert [step["op"] for step in after.values["products"][0]["route"]] == ["print", "cut", "pack", "sew"]
    assert after.changed(route.moved(after.values, 2, 1)).scenario == draft.scenario
    assert route.moved(draft.values, 0, -1) == route.moved(draft.values, 3, 1) == []


def test_faults_stand_at_their_cells() -> None:
    draft = Editing(SMALL)
    faulty = draft
    for key, owner, row, cells in (
        ("printers", None, 0, {"print_width_m": -1.0}),
        ("modes", 0, 1, {"area_rate_m2_per_h": None}),
        ("roll_change", None, 0, {"roll_change.full_min": "half an hour"}),
        ("crews", None, 1, {"shift": "night"}),
        ("quality", None, 0, {"missed_pct": 120.0}),
    ):
        faulty = edited(faulty, Table(LAYOUTS[key], owner), row, **cells)
    placed = place_faults(faulty.values, faulty.faults)
    assert [(each.part, each.table.layout.key, each.row, each.column, str(each)) for each in placed] == [
        ("printers", "printers", 0, "print_width_m", "Printers, p1, Print width: must be greater than 0, found −1"),
        ("printers", "roll_change", 0, "roll_change.full_min",
         "Roll change, p1, Full change: a distribution must be a number, found 'half an hour'"),
        ("policies", "quality", 0, "missed_pct", "Quality, Missed by inspection: must be at most 100, found 120"),
    ]  # fmt: skip
    mended = faulty
    for table, row, cells in (
        (Table(LAYOUTS["printers"]), 0, {"print_width_m": 3.1}),
        (Table(LAYOUTS["roll_change"]), 0, {"roll_change.full_min": "26"}),
        (Table(LAYOUTS["quality"]), 0, {"missed_pct": 12.0}),
    ):
        mended = edited(mended, table, row, **cells)
    placed = place_faults(mended.values, mended.faults)
    assert [(each.part, each.table.layout.key, each.row, each.column) for each in placed] == [
        ("people", "crews", 1, "shift"), ("printers", "modes", 1, ""),
    ]  # fmt: skip
    assert str(placed[0]) == "Crews, sewers, Shift: there is no shift 'night'; known: day"


def test_members_of_a_route_are_known() -> None:
    assert set(models_of(Operation)) >= {Print, Cut, Sew}
