"""What a file calls by a path is called on a page as the pages call it."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from app import state
from app.page_words import on_page
from shopsim.shop.changes import Change
from shopsim.shop.demos import DEMOS, Demo, files_of
from shopsim.shop.names import shop_by_name, words_for
from shopsim.shop.review.shop_review import shop_review
from shopsim.shop.scenario_edit import edit_scenario
from tests.app.visit import said, tiny, visit


@pytest.mark.parametrize(("text", "told"), [
    ("printers.p1.roll_change.full_min (line 57) should be measured", "“Full change” of “Big one” should be measured"),
    ("printers.p2.roll_change.full_min", "“Full change”"),
    ("stay longer on a fabric (stay_on_fabric_h, gang_min_web_m)",
     "stay longer on a fabric (“Stay on a cloth”, “Gang at least”)"),
    ("overtime (policies.overtime has none)", "overtime (House rules, Overtime has none)"),
    ("as the file has no `policies.working_time`",
     "as the file has no “House rules, Rest and working hours”"),
    # Names and all that no page has a title for stay as they are.
    ("“full_min” and e.g. 1.5 m of no_such_thing", "“full_min” and e.g. 1.5 m of no_such_thing"),
])  # fmt: skip
def test_paths_are_called_as_pages_call_them(text: str, told: str) -> None:
    assert on_page(text, {"p1": "“Big one”"}) == told


@pytest.mark.parametrize("demo", DEMOS, ids=lambda demo: demo.name)
def test_no_path_is_left_in_what_the_demos_are_told(demo: Demo) -> None:
    shop = state.drafts().new(files_of(demo)).shop()
    words = words_for(shop.scenario)
    for found in shop_review(shop_by_name(shop)):
        told = " ".join(on_page(text, words) for text in (found.headline, found.found, found.do))
        assert not re.findall(r"\w+_\w+|[a-z]+\.[a-z]+", re.sub("“[^”]*”", "", told)), told


def test_a_value_far_outside_is_told_by_its_title_and_printer(tmp_path: Path) -> None:
    draft = tiny(tmp_path)
    draft.put_text(edit_scenario(draft.text(), [Change("set", "printers.p1.roll_change.full_min", 0.5)]))
    assert "“Full change” of p1 should be measured or mended: far outside the usual range" in said(visit("shop", draft))


def test_rest_times_name_the_table_where_a_shop_gives_rules_of_its_own(tmp_path: Path) -> None:
    assert "as the file has no “House rules, Rest and working hours”" in said(visit("shifts", tiny(tmp_path)))
