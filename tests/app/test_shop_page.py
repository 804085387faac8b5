"""The page of the shop: edits land in the file as by hand and are taken back, faults stand beside their cells."""

import json
from pathlib import Path
from typing import Any

import pytest
from streamlit.testing.v1 import AppTest

from app import state
from app.drafts import PAST, Draft
from shopsim.shop.demos import DEMOS, files_of
from shopsim.shop.file_text import write_text
from shopsim.shop.forms.layout import SHOP_PARTS
from tests.app.visit import said, tiny, visit
from tests.doors.tiny import SHOP


def at_table(draft: Draft, part: str, table: str) -> AppTest:
    at = visit("shop", draft)
    at.session_state["shop.part"] = part
    at.run()
    at.session_state[f"shop.{part}.table"] = table
    return run(at)


def run(at: AppTest) -> AppTest:
    at.run()
    assert not at.exception, at.exception[0].value
    return at


def type_in(at: AppTest, grid: str, row: int, **cells: Any) -> AppTest:
    """What a person types into a grid as it is drawn for the first time."""
    at.session_state[f"edit.{grid}"] = {"edited_rows": {row: cells}, "added_rows": [], "deleted_rows": []}
    return run(at)


@pytest.fixture
def draft(tmp_path: Path) -> Draft:
    return tiny(tmp_path)


def test_an_edit_is_the_same_edit_by_hand(draft: Draft) -> None:
    at = at_table(draft, "printers", "printers")
    assert at.data_editor[0].value["print_width_m"].tolist() == [1.0]
    type_in(at, "printers..0", 0, print_width_m=1.25)
    by_hand = SHOP.replace("    print_width_m: 1.0\n", "    print_width_m: 1.25\n")
    assert draft.text() == by_hand
    # The grid keeps the rows it was given, or it would lose the cell that is open.
    assert at.data_editor[0].value["print_width_m"].tolist() == [1.0]
    assert at.session_state["edit.printers..kept"]["version"] == 0
    assert draft.shop().scenario.printers[0].print_width_m == 1.25


def test_undo_takes_edits_back_one_by_one(draft: Draft) -> None:
    at = at_table(draft, "printers", "printers")
    assert at.button(key="shop.undo").disabled
    type_in(at, "printers..0", 0, print_width_m=1.25)
    type_in(at, "printers..0", 0, print_width_m=1.25, attention_pct=30.0)
    assert "attention_pct: 30" in draft.text()
    at.button(key="shop.undo").click()
    run(at)
    assert draft.text() == SHOP.replace("    print_width_m: 1.0\n", "    print_width_m: 1.25\n")
    assert at.data_editor[0].value["attention_pct"].tolist() == [0.0]
    at.button(key="shop.undo").click()
    run(at)
    assert draft.text() == SHOP
    assert at.button(key="shop.undo").disabled


def test_a_fault_stands_in_its_row_and_below_until_it_is_mended(draft: Draft) -> None:
    at = at_table(draft, "printers", "printers")
    type_in(at, "printers..0", 0, print_width_m=-1.0)
    told = "Printers, p1, Print width: must be greater than 0, found −1"
    assert told in said(at)
    # In the row itself only what cannot be seen there.
    assert at.data_editor[0].value["to mend"].tolist() == ["Print width: greater than 0"]
    where = "Shop > Printers > p1 > Print width".replace(">", "\u203a")
    listed = f"**{where}**: must be greater than 0, found −1 :small[tiny.yaml, line 7]"
    assert f"One thing needs mending:\n\n- {listed}" in said(at)
    part = at.radio(key="shop.part")
    assert list(part.proto.captions)[part.options.index("Printers")] == "1 to mend"
    type_in(at, "printers..1", 0, print_width_m=1.0)
    assert draft.text() == SHOP.replace("    print_width_m: 1.0\n", "    print_width_m: 1\n")
    assert len(at.error) == 0


def test_a_name_with_a_comma_is_one_step_on_the_way_to_a_fault(draft: Draft) -> None:
    draft.put_text(SHOP.replace("  - id: p1\n", '  - id: p1\n    name: "Printer 1, hot plate, entry"\n'))
    at = at_table(draft, "printers", "printers")
    type_in(at, "printers..0", 0, print_width_m=-1.0)
    way = "Shop > Printers > Printer 1, hot plate, entry > Print width".replace(">", "\u203a")
    assert f"- **{way}**: must be greater than 0, found \u22121 :small[tiny.yaml, line 8]" in said(at)


