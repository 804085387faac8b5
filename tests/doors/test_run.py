"""`shopsim run`: the sentence, JSON equal to the measures, records, the week on the floor."""

import json
import math
from pathlib import Path

import pandas as pd
import pytest

from shopsim import __version__
from shopsim.cli import main
from shopsim.measures.formula_safe import formula_safe
from shopsim.measures.kpis import measures_of
from shopsim.measures.tables import frames
from shopsim.shop.shop_file import load_shop
from shopsim.studies.precision import interval
from shopsim.studies.replication import one_log
from tests.doors.tiny import ORDERS, SHOP, write_shop

Output = pytest.CaptureFixture[str]
DEMO = Path(__file__).resolve().parents[2] / "demo_scenarios" / "flag_banner_shop.yaml"
SENTENCE = (
    "On time 67 % of orders in every run, half of them out within 8 hours; nothing holds the shop back for long "
    "(most often the sewing table, constraint 18 % of the time)."
)


def test_the_sentence_comes_first(tmp_path: Path, capsys: Output) -> None:
    assert main(["run", str(write_shop(tmp_path)), "--workers", "1"]) == 0
    out, err = capsys.readouterr()
    assert " ".join(out.split()).startswith(
        f"{SENTENCE} The target of 90 % on time is missed. "
        "3 replications of 1 week, started empty: no order in work on the first day. Orders and dates"
    )
    # No terminal: one line at the end instead of a bar.
    assert err.startswith("3 replications in ") and err.endswith(" s\n") and err.count("\n") == 1


def test_json_holds_what_was_measured(tmp_path: Path, capsys: Output) -> None:
    path = write_shop(tmp_path)
    assert main(["run", str(path), "--json", "-", "--replications", "2", "--workers", "1"]) == 0
    found = json.loads(capsys.readouterr().out)
    shop = load_shop(path)
    assert {name: found[name] for name in list(found)[:7]} == {
        "scenario": str(path), "scenario_hash": shop.scenario.content_hash, "version": __version__, "seed": 1,
        "replications": 2, "confidence": 0.95, "sentence": SENTENCE,
    }  # fmt: skip
    assert list(found)[8:] == ["settled", "opening", "measures", "resources", "constraint"]
    assert found["opening"] == "started empty: no order in work on the first day"
    assert found["below"].endswith(f"{found['opening']}.")
    assert found["constraint"] == {"id": "sewing_table", "share": pytest.approx(0.175)}
    measured = measures_of(one_log(shop.scenario, shop.order_lines), shop.scenario)
    assert set(found["measures"]) == set(measured)
    for name, value in measured.items():
        shown = found["measures"][name]
        assert set(shown) == {"mean", "low", "high", "unit"}
        assert shown["mean"] == (None if math.isnan(value) else pytest.approx(value))
    resources = {(each["kind"], each["id"]): each["states"] for each in found["resources"]}
    assert resources["printer", "p1"]["printing"] == pytest.approx(130 / 10080)
    assert resources["place", "sewing_table"]["busy"] == pytest.approx(390 / 10080)
    assert all(sum(states.values()) == pytest.approx(1) for states in resources.values())


def test_json_intervals_are_student_intervals_over_replications(capsys: Output) -> None:
    arguments = ["run", str(DEMO), "--weeks", "2", "--seed", "7", "--replications", "4", "--json", "-"]
    answers = []
    for workers in ("1", "2"):
        assert main([*arguments, "--workers", workers]) == 0
        answers.append(capsys.readouterr().out)
    assert answers[0] == answers[1]
    found = json.loads(answers[0])
    assert found["seed"] == 7
    scenario = load_shop(DEMO).scenario
    study = scenario.study.model_copy(update={"weeks": 2.0, "seed": 7})
    scenario = scenario.model_copy(update={"study": study})
    rows = [measures_of(one_log(scenario, (), k), scenario) for k in range(4)]
    for name in ("lead_time_mean_h", "busy_share.printer_1", "margin_per_week"):
        by_hand = interval([row[name] for row in rows])
        shown = found["measures"][name]
        assert (shown["mean"], shown["low"], shown["high"]) == (by_hand.mean, by_hand.low, by_hand.high)


