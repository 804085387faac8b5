"""The page What if beyond one change: composed on top of another, made together, renamed, deleted, broken."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from app import state
from app.drafts import Draft
from app.say import plain
from shopsim.answers.comparison import WhatIfHelps
from shopsim.answers.question import all_changed
from shopsim.cautions import STANDING_TEXT
from shopsim.studies.comparison import Plan
from shopsim.studies.runner import Progress, Runner
from tests.app.visit import WHAT_IF, answered, said, sentence, tiny, visit

PACKED = """\
# Told by the packer.
name: Quick packing
base: ../tiny.yaml
changes:
  - {set: "products.flag.route[2].minutes", to: 0.2} # by the watch
"""
PRINTER = """\
name: A second printer
base: ../tiny.yaml
changes:
  - {copy: printers.p1, as: p2}
"""
MINUTES = "products.flag.route[1].minutes"


@pytest.fixture
def draft(tmp_path: Path) -> Draft:
    return tiny(tmp_path, WHAT_IF, PACKED)


def press(at: AppTest, key: str) -> AppTest:
    at.button(key=key).click().run()
    assert not at.exception, at.exception[0].value
    return at


def pick(at: AppTest, key: str, option: str) -> AppTest:
    box = at.selectbox(key=key)
    box.select_index(box.options.index(option)).run()
    assert not at.exception, at.exception[0].value
    return at


def test_a_change_goes_on_with_what_an_earlier_one_on_the_list_brings(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit("what_if", draft)
    at.selectbox(key="pick.verb").set_value("copy").run()
    pick(at, "pick.part.copy", "Printer p1")
    at.text_input(key="pick.id.printers.p1").set_value("p2").run()
    press(at, "what_if.add")
    at.selectbox(key="pick.verb").set_value("set").run()
    pick(at, "pick.part.set", "Printer p2")
    pick(at, "pick.field.printers.p2", "Print width")
    at.number_input(key="pick.value.printers.p2.print_width_m").set_value(1.5).run()
    press(at, "what_if.add")
    assert "1. printers: p2 added (like p1)\n" in said(at)
    assert "2. printer p2: print width 1.5 m instead of 1 m\n" in said(at)
    at.text_input(key="what_if.name").set_value("A wider one as well").run()
    press(at, "what_if.keep")
    (kept,) = draft.what_ifs()
    assert [(one.action, one.path) for one in kept.changes] == [
        ("copy", "printers.p1"), ("set", "printers.p2.print_width_m"),
    ]  # fmt: skip
    assert at.multiselect[0].value == ["A wider one as well"]


def test_changes_on_the_list_that_do_not_fit_together_are_told(tmp_path: Path) -> None:
    at = visit("what_if", tiny(tmp_path))
    at.selectbox(key="pick.verb").set_value("remove").run()
    pick(at, "pick.part.remove", "Place sewing table")
    press(at, "what_if.add")
    assert "The changes on the list do not fit together yet" in said(at)
    assert "these changes: " in said(at)
    assert "1. Take something away: Place sewing table\n" in said(at)
    press(at, "what_if.drop.0")
    assert "do not fit together" not in said(at)


def test_something_new_begins_as_the_last_of_its_kind(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit("what_if", draft)
    at.selectbox(key="pick.verb").set_value("add").run()
    at.selectbox(key="pick.list").set_value("crews").run()
    box = at.text_area(key="pick.item.crews.packer_2")
    assert box.value == "id: packer_2\nskills: {packing: 3}\nshift: day\nwage_per_h: 20"
    box.set_value(box.value.replace("20", "25")).run()
    press(at, "what_if.add")
    assert "1. crews: packer 2 added (like packer, but wage 25 CU/h instead of 20 CU/h)\n" in said(at)
    assert at.text_area(key="pick.item.crews.packer_3").value.startswith("id: packer_3\n")


def test_what_is_written_anew_begins_as_it_is(tmp_path: Path) -> None:
    at = visit("what_if", tiny(tmp_path))
    at.selectbox(key="pick.verb").set_value("replace").run()
    pick(at, "pick.part.replace", "Crew Sewer")
    box = at.text_area(key="pick.anew.crews.sewer")
    assert box.value == "name: Sewer\nskills: {sewing: 3}\nshift: day_with_break\nwage_per_h: 20"
    assert at.button(key="what_if.add").disabled
    box.set_value(box.value.replace("day_with_break", "day")).run()
    press(at, "what_if.add")
    assert "1. crew “Sewer”: shift day instead of day with break\n" in said(at)


def test_a_change_to_what_is_there_already_is_told_as_such(tmp_path: Path) -> None:
    at = visit("what_if", tiny(tmp_path))
    pick(at, "pick.part.set", "Place bench")
    pick(at, "pick.field.work_centres.bench", "Seats")
    press(at, "what_if.add")
    assert "1. Set a value: Place bench, Seats to 1 (as it is already)" in said(at)


def test_kept_changes_are_made_together_as_one_option(draft: Draft) -> None:
    at = visit("what_if", draft)
    at.multiselect(key="what_if.together").set_value(["Quick seams", "Quick packing"]).run()
    press(at, "what_if.together.take")
    assert at.multiselect(key="what_if.chosen").value == ["Quick seams + Quick packing"]
    assert at.multiselect(key="what_if.together").value == []
    at = answered(at, "what_if")
    assert "Quick seams + Quick packing" in sentence(at)
    told = said(at)
    assert "product flag: step work, 0.5 min instead of 3 min" in told
    assert "product flag: step pack, 0.2 min instead of 1 min" in told
    # It is offered on another visit as well, and gone once it is deleted; its parts stay.
    again = visit("what_if", draft)
    again.selectbox(key="what_if.kept").set_value("Quick seams + Quick packing").run()
    press(again, "what_if.kept.delete")
    assert again.multiselect(key="what_if.chosen").options == ["Quick seams", "Quick packing"]


def test_a_kept_what_if_is_renamed_wherever_it_is_chosen(draft: Draft) -> None:
    at = visit("what_if", draft)
    at.multiselect(key="what_if.chosen").set_value(["Quick packing"]).run()
    at.multiselect(key="what_if.together").set_value(["Quick seams", "Quick packing"]).run()
    press(at, "what_if.together.take")
    growth = visit("growth", draft)
    growth.multiselect(key="growth.chosen").set_value(["Quick packing"]).run()
    at.selectbox(key="what_if.kept").set_value("Quick packing").run()
    at.text_input(key="what_if.kept.name.Quick packing").set_value("Packing: quicker").run()
    press(at, "what_if.kept.rename")
    assert at.multiselect(key="what_if.chosen").value == ["Packing: quicker", "Quick seams + Packing: quicker"]
    assert visit("growth", draft).multiselect(key="growth.chosen").value == ["Packing: quicker"]
    # Only the line of the name is another, the comments stay.
    path = draft.folder / "what_ifs" / "what_if_1.yaml"
    assert path.read_text(encoding="utf-8") == PACKED.replace("name: Quick packing", 'name: "Packing: quicker"')
    at.selectbox(key="what_if.kept").set_value("Packing: quicker").run()
    at.text_input(key="what_if.kept.name.Packing: quicker").set_value("Quick seams").run()
    press(at, "what_if.kept.rename")
    assert "there is a what-if of this name already" in said(at)
    assert [one.name for one in draft.what_ifs()] == ["Quick seams", "Packing: quicker"]


def test_a_kept_what_if_is_deleted(draft: Draft) -> None:
    at = visit("what_if", draft)
    at.multiselect(key="what_if.chosen").set_value(["Quick packing"]).run()
    at.selectbox(key="what_if.kept").set_value("Quick packing").run()
    press(at, "what_if.kept.delete")
    assert [one.name for one in draft.what_ifs()] == ["Quick seams"]
    assert at.multiselect(key="what_if.chosen").value == []


def test_a_what_if_that_cannot_be_read_is_told_and_can_be_deleted(draft: Draft) -> None:
    path = draft.folder / "what_ifs" / "what_if_0.yaml"
    path.write_text(WHAT_IF.replace("to: 0.5", "two: 0.5"), encoding="utf-8")
    for page in ("what_if", "growth", "shifts"):
        told = said(visit(page, draft))
        assert "The kept what-if what_if_0.yaml cannot be read and is left out:" in told
        assert "what_ifs/what_if_0.yaml:4:" in told
    at = visit("what_if", draft)
    at.selectbox(key="what_if.kept").set_value("what_if_0.yaml").run()
    press(at, "what_if.kept.delete")
    assert not path.exists()
    assert "cannot be read" not in said(at)


def test_a_given_number_of_runs_is_a_total_from_the_first_look_on(draft: Draft) -> None:
    shop = draft.shop()
    question = WhatIfHelps(
        scenario="tiny.yaml", shop=shop, changed=all_changed(shop, [[one] for one in draft.what_ifs()]),
        plan=Plan("count", 6),
    )  # fmt: skip
    told: list[Progress] = []
    question.study_showing(Runner(on_progress=told.append), lambda _: None)
    # The shop as it stands and two changes, six runs each.
    assert {each.asked for each in told} == {18}
    assert [told[0].finished, told[-1].finished] == [1, 18]
    assert not replace(question, plan=Plan("clear")).runs_in_all()


@pytest.mark.parametrize(("plan", "told"), [
    ("20 runs each", "12 of 40 runs, about 25 s left"),
    ("Until on time is known to ±2 points", "12 runs, about 25 s left of this round"),
])  # fmt: skip
def test_progress_says_how_much_is_asked_where_that_is_known(tmp_path: Path, plan: str, told: str) -> None:
    draft = tiny(tmp_path, WHAT_IF)
    draft.put_text(draft.text().replace("study: {weeks: 1,", "study: {weeks: 1000,"))
    at = visit("what_if", draft)
    at.multiselect(key="what_if.chosen").set_value(["Quick seams"]).run()
    at.radio(key="what_if.plan").set_value(plan).run()
    at = press(at, "what_if.run")
    (job,) = state.jobs().going_on()
    state.jobs().stop(job.key)
    assert job.ended.wait(20)
    # As if it went on.
    job.stop.clear()
    job.stage, job.progress = "running", Progress(12, 40, 25.4, 12)
    elsewhere = visit("growth", draft)
    assert f"What if\\, Tiny shop: {plain(told)}" in [each.value for each in elsewhere.sidebar.caption]
    job.stage = "stopped"


def test_the_first_picture_follows_the_sentence_and_cautions_name_their_option(tmp_path: Path) -> None:
    at = visit("what_if", tiny(tmp_path, WHAT_IF.replace("changes:", "note: Mind the corners.\nchanges:"), PRINTER))
    at.multiselect(key="what_if.chosen").set_value(["Quick seams", "A second printer"]).run()
    at = answered(at, "what_if")
    (box,) = [one.value.replace("\\", "") for one in at.warning]
    assert box.startswith("**Quick seams**\n\n- Mind the corners.\n\n**A second printer**\n\n- Burns: ")
    assert box.count(STANDING_TEXT) == 1
    kinds = [each.type for each in at.main if each.type in ("plotly_chart", "alert", "markdown", "warning")]
    assert kinds.index("plotly_chart") < kinds.index("warning")
    assert state.jobs().going_on() == []