def test_the_load_follows_the_edit(draft: Draft) -> None:
    at = at_table(draft, "people", "crews")
    # 130 flags of 3 minutes: 6.5 h in the one week, of 37.5 h.
    assert "| sewing table | keeps up | 17 | 17 | 05 Jan | 6.5 | 37.5 | people |" in said(at)
    type_in(at, "crews..0", 1, count=2)
    assert "| sewing table | keeps up | 17 | 17 | 05 Jan | 6.5 | 37.5 | seats |" in said(at)
    type_in(at, "crews..0", 1, count=0)
    assert "nobody can work at 'sewing_table': the crews with the skill 'sewing' have a count of 0 (sewer)" in said(at)


def cautioned(at: AppTest) -> str:
    """What the box of cautions says; empty where there is none."""
    told = [each.value.replace("\\", "").replace("\u00a0", " ") for each in at.warning]
    boxes = [each for each in told if "Planning aid only" in each]
    assert len(boxes) < 2
    return boxes[0] if boxes else ""


def test_edits_that_hurry_people_at_the_hot_plate_are_cautioned_until_taken_back(draft: Draft) -> None:
    at = at_table(draft, "printers", "printers")
    assert cautioned(at) == ""
    # As an edit leaves it: what was there before is kept to be taken back.
    write_text(draft.folder / PAST, json.dumps([draft.text()]))
    draft.put_text(draft.text().replace("full_min: 20", "full_min: 4"))
    run(at)
    assert cautioned(at).startswith("- Burns: full roll change at p1 in 4 min instead of 20 min. Hot surface: ")
    assert "as the maker's manual says. :small[SAF-01]\n" in cautioned(at)
    at.button(key="shop.undo").click()
    assert cautioned(run(at)) == ""


def test_running_with_nobody_there_is_cautioned_as_soon_as_it_is_ticked_and_ever_after(draft: Draft) -> None:
    at = at_table(draft, "printers", "printers")
    type_in(at, "printers..0", 0, unattended_running=True)
    assert "Fire, hot machine with nobody there: p1 may run with nobody there. " in cautioned(at)
    # In a shop opened so, there is no edit to take back.
    other = state.drafts().new({path.name: path.read_bytes() for path in (draft.path, draft.folder / "orders.csv")})
    assert cautioned(visit("shop", other)).startswith("- Fire, hot machine with nobody there: p1 may run ")


def test_rows_are_added_copied_and_removed(draft: Draft) -> None:
    at = at_table(draft, "work_centres", "work_centres")
    at.button(key="edit.work_centres..copy").click()
    run(at)
    assert at.data_editor[0].value["id"].tolist() == ["sewing_table", "bench", "sewing_table_2"]
    at.button(key="edit.work_centres..add").click()
    run(at)
    assert [each.id for each in draft.shop().scenario.work_centres][2:] == ["sewing_table_2", "work_centre_2"]
    for row in (3, 2):
        at.selectbox(key="edit.work_centres..row").set_value(row)
        run(at)
        at.button(key="edit.work_centres..remove").click()
        run(at)
    assert draft.text() == SHOP


def test_steps_of_a_route_change_places(draft: Draft) -> None:
    at = at_table(draft, "products", "route")
    assert at.data_editor[0].value["op"].tolist() == ["print", "work", "pack"]
    at.selectbox(key="edit.route.0.row").set_value(2)
    run(at)
    at.button(key="edit.route.0.up").click()
    run(at)
    assert [step.op for step in draft.shop().scenario.products[0].route] == ["print", "pack", "work"]


def test_fields_of_a_single_group(draft: Draft) -> None:
    at = at_table(draft, "policies", "printing")
    assert at.number_input(key="sheet.printing.gang_max_web_m").value == 500
    at.number_input(key="sheet.printing.gang_max_web_m").set_value(60.0)
    run(at)
    assert draft.text() == SHOP.replace("gang_max_web_m: 500", "gang_max_web_m: 60")
    at.checkbox(key="sheet.printing.rush_first").uncheck()
    run(at)
    at.selectbox(key="sheet.printing.nesting").set_value("skyline")
    run(at)
    assert "printing: {gang_max_web_m: 60, rush_first: false, nesting: skyline}" in draft.text()
    at.number_input(key="sheet.printing.gang_max_web_m").set_value(0.0)
    run(at)
    assert "must be greater than 0, found 0" in said(at)


