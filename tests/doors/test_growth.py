"""`shopsim growth`: sentence, table and JSON of a shop that can be followed by hand; exit codes."""

import json
import re
from pathlib import Path

import pytest

from shopsim.cli import main
from tests.doors.tiny import write_shop

Output = pytest.CaptureFixture[str]
# Two of three orders are on time; at 89 % of the demand and below, order D stays away: its draw is the third multiple
# of the golden section less 1, 0.854, so it comes from there on.
SENTENCE = (
    "The shop as it stands misses 90 % on time today; it would take 15 % fewer orders, 19 m² a week; "
    "it is held back most by the sewing table."
)


def test_a_shop_that_is_full_today(tmp_path: Path, capsys: Output) -> None:
    assert main(["growth", str(write_shop(tmp_path)), "--workers", "1", "--no-store"]) == 0
    out, err = capsys.readouterr()
    text = " ".join(out.split())
    assert text.startswith(f"{SENTENCE} ")
    assert re.match(r"\d+ replications of 1 week in all, started empty", text.removeprefix(f"{SENTENCE} "))
    assert "85 3 100 0.32 0.33 p1" in " ".join(out.split())
    assert re.match(r"\d+ replications in ", err)


def test_json_holds_break_headroom_and_curve(tmp_path: Path, capsys: Output) -> None:
    path = write_shop(tmp_path)
    assert main(["growth", str(path), "--workers", "1", "--no-store", "--replications", "2", "--demand", "80,100",
                 "--json", "-"]) == 0  # fmt: skip
    found = json.loads(capsys.readouterr().out)
    assert (found["scenario"], found["seed"], found["target"], found["settled"]) == (str(path), 1, 0.9, True)
    assert found["sentence"].startswith("The shop as it stands misses 90 % on time today")
    option = found["options"]["as it stands"]
    assert option["today"] == {"orders_per_week": 3.0, "m2_per_week": pytest.approx(130)}
    factor = option["breaks_at"]["mean"]
    # Where it is 90 % on its way from all to two thirds, between neighbours 0.5 % apart.
    assert factor == pytest.approx(0.854, abs=0.005)
    assert option["headroom_pct"]["mean"] == pytest.approx((factor - 1) * 100)
    assert option["headroom_m2_per_week"]["low"] == pytest.approx((factor - 1) * 130)
    assert [point["demand"] for point in option["curve"]][:: len(option["curve"]) - 1] == [0.8, 1.0]
    assert option["curve"][-1]["on_time_share"] == {"mean": pytest.approx(2 / 3), "low": pytest.approx(2 / 3),
                                                    "high": pytest.approx(2 / 3)}  # fmt: skip


def test_too_few_runs_to_tell_where_it_breaks_is_not_settled(tmp_path: Path, capsys: Output) -> None:
    forecast = "  forecast: {orders_per_week: 40, mix: [{product: flag, share_pct: 100, pieces: 30}]}"
    shop = (write_shop(tmp_path).read_text(encoding="utf-8")).replace("  order_book: {file: orders.csv}", forecast)
    path = write_shop(tmp_path, shop)
    assert main(["growth", str(path), "--workers", "1", "--no-store", "--replications", "2"]) == 3
    assert "than today" in " ".join(capsys.readouterr().out.split())


def test_cautions_of_an_option_are_told(tmp_path: Path, capsys: Output) -> None:
    path = write_shop(tmp_path)
    what_if = tmp_path / "evening.yaml"
    what_if.write_text("name: Evening\nnote: Ask the insurer.\nbase: tiny.yaml\nchanges:\n"
                       "  - {set: printers.p1.unattended_running, to: true}\n", encoding="utf-8")  # fmt: skip
    given = ["growth", str(path), str(what_if), "--workers", "1", "--no-store"]
    main(given)
    text = " ".join(capsys.readouterr().out.split())
    assert "Evening: Ask the insurer." in text
    assert "Evening: Fire, hot machine with nobody there: p1 may run with nobody there. " in text
    main([*given, "--json", "-"])
    notes = {name: each["notes"] for name, each in json.loads(capsys.readouterr().out)["options"].items()}
    # The first demands asked bring no order more: there are three.
    assert notes["as it stands"] == []
    assert notes["Evening"][0] == "Ask the insurer."
    assert notes["Evening"][1].startswith("Fire, hot machine with nobody there: p1 may run")


def test_one_replication_is_refused(tmp_path: Path, capsys: Output) -> None:
    path = write_shop(tmp_path)
    assert main(["growth", str(path), "--replications", "1"]) == 2
    message = "--replications: must be at least 2, because one gives no interval, found 1"
    assert capsys.readouterr().err == f"{message}\n"
    path = write_shop(tmp_path, path.read_text(encoding="utf-8").replace("replications: 3", "replications: 1"))
    assert main(["growth", str(path)]) == 2
    assert capsys.readouterr().err == f"{message} in {path}\n"


@pytest.mark.parametrize(("given", "message"), [
    ("100", "must be at least two percentages, found '100'"),
    ("100,x", "must be percentages from 20 to 500, like 85,100,115, found 'x'"),
    ("10,100", "must be percentages from 20 to 500, like 85,100,115, found '10'"),
])  # fmt: skip
def test_impossible_demands_are_refused(tmp_path: Path, capsys: Output, given: str, message: str) -> None:
    with pytest.raises(SystemExit) as stop:
        main(["growth", str(write_shop(tmp_path)), "--demand", given])
    assert stop.value.code == 2
    assert message in capsys.readouterr().err
