"""Reading, writing, editing and describing scenario files."""

import datetime
import json
from pathlib import Path
from typing import Any

import pytest

from shopsim.errors import ScenarioError
from shopsim.shop.changes import Change
from shopsim.shop.handbook_warnings import handbook_warnings
from shopsim.shop.scenario_comments import with_comments
from shopsim.shop.scenario_dump import dump_scenario, plain
from shopsim.shop.scenario_edit import edit_scenario, save_scenario
from shopsim.shop.scenario_file import load_scenario, load_with_warnings, parse_scenario, scenario_schema
from shopsim.shop.yaml_tree import compose, locate
from shopsim.shop.yaml_writing import flow

HERE = Path(__file__).parent
SMALL = HERE / "small_shop.yaml"


UNUSUAL = """\
4:35: fabrics.knit.dwell_s: 0.7 is far outside the usual 20 to 75 (handbook MAT-11..18); was 42 meant?
4:49: fabrics.knit.mass_g_per_m2: 0.2 is far outside the usual 55 to 373 (handbook MAT-01..08); was 200 meant?
7:12: printers.p1.head.swath_m: 108 is far outside the usual 0.054 to 0.22 (handbook PRN-01); was 0.108 meant?
8:35: printers.p1.modes.fast.achieved_share: 0.5 is outside the usual 0.6 to 0.98 (handbook PRN-08)
9:19: printers.p1.roll_change.full_min: a mean of 1680 is far outside the usual 20 to 38 (handbook CHG-02..09); \
was 28 meant?
10:20: printers.p1.nozzle_check.fails_pct: 0.1 is far outside the usual 5 to 25 (handbook NOZ-03); was 10 meant?
21:76: demand.forecast.lead_days: 9 is outside the usual 3 to 8 (handbook DEM-13)
"""


def test_a_usual_shop_gives_no_warnings() -> None:
    assert load_with_warnings(SMALL)[1] == []


def test_unusual_values_are_told_with_their_row_and_place(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(HERE)
    scenario, warnings = load_with_warnings("unusual.yaml")
    told = [str(warning).removeprefix("unusual.yaml:") for warning in warnings]
    assert told == UNUSUAL.splitlines()
    # Without a text they come in the order of the models' fields.
    assert sorted(w.message for w in handbook_warnings(scenario)) == sorted(w.message for w in warnings)


def test_family_values_are_defaults() -> None:
    flag = load_scenario(SMALL).by_id("fabrics")["flag"]
    assert flag.mass_g_per_m2 == 115
    assert flag.model_fields_set == {"id", "family", "may_turn"}


def test_a_dumped_scenario_reads_back_equal_and_short() -> None:
    scenario = load_scenario(SMALL)
    text = dump_scenario(scenario)
    assert parse_scenario(text, "dumped") == scenario
    assert "- {id: knit, family: front_lit}\n" in text
    assert "- {op: sew, at: machines, all_edges: hem}\n" in text
    assert "print_width_m" not in text


TEXT = """\
# Our shop
shop:   {name: "Small",  starts: 2026-01-05}   # a Monday

printers:
  # the old one
  - id: p1
    print_width_m: 3.1     # measured
    modes:
      - {id: fast, passes: 2}   # banners
      - id: fine
        passes: 8

  - id: p2
    modes: [{id: fast, passes: 3}]
notes: |
  two
  lines
# the end
"""


@pytest.mark.parametrize(
    ("change", "old", "new"),
    [
        (Change("set", "printers.p1.print_width_m", 1.6), "3.1     # measured", "1.6     # measured"),
        (Change("set", "shop.name", "Café: 2"), 'name: "Small",  st', 'name: "Café: 2",  st'),
        (Change("set", "shop.note", "x"), "2026-01-05}   #", "2026-01-05, note: x}   #"),
        (Change("set", "printers.p1.modes.fine.passes", 6), "        passes: 8", "        passes: 6"),
        (
            Change("set", "printers.p1.head.swath_m", 0.1),
            "        passes: 8\n",
            "        passes: 8\n    head: {swath_m: 0.1}\n",
        ),
        (
            Change("add", "printers.p1.modes", {"id": "draft", "passes": 1}),
            "        passes: 8\n",
            "        passes: 8\n      - {id: draft, passes: 1}\n",
        ),
        (
            Change("add", "printers[1].modes", {"id": "draft", "passes": 1}),
            "passes: 3}]",
            "passes: 3}, {id: draft, passes: 1}]",
        ),
        (Change("remove", "printers.p1.modes.fast"), "      - {id: fast, passes: 2}   # banners\n", ""),
        (Change("remove", "printers.p1.print_width_m"), "    print_width_m: 3.1     # measured\n", ""),
        (Change("remove", "printers.p1.id"), "  - id: p1\n    print_width_m", "  - print_width_m"),
        (Change("remove", "printers.p2.modes.fast"), "[{id: fast, passes: 3}]", "[]"),
        (Change("set", "notes", "one line"), "|\n  two\n  lines", "one line"),
        (Change("set", "closed", []), "  lines\n", "  lines\nclosed: []\n"),
    ],
)
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
def test_an_edit_changes_its_place_and_no_other_byte(change: Change, old: str, new: str, newline: str) -> None:
    assert TEXT.count(old) == 1
    edited = edit_scenario(TEXT.replace("\n", newline), [change])
    assert edited == TEXT.replace(old, new).replace("\n", newline)


@pytest.mark.parametrize(
    ("change", "message"),
    [
        (Change("set", "printers.p3.print_width_m", 1), "there is no item 'p3'; known: p1, p2"),
        (Change("set", "printers[2].id", "x"), "there is no item [2]; the list holds 2, counted from 0"),
        (Change("set", "shop.name.first", "x"), "nothing can stand under 'Small'"),
        (Change("set", "shop[0]", 1), "[0] stands where there is no list"),
        (Change("set", "printers..id", 1), "not a path: 'printers..id'"),
        (Change("set", "", 1), "not a path: ''"),
        (Change("add", "shop.name", 1), "'shop.name' is not a list, so nothing can be added to it"),
        (Change("remove", "printers.p1.head.swath_m"), "there is no 'printers.p1.head.swath_m' to remove"),
        (Change("remove", "closed"), "there is no 'closed' to remove"),
        (
            Change("set", "printers.p1.print_width_m", float("nan")),
            "printers.p1.print_width_m: this place cannot be changed in the text; edit the file by hand",
        ),
    ],
)
def test_a_change_that_does_not_fit_is_refused(change: Change, message: str) -> None:
    with pytest.raises(ScenarioError) as caught:
        edit_scenario(TEXT, [change], "shop.yaml")
    assert message in str(caught.value)


def test_the_first_and_the_last_key_of_a_file() -> None:
    assert edit_scenario("{}\n", [Change("set", "notes", "x")]) == "notes: x\n"
    with pytest.raises(ScenarioError, match=r"^s: notes: is the only key of the file and cannot be removed$"):
        edit_scenario("notes: x\n", [Change("remove", "notes")], "s")


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (datetime.datetime(2026, 1, 5, 9, 30), "2026-01-05 09:30:00"),
        (datetime.date(2026, 1, 5), "2026-01-05"),
        ([1.5, float("inf"), float("-inf"), float("nan")], "[1.5, .inf, -.inf, .nan]"),
        ({"a": None, "b": [True, 2e15]}, "{a: null, b: [true, 2000000000000000.0]}"),
    ],
)
def test_values_on_one_line(value: Any, text: str) -> None:
    assert flow(value) == text


