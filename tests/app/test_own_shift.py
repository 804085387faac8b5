"""Hours painted for some of the crews of a shift: kept, read again, and run by the command line to the same numbers."""

import io
import json
import zipfile
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from app import state
from app.drafts import Draft
from shopsim.cli import main
from shopsim.shop.demos import DEMOS, files_of
from tests.app.test_shifts_page import draft_and_page, paint, run
from tests.app.visit import answered, said, visit
from tests.doors.tiny import SHOP


def for_the_packer(folder: Path) -> tuple[Draft, AppTest]:
    """A later day painted for the packer alone, whose shift the operator shares."""
    draft, at = draft_and_page(folder)
    at.multiselect(key="paint.crews.0").set_value(["packer"])
    return draft, paint(at, [0, 1, 2, 3, 4], 7, 17)


def test_who_gets_the_hours_is_told_and_judged(tmp_path: Path) -> None:
    _, at = for_the_packer(tmp_path)
    assert at.multiselect(key="paint.crews.0").options == ["operator", "packer"]
    told = said(at)
    assert (
        "A shift of their own for packer, like this one with the hours painted. It stays as it is for operator." in told
    )
    # Ten hours without a break: of the packer, not of the operator beside.
    assert "| day: packer (1 person) | " in told and " | break: 10 h without a break" in told
    assert "operator (1 person)" not in told
    at.multiselect(key="paint.crews.0").set_value(["operator", "packer"])
    assert "Worked by: operator, packer" in said(run(at))


def test_hours_for_one_crew_go_into_the_shop_as_a_shift_of_its_own(tmp_path: Path) -> None:
    draft, at = for_the_packer(tmp_path)
    at.button(key="paint.take").click()
    run(at)
    day, _, own = draft.shop().scenario.shifts
    assert (own.id, own.name) == ("day_packer", "day: packer")
    assert {crew.id: crew.shift for crew in draft.shop().scenario.crews} == {
        "operator": "day", "sewer": "day_with_break", "packer": "day_packer",
    }  # fmt: skip
    assert [(span.start_min, span.end_min) for span in own.rotation()[0]] == [(420, 1020)] * 5
    assert [(span.start_min, span.end_min) for span in day.rotation()[0]] == [(420, 900)] * 5
    # The page goes on with the new shift; the old one shows its own hours.
    assert at.selectbox(key="paint.shift").value == 2
    assert "Worked by: packer" in said(at)
    at.selectbox(key="paint.shift").set_value(0)
    assert "Mon, Tue, Wed, Thu, Fri: 07:00–15:00; Sat, Sun: off." in said(run(at))
    at.button(key="shifts.undo").click()
    run(at)
    assert draft.text() == SHOP


def test_a_pattern_for_one_crew_runs_alike_on_the_command_line(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    draft, at = for_the_packer(tmp_path)
    at.text_input(key="paint.name").set_value("The packer later")
    run(at)
    at.button(key="paint.keep").click()
    run(at)
    assert draft.text() == SHOP
    # Read again from its file, in another visit.
    (kept,) = draft.what_ifs()
    assert [(each.action, each.path) for each in kept.changes] == [
        ("copy", "shifts.day"), ("set", "crews.packer.shift")
    ]  # fmt: skip
    at = visit("shifts", draft)
    assert at.multiselect(key="shifts.chosen").value == ["The packer later"]
    answered(at, "shifts")
    with zipfile.ZipFile(io.BytesIO(draft.zipped())) as files:
        files.extractall(tmp_path / "saved")
    monkeypatch.chdir(tmp_path / "saved")
    (what_if,) = Path("what_ifs").glob("*.yaml")
    main(["shifts", "tiny.yaml", str(what_if), "--replications", "20", "--workers", "1", "--json", "-"])
    by_hand = json.loads(capsys.readouterr().out)
    (path,) = (state.state_folder() / "answers").glob("*.json")
    assert json.loads(path.read_text(encoding="utf-8"))["document"] == by_hand
    # Two hours more on five days for one packer at 20 CU an hour.
    names = ("as it stands", "The packer later")
    before, after = (by_hand["options"][name]["measures"]["cost_per_week"]["mean"] for name in names)
    assert after - before == pytest.approx(200)


def test_the_sewing_room_of_the_demo_works_four_days_of_ten_hours(tmp_path: Path) -> None:
    draft = state.drafts().new(files_of(DEMOS[1]))
    at = visit("shifts", draft)
    shifts = draft.shop().scenario.shifts
    day = next(place for place, shift in enumerate(shifts) if shift.id == "day")
    at.selectbox(key="paint.shift").set_value(day)
    run(at)
    at.multiselect(key=f"paint.crews.{day}").set_value(["sewers"])
    run(at)
    paint(at, [4], 0, 0, "off")
    paint(at, [0, 1, 2, 3], 7, 17)
    at.text_input(key="paint.name").set_value("Sewers on four days")
    run(at)
    at.button(key="paint.keep").click()
    run(at)
    made = next(each for each in draft.what_ifs() if each.name == "Sewers on four days")
    assert [(each.action, each.path) for each in made.changes] == [
        ("copy", "shifts.day"),
        ("set", "crews.sewers.shift"),
    ]
