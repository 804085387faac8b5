"""Questions: what their keys depend on, and that they answer as the command line does."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from shopsim.answers.as_we_are import AsWeAre
from shopsim.answers.comparison import WhatIfHelps, usual_plan
from shopsim.answers.crew import SmallestCrew, size_faults
from shopsim.answers.growth import RoomToGrow
from shopsim.answers.payback import PaysBack
from shopsim.answers.plain import json_text
from shopsim.answers.question import Question, all_changed, changed, notes_of
from shopsim.cli import main
from shopsim.errors import InputError
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import Change, Spends, WhatIf
from shopsim.studies.cash_flow import Spending
from shopsim.studies.comparison import Plan
from shopsim.studies.crew import WHOLE, Candidate, CrewAnswer, CrewPlan, Sizes
from shopsim.studies.engine import Engine, LocalEngine
from shopsim.studies.growth import GrowthPlan
from shopsim.studies.payback import PaybackPlan
from shopsim.studies.replicate import Replications
from shopsim.studies.runner import Runner
from tests.doors.tiny import write_shop
from tests.studies.given import GivenEngine, row

QUICK = WhatIf("Quick seams", (Change("set", "products.flag.route[1].minutes", 0.5),), "tiny.yaml", "new folders")


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return load_shop(write_shop(tmp_path))


def as_we_are(shop: Shop) -> AsWeAre:
    return AsWeAre(scenario="tiny.yaml", shop=shop, count=2)


def test_equal_questions_have_one_key(shop: Shop, tmp_path: Path) -> None:
    assert as_we_are(shop).key == as_we_are(load_shop(tmp_path / "tiny.yaml")).key


def test_whatever_the_answer_hangs_on_changes_the_key(shop: Shop) -> None:
    asked = as_we_are(shop)
    plan = Plan("count", 2)
    helps = WhatIfHelps(scenario="tiny.yaml", shop=shop, changed=all_changed(shop, [[QUICK]]), plan=plan)
    paid = all_changed(shop, [[replace(QUICK, spends=Spends(once=5.0))]])
    others = [
        replace(asked, scenario="other.yaml"),
        replace(asked, count=3),
        replace(asked, shop=changed(shop, [QUICK]).shop),
        replace(asked, shop=replace(shop, order_lines=shop.order_lines[:-1])),
        helps,
        replace(helps, plan=Plan("count", 3)),
        replace(helps, changed=all_changed(shop, [[replace(QUICK, note="")]])),
        replace(helps, changed=paid),
    ]
    assert len({asked.key, *(other.key for other in others)}) == 1 + len(others)


def test_a_document_is_what_the_command_line_prints(
    shop: Shop, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    path = str(tmp_path / "tiny.yaml")
    assert main(["run", path, "--replications", "2", "--workers", "1", "--json", "-"]) == 0
    asked = AsWeAre(scenario=path, shop=shop, count=2)
    found = asked.study(Runner(LocalEngine(1)))
    assert json_text(asked.document(found)) == capsys.readouterr().out
    assert asked.settled(found)


def test_options_need_names_of_their_own(shop: Shop) -> None:
    with pytest.raises(InputError) as told:
        all_changed(shop, [[QUICK], [QUICK]])
    assert str(told.value) == "a second option named 'Quick seams'"


def test_notes_are_those_of_the_file_and_the_cautions_that_come_with_it(shop: Shop) -> None:
    table = WhatIf("Table", (Change("copy", "work_centres.sewing_table", {"id": "second_table"}),), "tiny.yaml")
    assert notes_of(shop, changed(shop, [QUICK])) == ["new folders"]
    assert notes_of(shop, changed(shop, [QUICK, table]))[:2] == [
        "new folders",
        (
            "Needles: sewing table; second table. Guards on; machine off for threading, as the maker's manual says "
            "(SAF-05)."
        ),
    ]


def test_head_counts_that_cannot_be_tried(shop: Shop) -> None:
    name = shop.scenario.crews[0].id
    known = ", ".join(crew.id for crew in shop.scenario.crews)
    assert size_faults([Sizes(name, 1, 3)], shop.scenario) == []
    assert size_faults([Sizes("nobody", 1, 2)], shop.scenario) == [f"there is no crew 'nobody'; the file has {known}"]
    assert size_faults([Sizes(name, 1, 11), Sizes(name, 1, 11)], shop.scenario) == [
        "names a crew twice", "asks for 121 crews, at most 100 can be tried at once",
    ]  # fmt: skip


def test_shares_are_asked_for_in_points_and_all_else_as_a_share_of_the_base() -> None:
    assert usual_plan("on_time_share", 50) == Plan("precision", half_width=0.02, at_most=50)
    assert usual_plan("margin_per_week") == Plan("precision", share_of_base=0.05, at_most=400)


def test_a_crew_that_stays_open_for_a_block_of_weeks_is_not_settled(shop: Shop) -> None:
    plan = CrewPlan((Sizes("sewer", 1, 1),), 0.9, block_weeks=1)
    question = SmallestCrew(scenario="tiny.yaml", shop=shop, plan=plan)
    rows = Replications(shop.scenario, ())
    crew = Candidate({"sewer": 1}, rows, {})
    assert question.settled(CrewAnswer(plan, (crew,), {WHOLE: crew}, {}))
    assert not question.settled(CrewAnswer(plan, (crew,), {WHOLE: crew, "week 1": None}, {"week 1": (crew, 40)}))


def shown_on_the_way(question: Question[Any], engine: Engine | None = None) -> list[Any]:
    """What each look tells before the answer, which is the same as without looks."""
    shown: list[Any] = []
    engine = engine or LocalEngine(1)
    found = question.study_showing(Runner(engine), shown.append)
    assert question.answer(found) == question.answer(question.study(Runner(engine)))
    return shown


def test_the_first_runs_tell_something_of_every_question(shop: Shop) -> None:
    given = {"scenario": "tiny.yaml", "shop": shop}
    changes = all_changed(shop, [[QUICK]])
    (first,) = shown_on_the_way(WhatIfHelps(**given, changed=changes, plan=Plan("count", 6)))
    assert (first.runs, len(first.options["Quick seams"].rows)) == (4, 4)
    assert shown_on_the_way(WhatIfHelps(**given, changed=changes, plan=Plan("count", 4))) == []
    growing = RoomToGrow(**given, plan=GrowthPlan(5, (1.0, 2.0)))
    (first,) = shown_on_the_way(growing)
    assert {len(rows.rows) for rows in first.base.by_factor.values()} == {4}
    (first,) = shown_on_the_way(PaysBack(**given, changed=changes[0], plan=PaybackPlan(5, Spending(1000.0))))
    assert len(first.runs.npv_cu) == 4


def test_every_round_of_a_crew_search_and_of_a_comparison_tells_how_far_it_is(shop: Shop) -> None:
    given = {"scenario": "tiny.yaml", "shop": shop}
    engine = GivenEngine(lambda _, number: row(number, {"on_time_share": 0.9 + number % 5 / 100}))
    crews = CrewPlan((Sizes("sewer", 1, 1),), 0.92, 0.0001, at_most=60)
    looks = shown_on_the_way(SmallestCrew(**given, plan=crews), engine)
    assert [len(look.candidates[0].found.rows) for look in looks] == [20, 30, 45]
    plan = Plan("precision", half_width=1e-9, at_most=30)
    uneven = GivenEngine(lambda which, number: row(number, {"on_time_share": len(which.name) * (number % 3) / 100}))
    looks = shown_on_the_way(WhatIfHelps(**given, changed=all_changed(shop, [[QUICK]]), plan=plan), uneven)
    assert [look.runs for look in looks] == [4, 10]
    assert not any(look.settled for look in looks)


def test_what_json_cannot_hold_becomes_null() -> None:
    text = json_text({"a": (float("nan"), float("inf"), 1.5), "b": "é"})
    assert json.loads(text) == {"a": [None, None, 1.5], "b": "é"}
    assert "é" in text