def test_one_replication_has_no_bounds(tmp_path: Path, capsys: Output) -> None:
    assert main(["run", str(write_shop(tmp_path)), "--json", "-", "--replications", "1"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["measures"]["on_time_share"] == {"mean": pytest.approx(2 / 3), "low": None, "high": None, "unit": "1"}


def test_a_week_on_the_floor(tmp_path: Path, capsys: Output) -> None:
    assert main(["run", str(write_shop(tmp_path)), "--week", "1", "--replication", "2"]) == 0
    out = capsys.readouterr().out
    assert "Week 1, 2026-01-05 to 2026-01-11, replication 2" in out
    assert "p1              wRRPP.......PPPPPPP.............\n" in out


@pytest.mark.parametrize("week", ["2", "99"])
def test_a_week_that_is_not_studied_is_refused_before_anything_runs(tmp_path: Path, capsys: Output, week: str) -> None:
    assert main(["run", str(write_shop(tmp_path)), "--week", week]) == 2
    assert capsys.readouterr().err == f"--week: the study has weeks 1 to 1, found {week}\n"


# A sewer with a name that a spreadsheet would run.
EVIL = SHOP.replace("name: Sewer,", 'name: "=1+1",')


def test_records_are_written_whole(tmp_path: Path, capsys: Output) -> None:
    path, folder = write_shop(tmp_path, "# our shop\n" + EVIL), tmp_path / "records"
    folder.mkdir()
    assert main(["run", str(path), "--out", str(folder), "--replication", "1", "--seed", "5"]) == 0
    shop = load_shop(folder / "tiny.yaml")
    assert shop.scenario.study.seed == 5
    assert (folder / "tiny.yaml").read_text(encoding="utf-8").startswith("# our shop\n")
    assert (folder / "orders.csv").read_text(encoding="utf-8") == ORDERS
    tables = frames(one_log(shop.scenario, shop.order_lines, 1), shop.scenario)
    names = {name for table in tables for name in (f"{table}.csv", f"{table}.parquet")}
    assert {each.name for each in folder.iterdir()} == {*names, "dictionary.csv", "tiny.yaml", "orders.csv"}
    for name, table in tables.items():
        pd.testing.assert_frame_equal(
            pd.read_parquet(folder / f"{name}.parquet"), table, check_dtype=False, check_categorical=False
        )
        assert len(pd.read_csv(folder / f"{name}.csv")) == len(table)
    assert len(tables["orders"]) == 3
    operations = pd.read_csv(folder / "operations.csv")
    assert "'=1+1" in set(operations["person"]) and "=1+1" not in set(operations["person"])
    assert operations["start"].max() == tables["operations"]["start"].max()
    dictionary = pd.read_csv(folder / "dictionary.csv")
    columns = [(name, column) for name, table in tables.items() for column in table.columns]
    assert list(zip(dictionary["table"], dictionary["column"], strict=True)) == columns


@pytest.mark.parametrize("there", ["a file", "a full folder"])
def test_records_never_overwrite(tmp_path: Path, capsys: Output, there: str) -> None:
    target = tmp_path / "records"
    if there == "a file":
        target.write_text("mine", encoding="utf-8")
    else:
        target.mkdir()
        (target / "mine").touch()
    assert main(["run", str(write_shop(tmp_path)), "--out", str(target)]) == 2
    assert capsys.readouterr().err == f"{target}: --out: must be a new or an empty folder\n"


def test_a_failed_write_leaves_nothing_behind(tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(self: pd.DataFrame, *args: object, **kwargs: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(pd.DataFrame, "to_csv", full)
    assert main(["run", str(write_shop(tmp_path)), "--out", str(tmp_path / "records")]) == 2
    assert "cannot be written: No space left on device" in capsys.readouterr().err
    assert sorted(each.name for each in tmp_path.iterdir()) == ["orders.csv", "tiny.yaml"]


def test_only_text_is_made_safe_for_spreadsheets() -> None:
    frame = pd.DataFrame({"n": [-1.5, 2.0], "text": ["-1", None], "kind": pd.Categorical(["@x", "ok"])})
    safe = formula_safe(frame)
    assert safe["n"].tolist() == [-1.5, 2.0]
    assert safe["text"].iloc[0] == "'-1" and pd.isna(safe["text"].iloc[1])
    assert safe["kind"].tolist() == ["'@x", "ok"]
    assert formula_safe(pd.DataFrame({"t": ["=a", "+b", "\tc", "\rd", "\ne", "f=g", ""]}))["t"].tolist() == [
        "'=a", "'+b", "'\tc", "'\rd", "'\ne", "f=g", "",
    ]  # fmt: skip
