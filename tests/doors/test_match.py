"""`shopsim match` from the command line: a wrong model is told with its likeliest cause, a true one passes."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest

from shopsim.cli import main
from shopsim.shop.scenario_dump import dump_scenario
from shopsim.studies import match_causes
from tests.evidence.matching_shop import happened, model_of, write_record

SEED, WEEKS = 3, 8


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("record")
    write_record(made, happened(SEED, WEEKS))
    for name, model in (("true", "true"), ("slow", "sewing 20 % slower")):
        (made / f"{name}.yaml").write_text(dump_scenario(model_of(SEED, model)), encoding="utf-8")
    return made


def match(folder: Path, model: str, *more: str) -> int:
    store = ["--store", str(folder / "store.sqlite"), "--workers", "1"]
    return main(["match", str(folder / f"{model}.yaml"), "--orders", str(folder / "orders.csv"), *store, *more])


def told(path: Path) -> dict[str, Any]:
    read: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return read


def test_slower_sewing_is_told_and_found(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    # Half of what is usual finds a cause this plain, in half the time.
    monkeypatch.setattr(match_causes, "FIRST_RUNS", 4)
    monkeypatch.setattr(match_causes, "LAST_RUNS", 16)
    out = tmp_path / "told.json"
    more = ["--work-log", str(folder / "work_log.csv"), "--run-in", "2", "--replications", "39", "--json", str(out)]
    assert match(folder, "slow", *more) == 0
    answer, shown = told(out), capsys.readouterr()
    assert (answer["settled"], answer["accepted"], answer["replications"]) == (True, False, 39)
    assert answer["score"] > answer["limit"]
    hours = answer["figures"]["work.sewing_h_per_week"]
    assert hours["outcome"] == "differs"
    assert hours["difference"]["high"] < 0
    first = answer["causes"]["found"][0]
    assert (first["input"], first["likely"], first["still_differ"]) == ("sewing minutes", True, 0)
    assert first["amount"] == pytest.approx(100 * (1 / 1.2 - 1), abs=4)
    assert answer["sentence"].startswith(
        "The model differs from what happened in 6 weeks: hours of work a week at sewing"
    )
    assert f"Most likely among single inputs: {first['moved']} (with it" in answer["sentence"]
    page = " ".join(shown.out.split())
    assert page.startswith(answer["sentence"])
    assert "Inputs moved to where the gap closes best" in page
    assert "orders.csv: " in shown.err


def test_the_true_model_passes_but_few_weeks_tell_little(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "told.json"
    assert match(folder, "true", "--run-in", "2", "--replications", "39", "--json", str(out)) == 3
    answer = told(out)
    assert (answer["accepted"], answer["settled"], answer["causes"]) == (True, False, None)
    assert answer["sentence"].startswith("Nothing in 6 weeks on record speaks against the model")
    on_time = answer["figures"]["on_time_share"]
    far = max(abs(on_time["difference"]["low"]), abs(on_time["difference"]["high"]))
    assert on_time["weeks_to_tell"] == math.ceil(6 * (far / 0.05) ** 2)
    assert f"about {on_time['weeks_to_tell']:,} weeks like these on record" in answer["sentence"]
    wide = ["--tolerance", "1000", "--tolerance-points", "100", "--json", str(out)]
    assert match(folder, "true", "--run-in", "2", "--replications", "39", *wide) == 0
    assert told(out)["sentence"].startswith("The model agrees with what happened in 6 weeks")


def test_held_out_weeks_are_compared_with_a_shop_fitted_before(folder: Path, tmp_path: Path) -> None:
    out = tmp_path / "told.json"
    more = ["--work-log", str(folder / "work_log.csv"), "--hold-out", "2", "--no-causes", "--json", str(out)]
    match(folder, "slow", "--replications", "39", *more)
    answer = told(out)
    assert (answer["first"], answer["last"], answer["held_out_weeks"]) == ("2026-02-16", "2026-03-01", 2)
    hours = answer["figures"]["work.sewing_h_per_week"]
    # The weeks before have told how long sewing takes; two weeks alone vary by a third.
    assert hours["outcome"] != "differs"


@pytest.mark.parametrize(
    ("more", "said"),
    [
        (
            ("--run-in", "7"),
            "the record: 8 whole weeks on record, the first 7 of which fill the shop, leave less than 2",
        ),
        (("--hold-out", "2", "--start", "warm"), "--start: warm goes without --hold-out: the weeks before fill it"),
        (("--hold-out", "7"), "the record: 7 held-out weeks of 8 leave less than 2 to fit from"),
    ],
)
def test_what_cannot_be_compared_is_bad_input(
    folder: Path, capsys: pytest.CaptureFixture[str], more: tuple[str, ...], said: str
) -> None:
    assert match(folder, "true", *more) == 2
    assert said in capsys.readouterr().err


def test_orders_are_needed(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    log = str(folder / "work_log.csv")
    assert main(["match", str(folder / "true.yaml"), "--work-log", log]) == 2
    assert capsys.readouterr().err == "--orders: give the order history with its column `shipped`\n"
    # A list that never says when an order was shipped tells nothing of lead times.
    lines = (folder / "orders.csv").read_text(encoding="utf-8").splitlines()
    bare = folder / "bare.csv"
    bare.write_text("\n".join(line.rsplit(",", 1)[0] for line in lines) + "\n", encoding="utf-8")
    assert main(["match", str(folder / "true.yaml"), "--orders", str(bare), "--run-in", "2"]) == 2
    assert "no order on record has a time at which it was shipped; map the column `shipped`" in capsys.readouterr().err


def test_a_report_holds_the_match_and_its_record_and_both_can_be_asked_again(
    folder: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = f"match --orders {folder}/orders.csv --run-in 2 --replications 19 --no-causes"
    store = ["--store", str(folder / "store.sqlite"), "--workers", "1"]
    given = ["--ask", asked, "--out", str(tmp_path / "out"), "--no-pdf", "--no-records", "--json", "-", *store]
    assert main(["report", str(folder / "true.yaml"), *given]) == 3, "few orders settle no match"
    (answer,) = told(tmp_path / "out" / "answers.json")["answers"]
    assert answer["question"] == "Does the model agree with what really happened?"
    page = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    assert f"Set beside what happened: {answer['answer']['sentence'][:40]}" in page
    assert "No records of this shop have been set beside the simulation yet." not in page
    capsys.readouterr()
    monkeypatch.chdir(tmp_path / "out" / "files")
    assert main([*answer["command"][1:], *store, "--json", "-"]) in (0, 3)
    assert json.loads(capsys.readouterr().out) == {**answer["answer"], "scenario": "true.yaml"}
