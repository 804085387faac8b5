"""`shopsim run --save-state` and `--from-state`: a run is kept at a minute and gone on with."""

import json
from dataclasses import replace
from pathlib import Path

import pandas as pd
import pytest

from shopsim.cli import main
from shopsim.floor.snapshot import run_until
from shopsim.floor.snapshot.file import digest, read_snapshot, write_snapshot
from shopsim.shop.shop_file import load_shop
from tests.doors.tiny import SHOP, write_shop

Output = pytest.CaptureFixture[str]


def kept(folder: Path, at: str = "2026-01-05 12:15") -> tuple[str, str]:
    shop, state = str(write_shop(folder)), str(folder / "noon.json")
    assert main(["run", shop, "--until", at, "--save-state", state]) == 0
    return shop, state


def test_a_state_is_kept(tmp_path: Path, capsys: Output) -> None:
    """At noon A and B wait for the van, which comes at 15:00, and D is being sewn."""
    _, state = kept(tmp_path)
    assert capsys.readouterr().out == f"{state}: the shop on 2026-01-05 12:15 in replication 0, 1 order in it.\n"
    assert json.loads(Path(state).read_text(encoding="utf-8"))["minute"] == 735.0


def test_a_morning_is_written_and_looked_ahead_from(tmp_path: Path, capsys: Output) -> None:
    """On Tuesday at 07:00 D's 100 are under the needle until 09:13, packed until 10:53; it leaves at 15:00."""
    shop, morning = str(write_shop(tmp_path)), str(tmp_path / "morning.yaml")
    assert main(["run", shop, "--until", "2026-01-06 07:00", "--save-morning", morning]) == 0
    told = f"{morning}: what could be told of the shop on 2026-01-06 07:00 in replication 0, 1 order open.\n"
    assert capsys.readouterr().out == told
    command = [
        "promise",
        shop,
        "--today",
        morning,
        "--replications",
        "20",
        "--workers",
        "1",
        "--no-store",
        "--json",
        "-",
    ]
    assert main(command) == 0
    (order,) = json.loads(capsys.readouterr().out)["orders"]
    assert (order["order"], order["leaves"]["80"]["date"]) == ("D", "2026-01-06")
    assert main(["run", shop, "--until", "2026-01-06 07:00", "--save-morning", str(tmp_path / "no" / "m.yaml")]) == 2
    assert "cannot be written" in capsys.readouterr().err


def test_what_becomes_of_the_orders_in_the_shop(tmp_path: Path, capsys: Output) -> None:
    shop, state = kept(tmp_path)
    capsys.readouterr()
    assert main(["run", shop, "--from-state", state]) == 0
    assert capsys.readouterr().out == (
        "In the shop on 2026-01-05 12:15: 1 order, of which 1 leave by 2026-01-12 00:00, 0 on time. Received later: "
        "0 orders, of which 0 leave, 0 on time. One run, as it was going to be: no chance can be told from it.\n"
    )
    assert main(["run", shop, "--from-state", state, "--replication", "3", "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    assert found["in_the_shop"] == {"orders": 1, "out": 1, "on_time": 0}
    assert (found["state_at"], found["state_replication"], found["replication"]) == ("2026-01-05 12:15", 0, 3)


def test_all_records_are_those_of_one_run(tmp_path: Path) -> None:
    shop, state = kept(tmp_path)
    assert main(["run", shop, "--from-state", state, "--out", str(tmp_path / "two")]) == 0
    assert main(["run", shop, "--out", str(tmp_path / "one"), "--workers", "1"]) == 0
    for name in ("operations", "orders", "printer_states", "metres", "person_spans"):
        one, two = (pd.read_parquet(tmp_path / folder / f"{name}.parquet") for folder in ("one", "two"))
        pd.testing.assert_frame_equal(one, two)


def test_a_forged_state_is_refused_with_its_place(tmp_path: Path, capsys: Output) -> None:
    """A digest that fits does not make a state of it: the roll on p1 is a metre longer than it can be."""
    shop, state = kept(tmp_path)
    found = json.loads(Path(state).read_text(encoding="utf-8"))
    found["state"]["parts"]["printer p1"]["roll"]["left_m"] += 1
    found["digest"] = digest(found["minute"], found["replication"], found["state"])
    Path(state).write_text(json.dumps(found), encoding="utf-8")
    capsys.readouterr()
    assert main(["run", shop, "--from-state", state]) == 2
    assert capsys.readouterr().err == (
        f"{state}: state.parts.printer p1.roll.left_m: is 161.0 where this shop comes to 160.0: somebody changed the "
        "file\n"
    )


def test_a_state_at_a_whole_minute_is_read_again(tmp_path: Path) -> None:
    shop = load_shop(write_shop(tmp_path))
    _, state = run_until(shop.scenario, shop.order_lines, 735)
    write_snapshot(tmp_path / "noon.json", replace(state, minute=735))
    assert read_snapshot(tmp_path / "noon.json").minute == 735


@pytest.mark.parametrize(("options", "message"), [
    (["--until", "2026-01-05 12:00"], "--until and --save-state or --save-morning: belong together"),
    (["--until", "2026-02-05 12:00", "--save-state", "x"],
     "--until: must lie from 2026-01-05 00:00 to before 2026-01-12 00:00, found 2026-02-05 12:00"),
    (["--until", "2026-01-05 12:00", "--save-state", "x", "--json", "-"],
     "--until: writes a state or morning alone; leave out --out and --json"),
    (["--from-state", "x", "--until", "2026-01-05 12:00"],
     "--from-state: goes on to the end of the study; leave out --until, --save-state and --save-morning"),
    (["--from-state", "x", "--week", "1"], "--week: has no meaning for a single state"),
    (["--from-state", "no_such.json"], "no_such.json: there is no such file"),
    (["--until", "2026-01-05 12:00", "--save-state", "no/such/folder"],
     "no/such/folder: cannot be written: No such file or directory"),
])  # fmt: skip
def test_what_does_not_fit_is_told(
    options: list[str], message: str, tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = write_shop(tmp_path)
    monkeypatch.chdir(tmp_path)
    assert main(["run", str(shop), *options]) == 2
    assert capsys.readouterr().err == f"{message}\n"


def test_a_time_is_asked_for_in_words(tmp_path: Path, capsys: Output) -> None:
    with pytest.raises(SystemExit):
        main(["run", "x.yaml", "--until", "noon", "--save-state", "x"])
    assert "must be a date and a time as 2026-01-12 12:00, found 'noon'" in capsys.readouterr().err


def test_a_state_of_another_shop_is_refused(tmp_path: Path, capsys: Output) -> None:
    shop, state = kept(tmp_path)
    Path(shop).write_text(SHOP.replace("tail_m: 3", "tail_m: 4"), encoding="utf-8")
    assert main(["run", shop, "--from-state", state]) == 2
    assert capsys.readouterr().err.startswith(f"{state}: is of another scenario: ")
