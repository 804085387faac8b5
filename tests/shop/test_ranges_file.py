"""Files of ranges: read strictly, checked against their scenario, every fault with its place."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopsim.errors import RangesError
from shopsim.shop.ranges_file import InputRange, check_ranges, load_ranges, parse_ranges, with_values
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import load_scenario

SMALL = Path(__file__).parent / "small_shop.yaml"


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return load_scenario(SMALL)


def test_a_file_of_ranges(tmp_path: Path, scenario: Scenario) -> None:
    path = tmp_path / "ranges.yaml"
    path.write_text(
        """\
ranges:
  - {path: crews.sewers.count, low: 1, high: 4}
  - {path: crews.sewers.efficiency_pct, low: 70, high: 100, shape: triangular}
  - {path: 'demand.forecast.lead_days[1]', low: 4, high: 6, shape: triangular, likely: 5.5}
  - {path: policies.quality.print_fault_pct, low: 20, high: 30, shape: triangular}
""",
        encoding="utf-8",
    )
    found = load_ranges(path, scenario)
    assert [(one.given.path, one.now, one.whole, one.given.likely) for one in found] == [
        # What the file leaves out has its default: 100 % from the model, 3 to 8 days from the handbook.
        ("crews.sewers.count", 2, True, None), ("crews.sewers.efficiency_pct", 100, False, 100),
        ("demand.forecast.lead_days[1]", 5, False, 5.5),
        # Today's value lies outside the range: the triangle stands on the middle.
        ("policies.quality.print_fault_pct", found[3].now, False, 25),
    ]  # fmt: skip


def test_values_are_put_where_the_paths_lead(scenario: Scenario) -> None:
    ranges = check_ranges(
        [
            InputRange(path="crews.sewers.count", low=1, high=4),
            InputRange(path="demand.forecast.lead_days[1]", low=4, high=6),
        ],
        scenario, "form",
    )  # fmt: skip
    made = with_values(scenario, ranges, (3.0, 4.5))
    assert made.crews[1].count == 3
    assert made.demand.forecast is not None
    assert made.demand.forecast.lead_days.describe() != scenario.demand.forecast.lead_days.describe()  # type: ignore[union-attr]
    assert scenario.crews[1].count == 2


FAULTS = """\
ranges:
  - {path: crews.sewers.count, low: 1.5, high: 4}
  - {path: crews.nobody.count, low: 1, high: 4}
  - {path: crews.sewers.name, low: 1, high: 4}
  - {path: demand.forecast.lead_days, low: 1, high: 4}
  - {path: crews.sewers.efficiency_pct, low: 70, high: 2000}
  - {path: crews.sewers.efficiency_pct, low: 70, high: 80}
"""


def test_every_fault_has_its_place(scenario: Scenario) -> None:
    with pytest.raises(RangesError) as error:
        parse_ranges(FAULTS, "r.yaml", scenario)
    assert str(error.value).splitlines() == [
        "r.yaml:2:32: ranges[0].low: crews.sewers.count must be a whole number, found 1.5",
        "r.yaml:3:6: ranges[1].path: there is no item 'nobody'; known: print_crew, sewers",
        "r.yaml:4:6: ranges[2].path: crews.sewers.name must lead to a number, found ''",
        ("r.yaml:5:6: ranges[3].path: demand.forecast.lead_days must lead to a number, found a list of 3; give the "
         "path of one of its numbers"),
        "r.yaml:6:50: ranges[4].high: crews.sewers.efficiency_pct: must be at most 200, found 2000",
        "r.yaml:7:6: ranges[5].path: a second range for 'crews.sewers.efficiency_pct'",
    ]  # fmt: skip


@pytest.mark.parametrize(("text", "message"), [
    ("ranges: []", "r.yaml:1:1: ranges: must hold at least 1, found none"),
    ("ranges: [{path: a, low: 2, high: 1}]", "r.yaml:1:10: ranges[0]: `low` must be below `high`, found 2 and 1"),
    ("ranges: [{path: a, low: 1, high: 2, likely: 1}]",
     "r.yaml:1:10: ranges[0]: `likely` goes with the shape triangular"),
    ("ranges: [{path: a, low: 1, high: 2, shape: triangular, likely: 3}]",
     "r.yaml:1:10: ranges[0]: `likely` must be from 1 to 2, found 3"),
    ("ranges: [{path: a, low: 1, high: 2, top: 3}]",
     "r.yaml:1:37: ranges[0].top: unknown key 'top'; allowed: path, low, high, shape, likely"),
    ("ranges: [{path: crew.sewers.count, low: 1, high: 2}]",
     ("r.yaml:1:11: ranges[0].path: crew.sewers.count must lead to a number, but there is no 'crew'; did you mean "
      "'crews'?")),
    ("ranges: [{path: crews.sewers.count.more, low: 1, high: 2}]",
     "r.yaml:1:11: ranges[0].path: nothing can stand under 2"),
    ("spans: []", ("r.yaml:1:1: ranges: missing; give a list\n"
                  "r.yaml:1:1: spans: unknown key 'spans'; allowed: ranges")),
    ("ranges: &a []", "r.yaml:1:9: anchors and aliases (& and *) are not allowed; write the value out"),
])  # fmt: skip
def test_files_that_are_not_sound(scenario: Scenario, text: str, message: str) -> None:
    with pytest.raises(RangesError) as error:
        parse_ranges(text, "r.yaml", scenario)
    assert str(error.value) == message


def test_values_that_do_not_go_together_are_named(scenario: Scenario) -> None:
    ranges = check_ranges(
        [
            InputRange(path="products.banner.sizes[0].width_m", low=1, high=3),
            InputRange(path="fabrics.knit.roll_width_m", low=2.2, high=3.1),
        ],
        scenario, "form",
    )  # fmt: skip
    with pytest.raises(RangesError) as error:
        with_values(scenario, ranges, (3, 2.2))
    assert str(error.value).startswith(
        "with products.banner.sizes[0].width_m=3, fabrics.knit.roll_width_m=2.2: products.banner.sizes[0]: a piece "
    )


def test_ranges_without_a_file_name_the_path(scenario: Scenario) -> None:
    with pytest.raises(RangesError) as error:
        check_ranges([InputRange(path="crews.sewers.counts", low=1, high=4)], scenario, "--range")
    assert str(error.value) == "--range: crews.sewers.counts: crews.sewers.counts must lead to a number, found nothing"
