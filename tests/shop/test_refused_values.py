"""One value of a sound shop made impossible at a time, and what is said of it."""

from __future__ import annotations

import datetime
from pathlib import Path
from typing import Any

import pytest

from shopsim.errors import ScenarioError
from shopsim.shop.base import highest, read_distribution, write_distribution
from shopsim.shop.changes import Change
from shopsim.shop.order_rows import READERS
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.scenario_file import parse_scenario

SMALL = (Path(__file__).parent / "small_shop.yaml").read_text(encoding="utf-8")
SPELL = "crews.sewers.absence.spell_days"
BLOCK = "shifts.day.weeks[0].blocks[0]"
QUALITY = "policies.quality"
FIRST, LAST = datetime.date(2026, 1, 5), datetime.date(2028, 6, 30)
EDGES = {"op": "sew", "at": "machines", "all_edges": "hem", "edges": {"top": "hem"}}


def refusals(**changes: Any) -> list[str]:
    """What is said of the small shop with values set; `...` takes one away."""
    made = [Change("remove", path) if value is ... else Change("set", path, value) for path, value in changes.items()]
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(edit_scenario(SMALL, made), "s")
    return [str(problem).split(": ", 1)[1] for problem in caught.value.problems]


@pytest.mark.parametrize(
    ("changes", "message"),
    [
        ({SPELL: 1e-12}, f"{SPELL}: a distribution must be 0 or at least 1e-09, found 1e-12"),
        ({SPELL: {"erlang": {"mean": 3, "k": 2.5}}}, f"{SPELL}: k must be a whole number, found 2.5"),
        ({f"{QUALITY}.sewing_fault_pct": 100, f"{QUALITY}.sewing_repaired_pct": 99},
         f"{QUALITY}.sewing_fault_pct: must be below 100: at 100 some pieces are never good"),
        ({"calenders": [{"id": "drum", "reject_pct": 100, "people": 1}]},
         "calenders.drum.reject_pct: must be below 100: at 100 no piece is ever good"),
        ({"closed": [{"first": FIRST, "last": LAST}]}, "closed: leaves no day on which orders are collected"),
        ({"closed": [{"first": LAST, "last": FIRST}]}, ("closed[0]: the closure ends 2026-01-05 before it begins "
         "2028-06-30")),
        ({"closed": [{"first": LAST, "last": datetime.date(2031, 6, 30)}]},
         "closed[0]: a closure lasts at most 1000 days"),
        ({"shop.name": "x" * 121}, f"shop.name: must have at most 120 characters, found '{'x' * 58}…"),
        ({"demand.forecast.month_index": [0] * 12},
         "demand.forecast: `month_index` must have at least one value above 0"),
        ({"demand.forecast.lines_per_order": 20_000, "demand.forecast.orders_per_week": 1},
         "demand.forecast.lines_per_order: must be at most 10000 on average, found 20000"),
        ({"demand.forecast.mix[0].pieces": 2e5, "demand.forecast.orders_per_week": 1},
         "demand.forecast.mix[0].pieces: must be at most 100000 pieces on average, found 200000"),
        ({"demand.forecast.mix[0].pieces": 1e5, "demand.forecast.orders_per_week": 100, "study.weeks": 50},
         "demand.forecast: brings 8.11e+08 pieces in 52 weeks; at most 2e+07 can be simulated"),
        ({f"{BLOCK}.hours": "24:00-06:00"}, f"{BLOCK}: hours begin from 00:00 to 23:59, found 24:00-06:00"),
        ({f"{BLOCK}.breaks": ["09:00-09:30", "09:15-09:45"]},
         f"{BLOCK}: the break 09:15-09:45 overlaps the one before it, or stands out of order"),
        ({f"{BLOCK}.breaks": ["06:00-14:30"]}, f"{BLOCK}: the breaks leave no time to work in 06:00-14:30"),
        ({"products.banner.route[2]": EDGES}, "products.banner.route[2]: give either `edges` by side or `all_edges`"),
        ({"products.banner.fabric": ...}, "products.banner: a printed product needs a `fabric`"),
        ({"products.banner.route[0].printers": []},
         "products.banner.route[0].printers: name at least one printer, or leave `printers` out to allow all"),
        ({"products.banner.sizes": ..., "products.banner.size_range": {"area_m2": 0, "width_over_height": 1}},
         "products.banner.size_range.area_m2: must be greater than 0"),
        ({"products.banner.sizes": ..., "products.banner.size_range": {"area_m2": 1, "width_over_height": 0}},
         "products.banner.size_range.width_over_height: must be greater than 0"),
        ({"supplies.panel_overlap_m": 3.2, "products.banner.may_split": True, "products.banner.sizes[0].width_m": 8},
         "products.banner.sizes[0]: panels of a 3.06 m web are narrower than their seam, 3.2 m"),
        ({"printers.p1.fixation": 3}, "printers.p1.fixation: must be a group of `key: value`, found 3"),
        ({"shop.starts": "2026-01-06"},
         "shop.starts: must be a date like 2026-01-05 without quotes, found '2026-01-06'"),
        ({"printers.p1.modes": []}, "printers.p1.modes: must hold at least 1, found none"),
    ],
)  # fmt: skip
def test_a_value_that_cannot_be_is_refused_in_words(changes: dict[str, Any], message: str) -> None:
    assert message in refusals(**changes)


def test_a_number_that_is_none_is_refused_where_it_stands() -> None:
    text = SMALL.replace("count: 2", "count: 2, absence: {spell_days: .nan}")
    with pytest.raises(ScenarioError) as caught:
        parse_scenario(text, "s")
    assert str(caught.value) == "s:26:38: crews.sewers.absence.spell_days: not a number (NaN) is not allowed"


@pytest.mark.parametrize(
    ("form", "most"),
    [
        (3, 3), ([1, 2, 5], 5), ({"uniform": {"low": 1, "high": 4}}, 4), ({"empirical": [1, 7, 2]}, 7),
        ({"discrete": {"values": [1, 9], "weights": [1, 1]}}, 9), ({"exponential": {"mean": 2}}, float("inf")),
    ],
)  # fmt: skip
def test_the_greatest_value_of_each_form(form: Any, most: float) -> None:
    found = read_distribution(form)
    assert highest(found) == most
    assert read_distribution(found) is found
    assert read_distribution(write_distribution(found)) == found


@pytest.mark.parametrize(
    ("cell", "text"), [(1001.0, "1001"), ("'=A1", "=A1"), (" A1 ", "A1")]
)  # fmt: skip
def test_an_order_number_of_a_workbook(cell: Any, text: str) -> None:
    assert READERS["order_id"](cell) == text


@pytest.mark.parametrize(
    ("cell", "shown"),
    [(True, "true"), (datetime.date(2026, 1, 5), "2026-01-05"), (datetime.time(8, 30), "08:30:00")],
)
def test_what_is_no_order_number(cell: Any, shown: str) -> None:
    with pytest.raises(ValueError, match=f"^must be text, found {shown}$"):
        READERS["order_id"](cell)