def test_what_no_file_can_hold_is_not_written() -> None:
    with pytest.raises(TypeError, match=r"^cannot be written as YAML: 1j$"):
        flow({"a": [1j]})
    with pytest.raises(TypeError, match=r"^no part of a scenario: 1j$"):
        plain([1j])


def test_texts_too_long_to_be_read_and_numbers_too_long_to_be_one() -> None:
    with pytest.raises(ScenarioError, match=r"^s: must be at most 2 MB$"):
        parse_scenario(f"# {'x' * 2_000_000}\n", "s")
    with pytest.raises(ScenarioError, match=r"^s:1:8: a number of 401 digits is too long$"):
        parse_scenario(f"study: {'9' * 401}\n", "s")
    with pytest.raises(ScenarioError, match=r"must be a group of `key: value`, found 2026-01-05 12:00:00"):
        parse_scenario("shop: 2026-01-05T12:00:00\n", "s")


def test_a_place_is_that_of_the_last_part_that_is_there() -> None:
    root = compose(TEXT, "s")
    assert locate(root, ("shop", "name", "first")) == locate(root, ("shop", "name")) == (2, 10)
    assert locate(root, ("printers", 5)) == locate(root, ("printers",)) == (4, 1)
    assert locate(root, ("printers", 1, "modes", 0, "passes")) == (14, 24)


def test_a_comment_stays_one() -> None:
    assert with_comments("a: 1\n", {"a": "two"}, "head\n\nmore") == "# head\n#\n# more\n# two\na: 1\n"
    with pytest.raises(ValueError, match=r"^the comments would change the file$"):
        with_comments("a: 1\n", {"a": "two\nb: 2"})


def test_saving_changes_all_or_nothing(tmp_path: Path) -> None:
    path = tmp_path / "shop.yaml"
    path.write_bytes(SMALL.read_bytes())
    saved = save_scenario(path, [Change("set", "work_centres.machines.seats", 4), Change("set", "study.seed", 7)])
    assert saved == load_scenario(path)
    assert (saved.by_id("work_centres")["machines"].seats, saved.study.seed) == (4, 7)
    before = path.read_bytes()
    with pytest.raises(ScenarioError) as caught:
        save_scenario(path, [Change("set", "work_centres.machines.seats", 5), Change("set", "study.seed", -1)])
    assert (
        str(caught.value).replace(str(path), "shop.yaml") == "shop.yaml:40:9: study.seed: must be at least 0, found -1"
    )
    assert path.read_bytes() == before
    assert [file.name for file in tmp_path.iterdir()] == ["shop.yaml"]


def test_the_schema_quotes_the_handbook() -> None:
    schema = scenario_schema()
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    assert schema["$defs"]["Head"]["properties"]["swath_m"]["description"] == "Handbook PRN-01; usual 0.054 to 0.22."
    assert "handbook_row" not in json.dumps(schema)
    assert schema["additionalProperties"] is False
