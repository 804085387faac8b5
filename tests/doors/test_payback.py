"""`shopsim payback` on a shop that can be followed by hand; exit codes and refusals."""

import json
from pathlib import Path

import pytest

from shopsim.cli import main
from tests.doors.tiny import write_shop

Output = pytest.CaptureFixture[str]
FASTER = """\
name: a faster table
base: tiny.yaml
changes:
  - {set: "products.flag.route[1].minutes", to: 0.1}
spends: {once: 100, life_years: 2, resale: 10, per_year: 5, training_h: 2}
"""
WITH_PENALTY = "money: {packing_and_freight_per_order: 10, late_penalty_pct: 10}"
WEEKS_PER_YEAR = 365.25 / 7


def files(folder: Path, what_if: str = FASTER, **spends: str) -> list[str]:
    shop = write_shop(folder)
    text = shop.read_text(encoding="utf-8").replace("money: {packing_and_freight_per_order: 10}", WITH_PENALTY)
    shop.write_text(text, encoding="utf-8")
    (folder / "faster.yaml").write_text(what_if, encoding="utf-8")
    return ["payback", str(shop), str(folder / "faster.yaml"), "--workers", "1", "--no-store"]


def test_a_penalty_avoided_by_hand(tmp_path: Path, capsys: Output) -> None:
    """With 6 seconds a flag order D is packed on Monday at 13:33: its 2000 CU are paid in full instead of 10 % less."""
    assert main([*files(tmp_path), "--only-given", "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    gain = 200 * WEEKS_PER_YEAR
    assert found["gain_cu_per_year"]["mean"] == pytest.approx(gain)
    assert found["gain_cu_per_year"]["parts"]["late_penalties"] == pytest.approx(gain)
    # Wages are 30, 20 and 20 CU an hour: two hours of training at their mean.
    at_start = 100 + 2 * 70 / 3
    assert found["flows_cu"] == pytest.approx([-at_start, gain - 5, gain - 5 + 10])
    assert found["npv_cu"]["mean"] == pytest.approx(-at_start + (gain - 5) / 1.08 + (gain + 5) / 1.08**2)
    assert found["pays_back_after_years"]["mean"] == pytest.approx(at_start / (gain - 5), abs=0.01)
    assert found["luck"]["below"]["payback_years"]["0.5"] == pytest.approx(at_start / (gain - 5))
    assert found["orders_per_week"]["then"] == found["orders_per_week"]["today"]
    assert (found["taken_anyway"], found["npv_without_orders_won_cu"]) == (None, found["npv_cu"])
    assert (found["option"], found["settled"], found["tornado"]) == ("a faster table", True, [])
    assert found["sentence"].startswith("“a faster table” pays: it is worth 18,")


def test_orders_won_are_the_what_ifs_or_the_command_lines(tmp_path: Path, capsys: Output) -> None:
    wins = FASTER.replace("training_h: 2}", "orders_won_pct: 50, orders_won_weeks: 26}")
    given = [*files(tmp_path, wins), "--only-given", "--json", "-"]
    assert main(given) in (0, 3)
    found = json.loads(capsys.readouterr().out)
    assert (found["inputs"]["orders_won_pct"], found["inputs"]["orders_won_weeks"]) == (50, 26)
    orders = found["orders_per_week"]
    assert orders["then"] == pytest.approx(1.5 * orders["today"])
    parts = found["gain_cu_per_year"]
    # Six orders of the book are nine: those that come twice sell once more.
    assert parts["of_it_orders_won"]["sales"] > 0
    assert sum(parts["parts"].values()) == pytest.approx(parts["mean"])
    assert found["npv_without_orders_won_cu"]["mean"] < found["npv_cu"]["mean"]
    assert found["taken_anyway"]["on_time_share"]["mean"] <= 1
    assert main([*given, "--orders-won", "0", "--orders-won-weeks", "0"]) == 0
    assert json.loads(capsys.readouterr().out)["inputs"]["orders_won_pct"] == 0


def test_orders_won_a_week_are_told_against_todays(tmp_path: Path, capsys: Output) -> None:
    wins = FASTER.replace("training_h: 2}", "orders_won_per_week: 1}")
    assert main([*files(tmp_path, wins), "--only-given", "--json", "-"]) in (0, 3)
    found = json.loads(capsys.readouterr().out)
    orders = found["orders_per_week"]
    assert orders["then"] - orders["today"] == pytest.approx(1, abs=1e-6)


def test_the_page_and_the_usual_doubt(tmp_path: Path, capsys: Output) -> None:
    assert main([*files(tmp_path), "--range", "once_cu=100..300", "--discount", "5"]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert text.startswith("“a faster table” pays: it is worth 19,300 CU over 2 years at 5 % a year")
    assert "Late penalties avoided 10,436 all runs alike" in text
    assert "price 100 to 300 19,300 19,100" in text
    assert "years of use 1.43 to 2.86" in text


def test_prices_of_machines_stand_in_for_what_is_not_said(tmp_path: Path, capsys: Output) -> None:
    what_if = """\
name: another machine
base: tiny.yaml
changes:
  - {set: work_centres.sewing_table.money.price, to: 3000}
  - {set: work_centres.sewing_table.money.life_years, to: 5}
  - {set: work_centres.sewing_table.seats, to: 2}
"""
    assert main([*files(tmp_path, what_if), "--only-given", "--json", "-", "--tax", "25"]) == 0
    found = json.loads(capsys.readouterr().out)
    inputs = found["inputs"]
    assert (inputs["once_cu"], inputs["life_years"], inputs["resale_cu"]) == pytest.approx((3000, 5, 600))
    # Both seats cost 7 % of their price in service; a quarter of the loss and of the write-off is tax saved.
    service = -2 * 3000 * 0.07
    assert found["gain_cu_per_year"]["mean"] == pytest.approx(service)
    assert found["flows_cu"][1] == pytest.approx(service * 0.75 + 0.25 * 480)
    assert "does not pay" in found["sentence"]


@pytest.mark.parametrize(("more", "message"), [
    (["--range", "prize=1..2"], (
        "--range: no input 'prize'; known: once_cu, resale_cu, life_years, per_year_cu, discount_pct, "
        "growth_pct_per_year, orders_won_pct, gain_pct, sales_price_pct, material_price_pct, energy_price_pct, "
        "wages_pct\n"
    )),
    (["--range", "orders_won_pct=10..30"], (
        "--range: orders_won_pct must be at least 0 and its range hold the value planned, 0, found 10 to 30\n"
    )),
    (["--range", "once_cu=2..1"], "--range: once_cu must have a low below its high, found 2.0 and 1.0\n"),
])  # fmt: skip
def test_ranges_that_do_not_do(tmp_path: Path, capsys: Output, more: list[str], message: str) -> None:
    assert main([*files(tmp_path), *more]) == 2
    assert capsys.readouterr().err == message


@pytest.mark.parametrize(("given", "message"), [
    ("once_cu", "must be like NAME=1.5..2, found 'once_cu'"),
    ("once_cu=1..x", "must be a number, found 'x'"),
])  # fmt: skip
def test_ranges_that_cannot_be_read(tmp_path: Path, capsys: Output, given: str, message: str) -> None:
    with pytest.raises(SystemExit) as stop:
        main([*files(tmp_path), "--range", given])
    assert stop.value.code == 2
    assert message in capsys.readouterr().err


def test_two_that_spend_cannot_be_joined(tmp_path: Path, capsys: Output) -> None:
    given = files(tmp_path)
    given[2] = f"{given[2]}+{given[2]}"
    assert main(given) == 2
    assert capsys.readouterr().err.endswith("spends: give what all of them cost under `spends` of one of them\n")
