"""`shopsim compare`, `crew`, `shifts`, `warm-up`, `kept` on a shop that can be followed by hand."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from shopsim.cli import main
from shopsim.shop.shop_file import load_shop
from shopsim.studies.option import Option
from shopsim.studies.store import Store
from tests.doors.tiny import SHOP, write_shop

Output = pytest.CaptureFixture[str]
FAST = """\
name: Quick seams
base: tiny.yaml
changes:
  - {set: "products.flag.route[1].minutes", to: 0.5}
"""
# With half a minute of sewing a flag, order D is sewn 11:43-12:00 and 12:30-13:03, packed until 14:43 and leaves with
# the others on Monday.


def write_what_if(folder: Path, text: str = FAST, name: str = "quick.yaml") -> str:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return str(path)


def words(text: str) -> str:
    return " ".join(text.split())


def test_the_sentence_what_differs_and_the_table(tmp_path: Path, capsys: Output) -> None:
    shop, what_if = str(write_shop(tmp_path)), write_what_if(tmp_path)
    assert main(["compare", shop, what_if, "--replications", "2", "--workers", "1"]) == 0
    out, err = capsys.readouterr()
    assert words(out).startswith("“Quick seams” lifts on-time delivery from 66.7 % to 100.0 % (+33.3 points).")
    assert "Quick seams: product flag: step work, 0.5 min instead of 3 min" in words(out)
    assert "On time, of orders due 67 100 +33" in words(out)
    assert err.startswith("4 replications in ")


def test_json_holds_options_and_differences(tmp_path: Path, capsys: Output) -> None:
    shop, what_if = str(write_shop(tmp_path)), write_what_if(tmp_path)
    assert main(["compare", shop, what_if, "--replications", "2", "--workers", "1", "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["scenario"], found["seed"], found["replications"], found["confidence"]) == (shop, 1, 2, 0.95)
    assert (found["settled"], found["decided_by"]) == (True, "on_time_share")
    assert list(found["options"]) == ["as it stands", "Quick seams"]
    quick = found["options"]["Quick seams"]
    assert quick["measures"]["on_time_share"] == {"mean": 1.0, "low": 1.0, "high": 1.0, "unit": "1"}
    assert quick["differs"] == ["product flag: step work, 0.5 min instead of 3 min"]
    step = found["differences"]["Quick seams"]["on_time_share"]
    assert step["mean"] == step["low"] == step["high"] == pytest.approx(1 / 3)
    assert step["variance_reduction"] is None
    assert found["deciding"]["Quick seams"]["confidence"] == 0.95


def test_kept_replications_are_used_again_and_can_be_thrown_away(tmp_path: Path, capsys: Output) -> None:
    shop, what_if = str(write_shop(tmp_path)), write_what_if(tmp_path)
    store = str(tmp_path / "kept.sqlite")
    for _ in range(2):
        assert main(["compare", shop, what_if, "--replications", "2", "--workers", "1", "--store", store]) == 0
    assert main(["kept", "--store", store, "--json", "-"]) == 0
    out = capsys.readouterr().out
    kept = json.loads(out[out.rindex('{\n  "file"') :])
    assert [each["replications"] for each in kept["kept"]] == [2, 2]
    assert main(["kept", "--store", store, "--prune-days", "0"]) == 0
    # The page may break the path where a line ends.
    text = "".join(capsys.readouterr().out.split())
    assert text == f"0replicationsof0shopsarekeptin{store}.4werethrownaway."


def test_kept_points_of_one_study_stand_in_one_line(tmp_path: Path, capsys: Output) -> None:
    shop = write_shop(tmp_path)
    loaded, path = load_shop(shop), tmp_path / "kept.sqlite"
    with Store(path) as store:
        for key, name, runs in (("a1", "base", 2), ("b2", "at a point", 3), ("c3", "at a point", 4)):
            option = Option(name, loaded.scenario, loaded.order_lines)
            rows = [replace(option.replication(0), number=number) for number in range(runs)]
            store.keep(key, 7, rows, f"tiny: {name}")
    assert main(["kept", "--store", str(path)]) == 0
    lines = [line.split() for line in capsys.readouterr().out.splitlines() if line.strip().startswith("tiny:")]
    assert [line[:-2] for line in lines] == [
        ["tiny:", "at", "a", "point", "2", "shops", "this", "7", "7"], ["tiny:", "base", "a1", "this", "7", "2"],
    ]  # fmt: skip


def test_two_what_ifs_in_one_option(tmp_path: Path, capsys: Output) -> None:
    shop = str(write_shop(tmp_path))
    packers = "name: Two packers\nbase: tiny.yaml\nchanges:\n  - {set: crews.packer.count, to: 2}\n"
    both = f"{write_what_if(tmp_path)}+{write_what_if(tmp_path, packers, 'packers.yaml')}"
    assert main(["compare", shop, both, "--replications", "2", "--workers", "1", "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["options"]["Quick seams + Two packers"]["differs"] == [
        "crew packer: 2 people instead of 1",
        "product flag: step work, 0.5 min instead of 3 min",
    ]


@pytest.mark.parametrize(("more", "message"), [
    (["--measure", "beauty"], "--measure: there is no measure 'beauty'; see `run --json`"),
    (["--measure", "on_tim"],
     "--measure: there is no measure 'on_tim'; did you mean 'on_time_share'? see `run --json`"),
    (["--tls", "a", "b", "c"], "--tls: goes with --cluster"),
])  # fmt: skip
def test_questions_that_cannot_be_asked(tmp_path: Path, capsys: Output, more: list[str], message: str) -> None:
    shop, what_if = str(write_shop(tmp_path)), write_what_if(tmp_path)
    assert main(["compare", shop, what_if, *more]) == 2
    assert capsys.readouterr().err.splitlines()[0] == message


def test_a_second_option_of_the_same_name(tmp_path: Path, capsys: Output) -> None:
    shop, what_if = str(write_shop(tmp_path)), write_what_if(tmp_path)
    assert main(["compare", shop, what_if, what_if]) == 2
    assert capsys.readouterr().err == f"{what_if}: a second option named 'Quick seams'\n"


def test_a_store_that_cannot_be_used(tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch) -> None:
    shop, what_if = str(write_shop(tmp_path)), write_what_if(tmp_path)
    assert main(["compare", shop, what_if, "--replications", "2", "--store", str(tmp_path)]) == 2
    assert capsys.readouterr().err.startswith(f"--store: {tmp_path}: cannot keep replications here: ")
    # The user's own folder is no reason to give up.
    blocked = tmp_path / "a file"
    blocked.write_text("", encoding="utf-8")
    monkeypatch.setenv("XDG_STATE_HOME", str(blocked))
    assert main(["compare", shop, what_if, "--replications", "2", "--workers", "1"]) == 0
    assert "cannot keep replications here" in capsys.readouterr().err


def test_what_stays_open_leaves_with_3(tmp_path: Path, capsys: Output) -> None:
    forecast = "  forecast: {orders_per_week: 80, mix: [{product: flag, share_pct: 100, pieces: 20}]}"
    shop = str(write_shop(tmp_path, SHOP.replace("  order_book: {file: orders.csv}", forecast)))
    slower = FAST.replace("to: 0.5", "to: 2.8")
    arguments = ["compare", shop, write_what_if(tmp_path, slower), "--until-clear", "--workers", "1"]
    assert main([*arguments, "--measure", "lead_time_p50_h", "--at-most", "4"]) == 3
    # Nothing is planned from four runs.
    assert "settle" not in words(capsys.readouterr().out)


def test_measures_that_are_no_shares_are_known_to_5_percent_of_the_base(tmp_path: Path, capsys: Output) -> None:
    shop, what_if = str(write_shop(tmp_path)), write_what_if(tmp_path)
    arguments = ["compare", shop, what_if, "--measure", "cost_per_week", "--at-most", "2", "--workers", "1"]
    assert main([*arguments, "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["decided_by"], found["replications"]) == ("cost_per_week", 2)
    assert found["options"]["Quick seams"]["replications"] == 2


def test_the_smallest_crew(tmp_path: Path, capsys: Output) -> None:
    shop = str(write_shop(tmp_path))
    assert main(["crew", shop, "--crew", "sewer=1..2", "--target", "60", "--workers", "1", "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["enough"] == {"all weeks": {"sewer": 1}}
    assert found["sentence"].startswith(
        "1 person in crew “Sewer” is the cheapest crew that sends 60 % of orders out on time, "
    )
    assert "on time, give or take 3 points (67 %), at 2,750 CU a week in pay; the shop" in found["sentence"]
    assert [(crew["heads"]["sewer"], crew["replications"]) for crew in found["crews"]] == [(1, 20), (2, 20)]
    # 40 h at 20 CU for the sewer and the packer, at 30 CU for the operator.
    assert found["crews"][0]["pay_per_week"] == pytest.approx(37.5 * 20 + 40 * 20 + 40 * 30)
    assert main(["crew", shop, "--crew", "sewer=1..2", "--workers", "1"]) == 0
    assert words(capsys.readouterr().out).startswith(
        "No crew tried is shown to send 90 % of orders out on time, give or take 3 points (each surely stays below "
        "93 %): 1 person in crew “Sewer” sends 67 %, and no dearer crew can be told to send more; the shop "
    )


def test_fewer_runs_of_a_crew_than_the_first_are_refused(tmp_path: Path, capsys: Output) -> None:
    assert main(["crew", str(write_shop(tmp_path)), "--crew", "sewer=1..2", "--at-most", "5"]) == 2
    message = "--at-most: must be at least 20, the first replications of every crew, found 5\n"
    assert capsys.readouterr().err == message


@pytest.mark.parametrize(("crews", "message"), [
    (["baker=1..2"], "--crew: there is no crew 'baker'; the file has operator, sewer, packer"),
    (["sewer=1..2", "sewer=3"], "--crew: names a crew twice"),
    (["sewer=1..30", "packer=1..30"], "--crew: asks for 900 crews, at most 100 can be tried at once"),
])  # fmt: skip
def test_crews_that_cannot_be_tried(tmp_path: Path, capsys: Output, crews: list[str], message: str) -> None:
    arguments = [word for crew in crews for word in ("--crew", crew)]
    assert main(["crew", str(write_shop(tmp_path)), *arguments]) == 2
    assert capsys.readouterr().err == f"{message}\n"


def test_shift_patterns_side_by_side(tmp_path: Path, capsys: Output) -> None:
    # Without a break of their own the packer's and the operator's eight hours break a rule.
    shop, what_if = str(write_shop(tmp_path)), write_what_if(tmp_path)
    assert main(["shifts", shop, what_if, "--replications", "2", "--workers", "1"]) == 3
    out = words(capsys.readouterr().out)
    assert out.startswith("No pattern can be recommended: each breaks a rest-time rule.")
    # On each of the five days.
    assert "Rest-time rules broken 5 5" in out
    assert "On time, % 67 100" in out


def test_every_table_of_patterns_has_the_shop_as_it_stands(tmp_path: Path, capsys: Output) -> None:
    shop = str(write_shop(tmp_path))
    slow = write_what_if(tmp_path, FAST.replace("Quick", "Slow").replace("to: 0.5", "to: 14"), "slow.yaml")
    assert main(["shifts", shop, write_what_if(tmp_path), slow, "--replications", "2", "--workers", "1"]) == 3
    out = capsys.readouterr().out
    # At 80 columns there is room for one pattern beside it.
    assert words(out).count("Patterns side by side as it stands") == 2
    assert "On time, % 67 100" in words(out)
    assert "On time, % 67 33" in words(out)
    assert max(map(len, out.splitlines())) <= 80


def test_several_options_begin_with_an_overview(tmp_path: Path, capsys: Output) -> None:
    shop = str(write_shop(tmp_path))
    slow = write_what_if(tmp_path, FAST.replace("Quick", "Slow").replace("to: 0.5", "to: 14"), "slow.yaml")
    assert main(["compare", shop, write_what_if(tmp_path), slow, "--replications", "2", "--workers", "1"]) == 0
    out = words(capsys.readouterr().out)
    overview = out.index("All changes: on-time delivery, points, and what is left over, CU a week")
    assert overview < out.index("Quick seams against the shop as it stands")
    # With 14 minutes a flag A is sewn until 13:13 and B until 15:33, too late for the van.
    part = out[overview : out.index("Intervals of one column hold at once with 95 % confidence or more.")]
    assert "Quick seams +33.3" in part
    assert "Slow seams −33.3" in part


def test_a_shop_whose_orders_end_does_settle(tmp_path: Path, capsys: Output) -> None:
    shop = str(write_shop(tmp_path))
    assert main(["warm-up", shop, "--replications", "2", "--workers", "1", "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["warm_up_weeks"] == 1
    # Monday: A 8 h, B 7 h 10 min, D 14 h; D until 15:00 on Tuesday.
    assert found["orders_in_shop_by_day"][:3] == [pytest.approx(1750 / 1440), pytest.approx(900 / 1440), 0]
    assert found["sentence"].startswith(
        "By the rule below the shop settles within 1 week; this file counts from the first day"
    )
