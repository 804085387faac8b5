"""`shopsim sensitivity` on a shop that can be followed by hand; runs told beforehand, exit codes, refusals."""

import json
from pathlib import Path

import pytest

from shopsim.cli import main
from tests.doors.tiny import write_shop

Output = pytest.CaptureFixture[str]
RANGES = """\
ranges:
  - {path: money.packing_and_freight_per_order, low: 5, high: 25}
  - {path: crews.packer.wage_per_h, low: 15, high: 22, shape: triangular}
"""


def files(folder: Path) -> list[str]:
    (folder / "ranges.yaml").write_text(RANGES, encoding="utf-8")
    return ["sensitivity", str(write_shop(folder)), str(folder / "ranges.yaml"), "--workers", "1", "--no-store"]


def test_what_is_left_over_by_hand(tmp_path: Path, capsys: Output) -> None:
    """Three orders go out, and the packer is paid 40 hours a week."""
    assert main([*files(tmp_path), "--measure", "margin_per_week", "--replications", "2", "--json", "-"]) == 0
    out, err = capsys.readouterr()
    assert err.startswith("2 inputs take 5 shops, 10 replications in all\n")
    found = json.loads(out)
    wage, freight = found["inputs"]
    assert (wage["path"], wage["now"], wage["likely"], wage["matters"]) == ("crews.packer.wage_per_h", 20, 20, True)
    assert (wage["at_low"]["mean"], wage["at_high"]["mean"]) == pytest.approx((5 * 40, -2 * 40))
    assert (freight["at_low"]["mean"], freight["at_high"]["mean"]) == pytest.approx((5 * 3, -15 * 3))
    assert freight["swing"]["mean"] == pytest.approx(-60)
    # The triangle from 15 over 20 to 22 has its mean at 19, freight its at 15: 40 more and 15 less.
    assert found["with_doubt"]["mean"] - found["without_doubt"]["mean"] == pytest.approx(40 - 15, abs=0.05)
    variance = (15**2 + 20**2 + 22**2 - 15 * 20 - 15 * 22 - 20 * 22) / 18 * 40**2 + 20**2 / 12 * 3**2
    assert found["with_doubt"]["high"] - found["with_doubt"]["mean"] == pytest.approx(
        1.959964 * variance**0.5, rel=1e-3
    )
    assert (found["method"], found["points"], found["settled"]) == ("bars", 5, True)


def test_the_page(tmp_path: Path, capsys: Output) -> None:
    given = [*files(tmp_path), "--range", "crews.sewer.wage_per_h=19..21", "--measure", "cost_per_week"]
    assert main([*given, "--method", "morris", "--trajectories", "6", "--replications", "3"]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert text.startswith("Total cost hangs most on crews.packer.wage_per_h (which moves it by")
    # Sewers are paid 37.5 hours a week.
    assert "crews. sewer. 20 19 to 21 75 0 +75 0 wage_per_h" in text


def test_nothing_that_matters_is_not_settled(tmp_path: Path, capsys: Output) -> None:
    assert main([*files(tmp_path), "--method", "sobol", "--samples", "8"]) == 3
    assert "none of the inputs in doubt can be told from the luck of the runs" in " ".join(
        capsys.readouterr().out.split()
    )


@pytest.mark.parametrize(("more", "message"), [
    (["--range", "crews.sewer.counts=1..2"],
     "--range: crews.sewer.counts: crews.sewer.counts must lead to a number, found nothing\n"),
    (["--range", "crews.sewer.count=2..1"], "--range crews.sewer.count: `low` must be below `high`, found 2 and 1\n"),
    (["--range", "crews.packer.wage_per_h=1..2"],
     "--range: crews.packer.wage_per_h: a second range for 'crews.packer.wage_per_h'\n"),
    (["--measure", "luck"], "--measure: there is no measure 'luck'; see `run --json`\n"),
])  # fmt: skip
def test_bad_input(tmp_path: Path, capsys: Output, more: list[str], message: str) -> None:
    assert main([*files(tmp_path), *more]) == 2
    assert capsys.readouterr().err == message


def test_no_ranges_at_all(tmp_path: Path, capsys: Output) -> None:
    assert main(["sensitivity", str(write_shop(tmp_path)), "--no-store"]) == 2
    assert capsys.readouterr().err == "RANGES: give a file of ranges, or --range\n"


def test_samples_that_are_no_power_of_2(tmp_path: Path, capsys: Output) -> None:
    with pytest.raises(SystemExit) as stop:
        main([*files(tmp_path), "--samples", "48"])
    assert stop.value.code == 2
    assert "must be a power of 2 from 8, found '48'" in capsys.readouterr().err