def test_names_to_choose_from_can_be_read_to_their_ends(draft: Draft) -> None:
    draft.put_text(SHOP.replace("- {id: day, weeks", "- {id: day, name: 'Day, one hour earlier', weeks"))
    grid = at_table(draft, "people", "crews").data_editor[0]
    columns = json.loads(grid.proto.columns)
    assert columns["shift"]["type_config"]["options"][0]["label"] == "Day, one hour earlier"
    assert columns["shift"]["width"] >= 7 * len("Day, one hour earlier")
    assert "width" not in columns["count"]


def test_a_new_name_is_followed(draft: Draft) -> None:
    at = at_table(draft, "work_centres", "work_centres")
    type_in(at, "work_centres..0", 0, id="needles")
    assert draft.text() == SHOP.replace("sewing_table", "needles")


def test_skills_are_levels_by_crew(draft: Draft) -> None:
    at = at_table(draft, "people", "skills")
    assert at.data_editor[0].value.columns.tolist() == [
        " crew", " home", "printing", "sewing", "packing", "helper",
    ]  # fmt: skip
    type_in(at, "skills.0", 2, sewing=2)
    assert "{id: packer, skills: {packing: 3, sewing: 2}, shift: day" in draft.text()
    type_in(at, "skills.0", 2, sewing=2, **{" home": "sewing"})
    assert "{id: packer, skills: {sewing: 2, packing: 3}, shift: day" in draft.text()
    type_in(at, "skills.0", 2, sewing=None, **{" home": "packing"})
    assert draft.text() == SHOP


def test_a_skill_may_bear_the_name_of_a_column(draft: Draft) -> None:
    named = SHOP.replace("packing: 3", "id: 3")
    draft.put_text(named.replace("{id: bench, kind: packing}", "{id: bench, kind: packing, skill: id}"))
    at = at_table(draft, "people", "skills")
    grid = at.data_editor[0].value
    assert grid[" crew"].tolist() == ["operator", "sewer", "packer"]
    assert grid["id"].tolist()[2] == 3
    type_in(at, "skills.0", 2, id=4)
    assert "{id: packer, skills: {id: 4}, shift: day" in draft.text()


def test_comments_of_a_demo_stay() -> None:
    draft = state.drafts().new(files_of(DEMOS[1]))
    before = draft.text()
    at = at_table(draft, "people", "crews")
    type_in(at, "crews..0", 6, count=3)
    assert draft.text() == before.replace("    name: Sewer\n    count: 2\n", "    name: Sewer\n    count: 3\n")


def test_what_is_more_than_a_number_is_told_how_to_read() -> None:
    draft = state.drafts().new(files_of(DEMOS[1]))
    three, most = "3 / 5 / 8 is at least 3, usually 5, at most 8", "half of them below the median, nine in ten below"
    told = said(at_table(draft, "printers", "roll_change"))
    assert f"How to read more than a number: {three}." in told
    told = said(at_table(draft, "printers", "repairs"))
    assert f"How to read more than a number: log_normal: {most} the p90." in told
    assert "How to read more" not in said(at_table(draft, "people", "crews"))


def test_every_table_of_every_part_can_be_shown() -> None:
    draft = state.drafts().new(files_of(DEMOS[2]))
    before = draft.text()
    at = visit("shop", draft)
    for part in SHOP_PARTS:
        at.session_state["shop.part"] = part.key
        run(at)
        for layout in part.tables:
            at.session_state[f"shop.{part.key}.table"] = layout.key
            run(at)
            assert len(at.error) == 0, layout.key
    assert draft.text() == before


def test_what_to_look_at_stands_below_the_load_as_check_tells_it(draft: Draft) -> None:
    at = visit("shop", draft)
    told = said(at)
    assert "What to look at" in told
    assert "Sewing table must stand when one person is away" in told
    assert "Teach a second person to level 2 at least, say packer and operator" in told
    # Values out of range stand with their cells, and nowhere else.
    assert told.count("outside the usual 1.5 to 5") == 1
    at = at_table(draft, "printers", "printers")
    type_in(at, "printers..0", 0, print_width_m=-1.0)
    assert "What to look at" not in said(at)
