"""The pages of questions on a shop that can be followed by hand: asked, answered, changed, saved."""

from __future__ import annotations

import io
import json
import time
import zipfile
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from app import state
from shopsim.cli import main
from shopsim.studies.runner import Progress
from tests.app.visit import WHAT_IF, answered, said, sentence, tiny, visit

Output = pytest.CaptureFixture[str]


def test_as_we_are_says_what_the_command_line_says(
    tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
) -> None:
    draft = tiny(tmp_path)
    at = answered(visit("as_we_are", draft), "as_we_are")
    assert sentence(at).startswith("On time 67 % of orders in every run, half of them out within ")
    assert "Orders and dates" in said(at)
    # B was received at 07:50 for 15:00.
    assert "Half were promised within 0.3 days; within these, " in said(at)
    with zipfile.ZipFile(io.BytesIO(draft.zipped())) as files:
        files.extractall(tmp_path / "saved")
    monkeypatch.chdir(tmp_path / "saved")
    assert main(["run", "tiny.yaml", "--workers", "1", "--json", "-"]) == 0
    (path,) = (state.state_folder() / "answers").glob("*.json")
    assert json.loads(path.read_text(encoding="utf-8"))["document"] == json.loads(capsys.readouterr().out)


def test_an_answer_comes_back_at_once_in_another_visit(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    first = sentence(answered(visit("as_we_are", draft), "as_we_are"))
    state.jobs.clear()
    assert sentence(visit("as_we_are", draft)) == first


def test_an_answer_to_other_inputs_is_marked(tmp_path: Path) -> None:
    at = answered(visit("as_we_are", tiny(tmp_path)), "as_we_are")
    before = sentence(at)
    at.number_input[0].set_value(5).run()
    assert "Inputs have moved on: this is the answer to what was asked before" in said(at)
    assert sentence(at) == before
    at = answered(at, "as_we_are")
    assert "Inputs have moved on" not in said(at)


def test_an_answer_of_another_program_is_marked_as_that(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    draft = tiny(tmp_path)
    before = sentence(answered(visit("as_we_are", draft), "as_we_are"))
    monkeypatch.setattr("shopsim.answers.question.program_version", lambda: "another")
    at = visit("as_we_are", draft)
    assert "shopsim itself has changed since this answer: run again to see what it says now" in said(at)
    assert "Inputs have moved on" not in said(at)
    assert sentence(at) == before


def test_what_was_entered_is_there_in_another_visit(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    visit("as_we_are", draft).number_input[0].set_value(7).run()
    assert visit("as_we_are", draft).number_input[0].value == 7


def test_a_fault_in_the_shop_is_told_on_every_page(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    draft.put_text(draft.text().replace("price_per_m2: 20", "price_per_m2: -20"))
    for page in ("as_we_are", "what_if", "second_printer", "sewing_crew", "growth"):
        at = visit(page, draft)
        where = "Shop > Products > Prices > flag > Price by area".replace(">", "\u203a")
        assert f"**{where}**: must be at least 0, found −20 :small[tiny.yaml, line 34]" in said(at)
        (link,) = [each for each in at.main if each.type == "page_link"]
        assert link.proto.label == "Mend it on the page Shop"


def test_a_ready_what_if_is_compared(tmp_path: Path) -> None:
    at = visit("what_if", tiny(tmp_path, WHAT_IF))
    at.multiselect[0].set_value(["Quick seams"]).run()
    at = answered(at, "what_if")
    assert sentence(at).startswith("“Quick seams” lifts on-time delivery from 66.7 % to 100.0 % (+33.3 points).")
    assert "product flag: step work, 0.5 min instead of 3 min" in said(at)


def test_a_what_if_is_composed_kept_and_compared(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit("what_if", draft)
    at.selectbox(key="pick.part.set").select_index(_index(at, "pick.part.set", "Product flag")).run()
    at.selectbox(key="pick.field.products.flag").select_index(
        _index(at, "pick.field.products.flag", "Route work, minutes")
    ).run()
    at.text_area(key="pick.value.products.flag.route[1].minutes").set_value("0.5").run()
    at.button(key="what_if.add").click().run()
    assert "1. product flag: step work, 0.5 min instead of 3 min" in said(at)
    at.text_input(key="what_if.name").set_value("Faster").run()
    at.button(key="what_if.keep").click().run()
    assert not at.exception
    assert (draft.folder / "what_ifs" / "faster.yaml").read_text(encoding="utf-8") == (
        'name: Faster\nbase: "../tiny.yaml"\nchanges:\n  - {set: "products.flag.route[1].minutes", to: 0.5}\n'
    )
    assert at.multiselect[0].value == ["Faster"]
    assert sentence(answered(at, "what_if")).startswith("“Faster” lifts on-time delivery from 66.7 % to 100.0 %")


def _index(at, key: str, option: str) -> int:
    return at.selectbox(key=key).options.index(option)


def test_a_change_that_does_not_fit_is_told_and_not_kept(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit("what_if", draft)
    at.selectbox(key="pick.verb").set_value("remove").run()
    at.selectbox(key="pick.part.remove").select_index(_index(at, "pick.part.remove", "Place sewing table")).run()
    at.button(key="what_if.add").click().run()
    at.text_input(key="what_if.name").set_value("No table").run()
    at.button(key="what_if.keep").click().run()
    assert "No table: " in said(at)
    assert "sewing_table" in said(at)
    assert draft.what_ifs() == []


def test_another_printer_is_described_and_judged(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit("second_printer", draft)
    assert at.selectbox[0].value == "One described here"
    assert form_is_open(at)
    at.number_input(key="second_printer.price like p1.One described here").set_value(50_000.0).run()
    at.number_input(key="second_printer.won with One described here.One described here").set_value(10.0).run()
    at.number_input(key="second_printer.won_weeks with One described here.One described here").set_value(26.0).run()
    assert "SAF-" in said(at)
    assert "Planning aid only." in said(at)
    at = answered(at, "second_printer")
    assert sentence(at).startswith("“Another printer” does not pay: it is worth ")
    assert not form_is_open(at)
    assert "(10 % more), all of them after 26 weeks" in sentence(at)
    # The answer brings its own cautions; what is described anew brings others, which stand by the form.
    assert headings(at) == ["Another printer"]
    at.text_input(key="second_printer.name like p1").set_value("Wide one").run()
    assert "Inputs have moved on" in said(at)
    assert headings(at) == ["Wide one", "Another printer"]
    at.text_input(key="second_printer.name like p1").set_value("Another printer").run()
    assert headings(at) == ["Another printer"]
    at.button(key="second_printer.save").click().run()
    (kept,) = draft.what_ifs()
    assert kept.spends is not None
    assert (kept.name, kept.spends.once, kept.spends.resale) == ("Another printer", 60_000, 10_000)
    assert (kept.spends.orders_won_pct, kept.spends.orders_won_weeks) == (10, 26)
    assert (kept.changes[0].action, kept.changes[0].path) == ("copy", "printers.p1")


def form_is_open(at: AppTest) -> bool:
    """Whether what to ask stands unfolded above the answer."""
    (form,) = [each for each in at.expander if each.label == "What to ask"]
    return bool(form.proto.expanded)


@pytest.mark.parametrize(("spends", "told"), [
    ("spends: {once: 52000, life_years: 8, resale: 9000, training_h: 16, ramp_up_weeks: 2, ramp_up_speed_pct: 80}\n",
     ("Worked out with: 52,000 CU at the start, in use for 8 years, 9,000 CU at resale, 16 hours of training, "
     "2 weeks at 80 % of its gain until in full use.")),
    ("", ("Worked out with: 40,000 CU at the start, in use for 7 years, 8,000 CU at resale, no training; by the shop's "
     "file, for the what-if says nothing of its cost.")),
])  # fmt: skip
def test_what_a_ready_printer_costs_is_told_before_the_run(tmp_path: Path, spends: str, told: str) -> None:
    changes = "changes:\n  - {copy: printers.p1, as: p2, with: {money.price: 40000}}\n"
    draft = tiny(tmp_path, f"name: Like the first\nbase: ../tiny.yaml\n{changes}{spends}")
    at = visit("second_printer", draft)
    assert told in said(at)
    at.selectbox(key="second_printer.machine").set_value("One described here").run()
    assert "Worked out with" not in said(at)


def test_a_printer_is_chosen_by_its_name(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    draft.put_text(draft.text().replace("- id: p1\n", "- id: p1\n    name: Printer by the door\n", 1))
    at = visit("second_printer", draft)
    assert at.selectbox(key="second_printer.like").options == ["Printer by the door"]
    assert "Burns: heat plate of “Printer by the door” and “Another printer”, up to " in said(at)


def test_fields_that_do_not_count_are_shut(tmp_path: Path) -> None:
    at = visit("second_printer", tiny(tmp_path))
    spared = at.number_input(key="second_printer.won_weeks with One described here.One described here")
    known = at.number_input(key="second_printer.ramp_speed.One described here")
    assert (spared.disabled, known.disabled, known.label) == (True, False, "Gain in those weeks, % of full use")
    at.number_input(key="second_printer.ramp_weeks.One described here").set_value(0.0).run()
    assert at.number_input(key="second_printer.ramp_speed.One described here").disabled


def headings(at: AppTest) -> list[str]:
    """What the boxes of cautions are about, down the page."""
    return [each.value.split("**")[1] for each in at.warning if each.value.startswith("**")]


def test_what_is_typed_stays_however_often(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit("as_we_are", draft)
    for count in (11, 12, 13):
        at.number_input[0].set_value(count).run()
        assert (at.number_input[0].value, draft.forms()["as_we_are"]["count"]) == (count, count)


def test_more_runs_than_a_page_offers_are_cut_to_what_it_offers(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    draft.put_text(draft.text().replace("replications: 3", "replications: 500"))
    assert draft.shop().scenario.study.replications == 500
    for page in ("as_we_are", "growth"):
        at = visit(page, draft)
        assert at.number_input(key="growth.count").value == 400 if page == "growth" else at.number_input[0].value == 400


def test_cautions_of_the_open_shop_are_shown(tmp_path: Path) -> None:
    at = answered(visit("as_we_are", tiny(tmp_path)), "as_we_are")
    assert "Burns: heat plate of p1" in said(at)


def test_hot_machines_with_nobody_there_are_not_folded_away(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    draft.put_text(draft.text().replace("- id: p1\n", "- id: p1\n    hot_overnight: true\n", 1))
    at = visit("as_we_are", draft)
    box = at.warning[0].value.replace("\\", "")
    assert "p1 stays hot when nobody is there" in box
    assert "- In this shop: burns; fumes and vapour; " in box
    assert "Planning aid only." in box
    assert [each.label for each in at.expander if "careful" in each.label] == ["What to be careful about in this shop"]


def test_a_crew_without_seats_and_one_with_full_hands_are_cautioned(tmp_path: Path) -> None:
    at = visit("sewing_crew", tiny(tmp_path))
    at.slider[0].set_value((1, 3)).run()
    assert "**Sewer: 1**\n\n- " in said(at) and "\n\n**Sewer: 3**\n\n- " in said(at)
    assert "1 sewing seat, 2 more so that everybody has one. Measure it before adding machines" in said(at)
    at.slider[0].set_value((1, 1)).run()
    assert "**Sewer: 1**" in said(at) and "**Sewer: 3**" not in said(at)
    assert "sewing table: allowance for rest 0 %, below 12 %" in said(at)


def test_growth_cautions_the_shop_itself_at_more_demand(tmp_path: Path) -> None:
    at = visit("growth", tiny(tmp_path))
    # Of three orders 15 % are none.
    assert headings(at) == []
    at.slider(key="growth.demand").set_value((85, 200)).run()
    assert headings(at) == ["as it stands"]
    assert "At 200 % of today's demand: " in said(at)
    assert "is the exhaust sized for this load?" in said(at).lower()
    at.slider(key="growth.demand").set_value((80, 100)).run()
    assert headings(at) == []


def test_the_smallest_crew_is_found_and_kept(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    at = visit("sewing_crew", draft)
    assert at.multiselect[0].value == ["sewer"]
    assert at.slider[0].value == (1, 4)
    at.slider[0].set_value((1, 2)).run()
    at.number_input[0].set_value(60.0).run()
    at = answered(at, "sewing_crew")
    assert sentence(at).startswith(
        "1 person in crew “Sewer” is the cheapest crew that sends 60 % of orders out on time, give or take 3 points "
        "(67 %)"
    )
    at.button(key="sewing_crew.save").click().run()
    assert [(one.name, one.changes[0].path, one.changes[0].value) for one in draft.what_ifs()] == [
        ("Sewer: 1", "crews.sewer.count", 1)
    ]


def test_growth_finds_where_the_shop_breaks(tmp_path: Path) -> None:
    at = visit("growth", tiny(tmp_path))
    at.number_input[0].set_value(2).run()
    at = answered(at, "growth")
    assert sentence(at) == (
        "The shop as it stands misses 90 % on time today; it would take 15 % fewer orders, 19 m² a week; it is held "
        "back most by the sewing table."
    )


def test_a_stopped_run_says_so_and_can_be_gone_on_from(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    draft.put_text(draft.text().replace("study: {weeks: 1,", "study: {weeks: 1000,"))
    at = visit("as_we_are", draft)
    at.button(key="as_we_are.run").click().run()
    (job,) = state.jobs().going_on()
    while job.stage != "running":
        time.sleep(0.02)
    time.sleep(0.5)
    state.jobs().stop(job.key)
    assert job.ended.wait(20)
    at.run()
    assert job.stage == "stopped"
    assert "Stopped. What was finished is kept: running again goes on from there." in said(at)
    assert at.button(key="as_we_are.run").label == "Run"


@pytest.mark.parametrize(("kept", "told"), [
    (0, "Stopped. What was finished could not be kept: running again begins anew."),
    (2, "Stopped. 2 of 3 finished replications are kept: running again goes on from these."),
    (3, "Stopped. What was finished is kept: running again goes on from there."),
])  # fmt: skip
def test_a_stopped_run_says_what_is_kept(tmp_path: Path, kept: int, told: str) -> None:
    draft = tiny(tmp_path)
    draft.put_text(draft.text().replace("study: {weeks: 1,", "study: {weeks: 1000,"))
    at = visit("as_we_are", draft)
    at.button(key="as_we_are.run").click().run()
    (job,) = state.jobs().going_on()
    state.jobs().stop(job.key)
    assert job.ended.wait(20)
    job.progress = Progress(3, 10, None, kept)
    at.run()
    assert told in said(at)


def test_a_run_of_another_shop_is_named_reached_and_stopped(tmp_path: Path) -> None:
    slow, other = tiny(tmp_path), tiny(tmp_path)
    slow.put_text(slow.text().replace("study: {weeks: 1,", "study: {weeks: 1000,").replace("Tiny", "Slow"))
    at = visit("as_we_are", slow)
    at.button(key="as_we_are.run").click().run()
    (job,) = state.jobs().going_on()
    # The page that asked has its own stop.
    assert [each.label for each in at.sidebar.button] == []
    elsewhere = visit("growth", other)
    (line,) = [each.value for each in elsewhere.sidebar.caption if each.value.startswith("As we are")]
    assert line.startswith("As we are\\, Slow shop: ")
    at = visit("growth", other)
    at.button(key="growth.run").click().run()
    assert "waiting for “As we are, Slow shop” to end" in said(at)
    at.sidebar.button(key=f"side.go.{job.key[:12]}").click().run()
    assert (at.title[0].value, at.query_params["shop"]) == ("As we are", slow.id)
    elsewhere.sidebar.button(key=f"side.stop.{job.key[:12]}").click().run()
    assert job.stopped
    for each in state.jobs().going_on():
        state.jobs().stop(each.key)


def test_cards_are_told_by_measure_not_by_the_words_of_a_table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("shopsim.terminal.run_page._ORDERS", (("orders_per_week", "Sent out", "a week", 1.0),))
    at = answered(visit("as_we_are", tiny(tmp_path)), "as_we_are")
    # A and B leave with the van of Monday at 15:00, D with that of Tuesday: after 8, 7.2 and 29 hours.
    assert [(card.label, card.value) for card in at.metric] == [
        ("On time", "67 %"), ("Half out within", "0.33 days"), ("Nine in ten within", "1.03 days"),
        ("Orders out a week", "3"),
    ]  # fmt: skip
