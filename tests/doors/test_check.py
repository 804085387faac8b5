"""`shopsim check`: sound files and what follows, all faults of unsound ones, JSON."""

import json
from pathlib import Path

import pytest

from shopsim.cautions import STANDING_TEXT
from shopsim.cli import main
from shopsim.shop.review.kinds import KINDS
from shopsim.shop.shop_file import load_shop
from tests.doors.tiny import SHOP, write_shop


def test_a_sound_file(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["check", str(write_shop(tmp_path))]) == 0
    out, err = capsys.readouterr()
    assert " ".join(out.split()).startswith(
        "The file is sound; 13 things to look at, the first: shift day would fall short of a minimum rule of rest or "
        "working time. The orders ask most of the people at the sewing table: 17 % of the time there is. "
        "Every place keeps up on paper, with at least 15 % to spare in its worst week. What to look at, worst first"
    )
    assert err == ""


def test_worn_parts_are_told_with_the_age_at_which_to_renew_them(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    wear = (
        "breakdowns: {every_running_h: {weibull: {mean: 887.2638175, cv: 0.4279071708}}, renew_after_running_h: 250, "
        "renewal_h: 1, repairs: [{share_pct: 100, hours: 5}]}"
    )
    assert main(["check", str(write_shop(tmp_path, SHOP.replace("breakdowns: null", wear, 1)))]) == 0
    lines = [line.split() for line in capsys.readouterr().out.splitlines()]
    assert ["p1", "250", "h", "493", "h", "4.53", "3.46", "5.64"] in lines


def test_every_fault_is_told_with_its_place(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    broken = SHOP.replace("print_width_m: 1.0", "print_width_m: wide").replace("shift: day,", "shft: day,")
    path = write_shop(tmp_path, broken)
    assert main(["check", str(path)]) == 2
    out, err = capsys.readouterr()
    assert out == ""
    lines = err.splitlines()
    assert all(line.startswith(f"{path}:") for line in lines)
    assert f"{path}:7:5: printers.p1.print_width_m: must be a number, found 'wide'" in lines
    # Two crews have `shft` instead of `shift`: each is unknown, and each `shift` is missing.
    assert sum("shft" in line for line in lines) == 2


def test_faults_of_the_order_book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write_shop(tmp_path, orders="order_id,received,due,product,pieces\nA,2026-01-05 07:00,2026-01-04,flg,0\n")
    assert main(["check", str(path)]) == 2
    err = capsys.readouterr().err
    assert "orders.csv:2: column pieces: must be a whole number of at least 1, found '0'" in err
    assert "the scenario has no product 'flg'" in err


@pytest.mark.parametrize("name", ["missing.yaml", ""])
def test_files_that_are_not_there(tmp_path: Path, capsys: pytest.CaptureFixture[str], name: str) -> None:
    assert main(["check", str(tmp_path / name)]) == 2
    assert capsys.readouterr().err.count("\n") == 1


def test_json_alone_on_standard_output(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write_shop(tmp_path)
    assert main(["check", str(path), "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert list(found) == [
        "scenario", "scenario_hash", "version", "sentence", "review", "warnings", "speeds_m2_per_h", "rolls", "weeks",
        "loads", "cannot_keep_up", "worn_parts", "rest_times", "rest_times_judged_by", "rest_times_not_judged",
        "cautions", "standing_text",
    ]  # fmt: skip
    assert found["scenario_hash"] == load_shop(path).scenario.content_hash
    assert found["weeks"] == ["2026-01-05"]
    loads = {load["id"]: load for load in found["loads"]}
    # 130 flags of 3 min against 37.5 h.
    assert loads["sewing_table"]["asked_h"] == pytest.approx([6.5])
    assert loads["sewing_table"]["share"] == pytest.approx(6.5 / 37.5)
    assert found["speeds_m2_per_h"][0]["plate_m_per_h"] == pytest.approx(72)
    assert found["rolls"] == [{"fabric": "knit", "mass_kg": pytest.approx(67.5), "lift": True}]
    assert found["warnings"][0]["path"] == "fabrics.knit.roll_width_m"
    assert found["review"][2] == {
        "id": "dates_impossible", "grade": "may go wrong", "where": "dates of 1 order of the book",
        "says": "cannot be kept even by an empty shop",
        "found": "of 3 orders these are due before they could leave an empty shop: D; the worst, D, by 1 working day",
        "do": "ask whether the dates in the book are those promised; else other dates, approval or receipt earlier, or "
        "these orders bought in",
        "basis": "DEM-13, FIN-11",
    }  # fmt: skip
    assert found["standing_text"] == STANDING_TEXT
    assert [each["row"] for each in found["cautions"]] == ["SAF-01", "SAF-02", "SAF-03", "SAF-04", "SAF-05", "SAF-11"]


def test_json_beside_the_page(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "check.json"
    assert main(["check", str(write_shop(tmp_path)), "--json", str(target)]) == 0
    assert "Load against capacity" in capsys.readouterr().out
    assert json.loads(target.read_text(encoding="utf-8"))["cannot_keep_up"] == []


def test_json_that_cannot_be_written(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    target = tmp_path / "no such folder" / "check.json"
    assert main(["check", str(write_shop(tmp_path)), "--json", str(target)]) == 2
    assert capsys.readouterr().err == f"{target}: cannot be written: No such file or directory\n"


def test_an_overloaded_shop_is_told_in_the_second_line(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    path = write_shop(tmp_path, SHOP.replace("minutes: 3}", "minutes: 20}"))
    assert main(["check", str(path)]) == 0
    out = " ".join(capsys.readouterr().out.split())
    # 130 flags of 20 min are 43.3 h, of 37.5 h there are.
    assert out.startswith("The file is sound; 14 things to look at, the first: the sewing table can never keep up.")
    assert "The orders ask most of the people at the sewing table: 116 % of the time there is." in out
    assert "1. sewing_table can never keep up [never_keeps_up] Found: 43.3 h a week asked, 37.5 h there: 5.8" in out
    assert "TOO MUCH" in out


def test_values_out_of_range_are_told_once_with_their_line_and_row(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["check", str(write_shop(tmp_path))]) == 0
    out = " ".join(capsys.readouterr().out.split())
    # The tiny shop is 1 m wide on purpose.
    assert out.count("fabrics.knit.roll_width_m (line 3) should be looked at: outside the usual range") == 1
    assert "Found: 1 is outside the usual 1.5 to 5. To do: measure it in your shop" in out
    assert "a value that is yours may stay. (MAT-01..08)" in out


def test_help_names_every_kind_of_finding(capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit):
        main(["check", "--help"])
    lines = [line.split(maxsplit=1) for line in capsys.readouterr().out.splitlines()]
    assert [line for line in lines if line and line[0] in {kind.id for kind in KINDS}] == [
        [kind.id, kind.meaning] for kind in KINDS
    ]


def test_schemas_for_an_editor(tmp_path: Path) -> None:
    files = [tmp_path / "scenario.json", tmp_path / "what_if.json"]
    asked = ["--schema", str(files[0]), "--what-if-schema", str(files[1])]
    assert main(["check", str(write_shop(tmp_path)), *asked]) == 0
    scenario, what_if = (json.loads(file.read_text(encoding="utf-8")) for file in files)
    assert (scenario["title"], what_if["title"]) == ("Scenario", "WhatIfFile")
