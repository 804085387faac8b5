"""Where every value of a shop comes from: the file, a row of the handbook, or a default of ours."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

from shopsim import load_shop
from shopsim.report.assumed import given_table, lists_table
from shopsim.report.craft_values import craft_values
from shopsim.report.file_notes import notes_beside
from shopsim.report.handbook_rows import BASES, founded_on, handbook_rows, rows_of
from shopsim.report.inputs import alike, inputs_of
from shopsim.shop import review
from shopsim.shop.base import Base
from shopsim.shop.scenario import Scenario

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"


def of_demo(name: str) -> Scenario:
    return load_shop(DEMOS / f"{name}.yaml").scenario


def every_model(model: type[Base] = Base) -> list[type[Base]]:
    return [each for one in model.__subclasses__() for each in (one, *every_model(one))]


def test_every_row_that_a_model_cites_is_known() -> None:
    cited = {
        str(extra["handbook_row"])
        for model in every_model()
        for field in model.model_fields.values()
        if isinstance(extra := field.json_schema_extra, dict) and "handbook_row" in extra
    }
    assert {row for row in cited if founded_on(row) is None} == {"section 0"}
    assert {row.basis for row in handbook_rows().values()} <= set(BASES)


def test_a_range_of_rows_stands_on_its_weakest() -> None:
    assert rows_of("CHG-02..04") == ["CHG-02", "CHG-03", "CHG-04"]
    assert rows_of("section 0") == []
    found = founded_on("QUA-01..08")
    assert found is not None
    assert (found.basis, found.source) == ("from memory", "direct-sublimation risk note")


@pytest.mark.parametrize(("path", "origin", "row", "basis", "shown"), [
    ("printers.printer_1.head.swath_m", "file", "", "", "0.072 m"),
    ("printers.printer_1.head.carriage_m_per_s", "handbook", "PRN-04", "from memory", "1.2 m/s"),
    ("fabrics.flag_cloth.plate_c", "handbook", "MAT-13", "partly published", "195 °C"),
    ("fabrics.banner_cloth.roll_width_m", "file", "", "", "3.1 m"),
    ("printers.printer_1.roll_change.people", "handbook", "CHG-05", "common practice", "1 person"),
    ("money.energy_per_kwh", "handbook", "CST-05", "published", "0.2 CU/kWh"),
    ("policies.quality.seen_at_printer_pct", "program", "", "", "35 %"),
    ("work_centres.desk.allowance_pct", "program", "", "", "0 %"),
    ("demand.forecast.lead_days", "handbook", "DEM-13", "common practice", "3–5–8 days"),
])  # fmt: skip
def test_where_a_value_comes_from(path: str, origin: str, row: str, basis: str, shown: str) -> None:
    (found,) = [one for one in inputs_of(of_demo("flag_banner_shop")) if one.path == path]
    assert (found.origin, found.row, found.basis, found.shown) == (origin, row, basis, shown)


def test_rows_that_only_the_review_cites_say_what_is_usual() -> None:
    assert founded_on("MNT-08") == (
        "share of planned time that a printer really prints: one-off mix; repeat mix", "common practice", "",
        "35–50–65; 55–65–80 %",
    )  # fmt: skip
    cited = {row for path in (Path(review.__file__).parent).glob("*.py")
             for row in re.findall(r'return "([A-Z]{3}-\d\d)"', path.read_text(encoding="utf-8"))}  # fmt: skip
    assert cited <= set(handbook_rows())


def test_values_nothing_asks_for_are_left_out() -> None:
    paths = {one.path for one in inputs_of(of_demo("flag_banner_shop"))}
    assert not [path for path in paths if "join" in path or "bought_in_sewing" in path]
    assert "work_centres.desk.two_person_labour_factor" not in paths
    assert "work_centres.sewing_table.two_person_labour_factor" in paths
    assert not [path for path in paths if path.endswith((".id", ".name", ".note", ".op"))]


def test_every_value_is_counted_once() -> None:
    inputs = inputs_of(of_demo("flag_banner_shop"))
    assert len({one.path for one in inputs}) == len(inputs)
    counts = Counter(one.origin for one in inputs)
    assert counts == {"file": 229, "handbook": 121, "program": 98}
    assert sum(len(paths) for _, paths in alike(inputs)) == len(inputs)


def test_equal_values_of_different_items_stay_items_of_their_list() -> None:
    inputs = inputs_of(of_demo("exhibition_supplier"))
    found = lists_table(inputs)
    assert found is not None
    first = next(i for i, row in enumerate(found.rows) if row[0] == "demand: forecast, mix")
    mix = [row[2:4] for row in found.rows[first : first + 8]]
    assert [item for item, _ in mix] == ["1", "2", "3", "4", "5", "6", "7", "8"]
    assert mix[4][1].startswith("product ceiling_banner; share 8 %; ")
    assert mix[7][1].startswith("product table_cover; share 8 %; ")
    repairs = [row[1:4] for row in found.rows if row[0] == "printers: breakdowns, repairs"]
    assert repairs[0] == ("printer 1", "1", "share 80 %; hours log-normal, median 2, 90 % below 5 h")
    listed = {one.path for one in inputs if one.of is not None}
    assert "printers.printer_1.modes.fast.passes" in listed
    assert not listed & {"printers.printer_1.print_width_m", "crews.packers.wage_per_h", "money.rent_per_m2_month"}
    assert [row[2] for row in given_table(inputs).rows if row[:2] == ("crews: shift", "day")] == [
        ", ".join(crew.id.replace("_", " ") for crew in of_demo("exhibition_supplier").crews if crew.shift == "day")
    ]


def test_what_the_file_says_beside_a_value() -> None:
    text = (
        "shop: {name: 'A # b'} # both\n"
        "# above, in\n# two lines\n"
        "money:\n  energy_per_kwh: 0.3\n  currency: EUR # euro # or so\n"
        "# ---- A heading ----\n"
        "study: {seed: 3}\n"
    )
    assert notes_beside(text, "x.yaml") == {
        "shop": "both", "shop.name": "both", "money": "above, in two lines", "money.currency": "euro # or so",
    }  # fmt: skip


def test_minutes_of_every_step_of_the_demos_have_their_row() -> None:
    names = ("flag_banner_shop", "frame_fabric_shop", "exhibition_supplier")
    values = [each for name in names for each in craft_values(of_demo(name))]
    found = {each.work: (each.made_of, each.row, each.basis) for each in values}
    assert found["sewing, pole pocket"] == ("0.35 min a metre, 0.3 min an end, 1 min a piece", "SEW-16", "from memory")
    assert found["cutting, hot knife"] == ("2.5 m of contour a minute", "CUT-02", "partly published")
    assert found["eyelets, automatic press"] == ("5 s each, 0.75 min a piece", "FIN-02", "from memory")
    assert found["packing, tube"][:2] == ("5 min a piece", "FIN-08")
    assert {"ironing", "frame fit", "inspection", "rods and hooks", "sewing, label", "cutting, laser"} <= set(found)
