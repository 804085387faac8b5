"""The page of the shifts: hours painted, findings at once, into the file or beside it as a pattern to compare."""

import datetime
from pathlib import Path

from streamlit.testing.v1 import AppTest

from app.drafts import Draft
from shopsim.sentences.shifts import STANDING
from shopsim.shop.scenario_file import parse_scenario
from tests.app.visit import WHAT_IF, answered, said, sentence, tiny, visit
from tests.doors.tiny import SHOP


def run(at: AppTest) -> AppTest:
    at.run()
    assert not at.exception, at.exception[0].value
    return at


def paint(at: AppTest, days: list[int], start: int, end: int, what: str = "work") -> AppTest:
    for day in range(7):
        at.session_state[f"paint.day.{day}"] = day in days
    at.session_state["paint.what"] = what
    at.session_state["paint.from"] = datetime.time(start)
    at.session_state["paint.to"] = datetime.time(end)
    run(at)
    at.button(key="paint.go").click()
    return run(at)


def draft_and_page(folder: Path) -> tuple[Draft, AppTest]:
    draft = tiny(folder)
    return draft, visit("shifts", draft)


def test_painted_hours_go_into_the_file_only_when_told(tmp_path: Path) -> None:
    draft, at = draft_and_page(tmp_path)
    told = said(at)
    assert "Worked by: operator, packer" in told
    assert "Mon, Tue, Wed, Thu, Fri: 07:00–15:00; Sat, Sun: off." in told
    assert "A person works 40 h a week in 5 shifts, longest 8 h." in told
    # Eight hours without a break: Art. 4 of the Directive.
    assert (
        "| day: operator (1 person), packer (1 person) | break: 8 h without a break, one is due above 6 h (LAW-02) | "
        "rule | Mon 05, Tue 06, Wed 07, Thu 08, Fri 09 Jan | none | a break |"
    ) in told
    paint(at, [0, 1, 2, 3, 4], 12, 13, "break")
    # Nothing found is no clearance: no green, and who decides stands beside it.
    assert len(at.success) == 0
    (told,) = [each.value for each in at.info if each.value.startswith("No rest-time finding")]
    assert told.startswith("No rest-time finding over the whole rotation, judged by Directive 2003")
    assert told.endswith(STANDING)
    assert draft.text() == SHOP
    paint(at, [5], 8, 12)
    assert "Sat: 08:00–12:00" in said(at)
    assert "A person works 39 h a week in 6 shifts, longest 8 h, 4 h at weekends." in said(at)
    at.button(key="paint.take").click()
    run(at)
    by_hand = (
        '[{blocks: [{days: [mon, tue, wed, thu, fri], hours: "07:00-15:00", breaks: ["12:00-13:00"]}, '
        '{days: [sat], hours: "08:00-12:00"}]}]'
    )
    shift = SHOP.replace('[{blocks: [{days: [mon, tue, wed, thu, fri], hours: "07:00-15:00"}]}]', by_hand, 1)
    assert draft.shop().scenario == parse_scenario(shift, "by hand")


def test_a_shift_is_painted_from_its_own_hours_and_keeps_its_breaks(tmp_path: Path) -> None:
    _, at = draft_and_page(tmp_path)
    begin, end = at.time_input(key="paint.from"), at.time_input(key="paint.to")
    assert (begin.value, end.value) == (datetime.time(7), datetime.time(15))
    paint(at, [0, 1, 2, 3, 4], 12, 13, "break")
    paint(at, [0, 1, 2, 3, 4], 7, 16)
    assert "Mon, Tue, Wed, Thu, Fri: 07:00–16:00 with 60 min of breaks; Sat, Sun: off." in said(at)
    at.checkbox(key="paint.keep_breaks").set_value(False)
    paint(at, [0, 1, 2, 3, 4], 7, 16)
    assert "Mon, Tue, Wed, Thu, Fri: 07:00–16:00; Sat, Sun: off." in said(at)


def test_only_changes_of_hours_and_people_are_patterns(tmp_path: Path) -> None:
    sewers = "name: Two sewers\nbase: ../tiny.yaml\nchanges:\n  - {set: crews.sewer.count, to: 2}\n"
    hems = "name: A packer who sews\nbase: ../tiny.yaml\nchanges:\n  - {set: crews.packer.skills.sewing, to: 2}\n"
    at = visit("shifts", tiny(tmp_path, WHAT_IF, sewers, hems))
    assert at.multiselect(key="shifts.chosen").options == ["Two sewers"]
    at.toggle(key="shifts.others").set_value(True)
    assert run(at).multiselect(key="shifts.chosen").options == ["Quick seams", "Two sewers", "A packer who sews"]


def test_nights_and_short_rests_are_told_at_once(tmp_path: Path) -> None:
    _, at = draft_and_page(tmp_path)
    paint(at, [0], 22, 6)
    told = said(at)
    assert "Night work: 7 h a week between 23:00 and 06:00." in told
    # Off at 15:00 on Monday, on at 22:00; off at six on Tuesday, on again at seven.
    assert "| daily rest (LAW-01) | rule | Tue 06 Jan | 1 h | 11 h |" in told
    paint(at, [0, 1, 2, 3, 4, 5, 6], 0, 0)
    assert "work goes on without end; leave a gap, or say where a new shift begins" in said(at)
    at.button(key="paint.back").click()
    run(at)
    assert "Mon, Tue, Wed, Thu, Fri: 07:00–15:00; Sat, Sun: off." in said(at)


def test_a_painted_pattern_is_kept_and_compared(tmp_path: Path) -> None:
    draft, at = draft_and_page(tmp_path)
    paint(at, [0, 1, 2, 3, 4], 7, 19)
    at.text_input(key="paint.name").set_value("Twelve hours")
    run(at)
    at.button(key="paint.keep").click()
    run(at)
    assert draft.text() == SHOP
    (kept,) = draft.what_ifs()
    assert [(each.action, each.path) for each in kept.changes] == [("set", "shifts.day.weeks[0]")]
    assert at.multiselect(key="shifts.chosen").value == ["Twelve hours"]
    answered(at, "shifts")
    assert sentence(at) == "No pattern can be recommended: each breaks a rest-time rule."
    assert "| as it stands | Twelve hours |" in said(at)


def test_weeks_of_a_rotation_are_added(tmp_path: Path) -> None:
    draft, at = draft_and_page(tmp_path)
    at.button(key="paint.more").click()
    run(at)
    at.session_state["paint.week"] = 1
    run(at)
    paint(at, [0, 1, 2, 3, 4], 0, 0, "off")
    paint(at, [0, 1, 2, 3, 4], 14, 22)
    at.button(key="paint.take").click()
    run(at)
    rotation = draft.shop().scenario.shifts[0].rotation()
    assert [(span.start_min, span.end_min) for week in rotation for span in week] == [
        *((420.0, 900.0),) * 5, *((840.0, 1320.0),) * 5,
    ]  # fmt: skip
