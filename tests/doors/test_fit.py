"""`shopsim fit` from the command line: a scenario that says of each value what it rests on."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shopsim.cli import main
from shopsim.shop.ranges_file import load_ranges
from shopsim.shop.scenario_dump import dump_scenario
from shopsim.shop.scenario_file import load_scenario
from tests.evidence import recorded_shop

DEMAND = """\
demand:
  forecast:
    orders_per_week: 20 # said the owner
    mix: [{product: light, share_pct: 1}]
  artwork: {new_file_pct: 60}"""


@pytest.fixture(scope="module")
def records(tmp_path_factory) -> Path:
    """Records of 12 weeks, their mappings, and the scenario to be fitted with a comment of its own."""
    folder = tmp_path_factory.mktemp("records")
    recorded_shop.write_records(folder, recorded_shop.true_shop(5, 12.0))
    for name in ("ORDER", "PRINTER", "WORK"):
        (folder / f"{name}.yaml").write_text(getattr(recorded_shop, f"{name}_MAP"), encoding="utf-8")
    text = dump_scenario(recorded_shop.believed_shop())
    given = (
        "demand: {forecast: {orders_per_week: 20, mix: [{product: light, share_pct: 1}]}, artwork: {new_file_pct: 60}}"
    )
    assert text.count(given) == 1
    text = text.replace(given, DEMAND)
    (folder / "shop.yaml").write_text("# Our shop\n" + text, encoding="utf-8")
    return folder


def fit(records: Path, *more: str) -> int:
    given = ["--orders", "orders.csv", "--printer-log", "printer_log.csv", "--work-log", "work_log.csv"]
    maps = [part for name in ("ORDER", "PRINTER", "WORK") for part in ("--map", str(records / f"{name}.yaml"))]
    files = [str(records / part) if part.endswith(".csv") else part for part in given]
    return main(["fit", str(records / "shop.yaml"), *files, *maps, *more])


def test_the_fitted_file_says_what_each_value_rests_on(records: Path, tmp_path: Path, capsys) -> None:
    out, ranges, told = tmp_path / "fitted.yaml", tmp_path / "ranges.yaml", tmp_path / "told.json"
    assert fit(records, "--out", str(out), "--ranges", str(ranges), "--json", str(told)) == 0
    shown = capsys.readouterr()
    answer = json.loads(told.read_text(encoding="utf-8"))
    text = out.read_text(encoding="utf-8")
    fitted = load_scenario(out)
    by_path = {each["path"]: each for each in answer["fitted"] if each["path"]}
    rate = by_path["demand.forecast.orders_per_week"]
    assert fitted.demand.forecast is not None
    assert fitted.demand.forecast.orders_per_week == rate["value"]
    # The comment stands above the value, what the owner wrote behind it stays.
    lines = text.split("\n")
    at = next(i for i, line in enumerate(lines) if line.startswith("    orders_per_week:"))
    assert lines[at - 1].startswith("    # from data: orders a week ")
    assert f"{rate['n']:,} orders; Poisson by month and weekday" in lines[at - 1]
    assert lines[at].endswith("# said the owner")
    assert "# Our shop" in lines
    assert lines[0].startswith("# Fitted by shopsim ")
    assert answer["sentence"] in lines[0]
    assert "# - month index: less than a year on record" in lines
    assert shown.out.replace("\n", " ").startswith(answer["sentence"])
    assert len(load_ranges(ranges, fitted)) == len(answer["ranges"])
    assert "orders.csv: " in shown.err


def test_files_of_read_need_no_mapping(records: Path, tmp_path: Path) -> None:
    clean, out, told = tmp_path / "clean.csv", tmp_path / "fitted.yaml", tmp_path / "told.json"
    assert main(["read", str(records / "orders.csv"), "--map", str(records / "ORDER.yaml"), "--out", str(clean)]) == 0
    shop = str(records / "shop.yaml")
    assert main(["fit", shop, "--orders", str(clean), "--out", str(out), "--json", str(told)]) == 0
    mapped = ["--orders", str(records / "orders.csv"), "--map", str(records / "ORDER.yaml"), "--json"]
    assert main(["fit", shop, *mapped, str(tmp_path / "again.json")]) == 0
    one, other = (json.loads((tmp_path / name).read_text(encoding="utf-8")) for name in ("told.json", "again.json"))
    assert one["fitted"] == other["fitted"]


def test_nothing_to_fit_from_is_bad_input(records: Path, tmp_path: Path, capsys) -> None:
    assert main(["fit", str(records / "shop.yaml")]) == 2
    assert capsys.readouterr().err == "--orders: give --orders, --printer-log, --work-log or --time-stamps\n"
    assert main(["fit", str(records / "shop.yaml"), "--orders", str(records / "orders.csv")]) == 2
    assert "give --map, or a file of `read --out`" in capsys.readouterr().err


def test_the_same_orders_twice_are_the_same_orders(records: Path, tmp_path: Path, capsys) -> None:
    once, twice = tmp_path / "once.json", tmp_path / "twice.json"
    fit(records, "--json", str(once))
    orders = str(records / "orders.csv")
    capsys.readouterr()
    fit(records, "--orders", orders, "--json", str(twice))
    one, other = (json.loads(path.read_text(encoding="utf-8")) for path in (once, twice))
    assert one["fitted"] == other["fitted"]
    assert "Not one of" in capsys.readouterr().err


def test_two_mappings_of_a_table_are_bad_input(records: Path, tmp_path: Path, capsys) -> None:
    second = tmp_path / "second.yaml"
    second.write_text(recorded_shop.ORDER_MAP, encoding="utf-8")
    assert fit(records, "--map", str(second)) == 2
    first = records / "ORDER.yaml"
    assert f"{first} and {second} are both for the table orders; give one" in capsys.readouterr().err


def test_time_stamps_are_work(records: Path, tmp_path: Path, capsys) -> None:
    stamps, told = tmp_path / "stamps.csv", tmp_path / "told.json"
    lines = ["order_id,step,at,moment"]
    for i in range(30):
        day = f"2026-01-{5 + 7 * (i // 10) + i % 5:02d}"
        lines += [f"A{i},sewing,{day} 08:00,start", f"A{i},sewing,{day} 09:{10 + i % 40},end"]
    stamps.write_text("\n".join([*lines, "A1,printed,2026-01-05 08:00,end"]) + "\n", encoding="utf-8")
    given = ["--orders", str(records / "orders.csv"), "--map", str(records / "ORDER.yaml")]
    shop = str(records / "shop.yaml")
    assert main(["fit", shop, *given, "--time-stamps", str(stamps), "--json", str(told)]) == 0
    assert json.loads(told.read_text(encoding="utf-8"))["rows"]["work_log"] == 30
    shown = capsys.readouterr().err
    assert "61 time stamps make 30 rows of work\n" in shown
    assert "of 1 time stamps no row is made: 'printed' is no place of the scenario\n" in shown


def test_pictures_are_saved_as_one_page(records: Path, tmp_path: Path) -> None:
    page, told = tmp_path / "pictures.html", tmp_path / "told.json"
    assert fit(records, "--pictures", str(page), "--json", str(told)) == 0
    text = page.read_text(encoding="utf-8")
    points = json.loads(told.read_text(encoding="utf-8"))["quantiles"]["roll change at press, mean minutes"]
    assert len(points) > 12
    assert points == sorted(points, key=lambda point: point["measured"])
    assert f"roll change at press, mean minutes, {len(points)} values: measured and fitted differ by" in text
    assert "https://" not in text.split("</script></head>")[1]


def test_held_out_weeks_are_not_seen(records: Path, tmp_path: Path) -> None:
    whole, part = tmp_path / "whole.json", tmp_path / "part.json"
    fit(records, "--json", str(whole))
    fit(records, "--hold-out", "4", "--json", str(part))
    rows = [json.loads(path.read_text(encoding="utf-8")) for path in (whole, part)]
    assert "Orders of 12 whole weeks, 2026-01-05 to 2026-03-29." in rows[0]["below"]
    assert "Orders of 8 whole weeks, 2026-01-05 to 2026-03-01." in rows[1]["below"]
    assert all(rows[1]["rows"][name] < rows[0]["rows"][name] for name in rows[0]["rows"])
