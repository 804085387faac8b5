"""Pictures of answers: drawn for every question, each with its words, as values that JSON holds."""

from __future__ import annotations

import datetime
import json
import re
from dataclasses import asdict, replace
from pathlib import Path

import pytest

from shopsim.answers import a_day
from shopsim.answers.as_we_are import AsWeAre
from shopsim.answers.comparison import WhatIfHelps
from shopsim.answers.crew import SmallestCrew
from shopsim.answers.growth import RoomToGrow
from shopsim.answers.payback import PaysBack, spending_of
from shopsim.answers.promise import PromiseADate
from shopsim.answers.question import Question, all_changed
from shopsim.answers.sensitivity import HangsOn
from shopsim.answers.shifts import ShiftPatterns
from shopsim.answers.warm_up import Settles
from shopsim.measures.day_bars import worked_by_day
from shopsim.pictures.text import number
from shopsim.shop.ranges_file import InputRange, Unsure, check_ranges
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.today_model import OpenLine, OpenOrder, Today
from shopsim.shop.what_if import Change, Spends, WhatIf
from shopsim.studies.comparison import Plan
from shopsim.studies.crew import CrewPlan, Sizes
from shopsim.studies.engine import LocalEngine
from shopsim.studies.growth import GrowthPlan
from shopsim.studies.payback_inputs import PaybackPlan, usual_ranges
from shopsim.studies.promise import PromisePlan
from shopsim.studies.runner import Runner
from shopsim.studies.sensitivity import Method, SensitivityPlan
from tests.doors.tiny import ORDERS, SHOP, write_shop

QUICK = WhatIf("Quick seams", (Change("set", "products.flag.route[1].minutes", 0.5),), "tiny.yaml",
               spends=Spends(once=1000, life_years=5))  # fmt: skip
_LINE = OpenLine(product="flag", pieces=20)
_ORDER = OpenOrder(
    order="A", received=datetime.datetime(2026, 1, 5, 7), due=datetime.date(2026, 1, 7), lines=(_LINE,)
)  # fmt: skip
METHODS: tuple[Method, ...] = ("bars", "morris", "sobol")
COST = "cost_per_week"
TUESDAY = Today(now=datetime.datetime(2026, 1, 6, 7), orders=(_ORDER,))


@pytest.fixture(scope="module")
def shop(tmp_path_factory: pytest.TempPathFactory) -> Shop:
    return load_shop(write_shop(tmp_path_factory.mktemp("tiny")))


def ranges(shop: Shop) -> tuple[Unsure, ...]:
    """One input that moves the cost, the hourly pay of a packer who is there for 40 hours, and one that does not."""
    given = (InputRange(path="crews.packer.wage_per_h", low=15, high=22),
             InputRange(path="study.on_time_target_pct", low=80, high=95))  # fmt: skip
    return check_ranges(given, shop.scenario, "ranges")


def questions(shop: Shop) -> list[tuple[Question, list[str]]]:
    given = {"scenario": "tiny.yaml", "shop": shop}
    unsure = ranges(shop)
    options = all_changed(shop, [[QUICK]])
    bought = PaybackPlan(2, spending_of(shop, options[0]))
    return [
        (AsWeAre(**given, count=2),
         ["lead time", "why late", "printers", "places", "crews", "work in the shop", "cloth"]),
        (WhatIfHelps(**given, changed=options, plan=Plan("count", 2)),
         ["orders on time", "days until nine in ten are out", "what is left over"]),
        (ShiftPatterns(**given, changed=options, plan=Plan("count", 2)), ["cost and dates"]),
        (SmallestCrew(**given, plan=CrewPlan((Sizes("sewer", 1, 2),), 0.6)), ["crews"]),
        (RoomToGrow(**given, changed=options, plan=GrowthPlan(2, at_most=2)), ["on time against demand"]),
        (PromiseADate(**given, today=TUESDAY, plan=PromisePlan(2)), ["open orders"]),
        (PaysBack(**given, changed=options[0], plan=replace(bought, ranges=usual_ranges(bought))),
         ["a year", "years", "worth", "what matters"]),
        (Settles(**given, count=2), ["settling"]),
        *((HangsOn(**given, ranges=unsure, plan=SensitivityPlan(method, COST, 2, trajectories=2, base_samples=8)),
           ["what matters"]) for method in METHODS),
    ]  # fmt: skip


def test_every_question_draws_its_pictures(shop: Shop) -> None:
    for question, names in questions(shop):
        drawn = list(question.pictures(question.study(Runner(LocalEngine(1)))))
        assert [picture.name for picture in drawn] == names
        for picture in drawn:
            json.dumps(asdict(picture), allow_nan=False)
            assert picture.figure["data"]
            assert picture.words


def test_the_spread_of_worth_says_in_what_its_cases_differ(shop: Shop) -> None:
    options = all_changed(shop, [[QUICK]])
    sure = PaybackPlan(2, spending_of(shop, options[0]))
    told = []
    for plan in (sure, replace(sure, ranges=usual_ranges(sure))):
        question = PaysBack(scenario="tiny.yaml", shop=shop, changed=options[0], plan=plan)
        pictures = {each.name: each.words for each in question.pictures(question.study(Runner(LocalEngine(1))))}
        told.append(pictures["worth"].rpartition(" CU, ")[2].partition(". ")[2])
    assert told == [
        "Cases differ by luck alone.",
        "Cases differ both by luck and by doubt about the inputs; with doubt alone they lie closer together.",
    ]


def words_of(question: Question) -> tuple[float, str]:
    """The cost of a week as it stands in the answer, and the words of its only picture."""
    found = question.study(Runner(LocalEngine(1)))
    (picture,) = question.pictures(found)
    return question.document(found)["without_doubt"]["mean"], picture.words


def test_what_an_answer_hangs_on_is_drawn_as_each_method_tells_it(shop: Shop) -> None:
    given = {"scenario": "tiny.yaml", "shop": shop, "ranges": ranges(shop)}
    cost, words = words_of(HangsOn(**given, plan=SensitivityPlan("bars", COST, 2)))
    # 40 hours at 15 and at 22 instead of 20.
    low, now, high = (number(cost + change) for change in (-200, 0, 80))
    assert words == (
        f"Total cost, CU a week, {now} now: crews.packer.wage per h from 15 to 22 moves it "
        f"from {low} to {high}; study.on time target pct from 80 to 95 moves it from {now} to {now}. What may be luck: "
        "study.on time target pct."
    )
    _, words = words_of(HangsOn(**given, plan=SensitivityPlan("morris", COST, 3, trajectories=6)))
    assert words == (
        "Effect on total cost over a whole range, CU a week: crews.packer.wage per h 280; "
        "study.on time target pct 0, which may be luck."
    )
    _, words = words_of(HangsOn(**given, plan=SensitivityPlan("sobol", COST, 2, base_samples=64)))
    assert re.fullmatch(
        r"Share of the variance of total cost, with others, %: crews.packer.wage per h "
        r"(100|9\d)[^;]*; study.on time target pct 0, which may be luck\.", words,
    )  # fmt: skip


def test_how_a_shop_settles_is_drawn_with_welchs_curve(shop: Shop) -> None:
    question = Settles(scenario="tiny.yaml", shop=shop, count=2)
    found = question.study(Runner(LocalEngine(1)))
    (picture,) = question.pictures(found)
    days, welch = picture.figure["data"]
    assert (days["y"], welch["y"]) == (list(found.by_day), list(found.smoothed))
    assert (welch["name"], len(days["y"]), len(welch["y"])) == ("smoothed", 56, 46)


def test_a_day_on_the_floor(shop: Shop) -> None:
    log = a_day.one_run(shop, 0)
    assert a_day.days_of(log, shop) == (datetime.date(2026, 1, 5), datetime.date(2026, 1, 11))
    queues, held = a_day.of_week(log, shop)
    assert (queues.name, held.name) == ("queues", "constraint")
    # As the sentence of all runs names it.
    assert "Most often the constraint: Mon the sewing table " in held.words
    drawn = list(a_day.of_day(log, shop, datetime.date(2026, 1, 5)))
    assert [picture.name for picture in drawn] == ["printers", "places", "persons", "plan"]
    # 20 + 10 + 100 flags at a minute each.
    assert drawn[0].words.startswith("Mon 05 Jan 2026. P1, 07:00 to 15:00: printing 2.2 h, ")
    # Everybody is there from 07:00 to 15:00; the last moment shown is ten minutes before that.
    assert drawn[3].words.startswith("Mon 05 Jan 2026, 07:00 to 14:50. ")
    assert list(a_day.of_day(log, shop, datetime.date(2026, 1, 10))) == []


def test_a_look_begins_on_the_busiest_day(tmp_path: Path) -> None:
    # 20 flags come on Monday and 110 on Wednesday: printed by noon, they are sewn and packed mostly on Thursday.
    first, *rest = ORDERS.split("\nB,")
    orders = "\nB,".join([first, *(each.replace("2026-01-05", "2026-01-07") for each in rest)])
    shop = load_shop(write_shop(tmp_path, orders=orders))
    log = a_day.one_run(shop, 0)
    worked = worked_by_day(log, shop.scenario)
    assert (len(worked), int(worked.argmax()), float(worked[5:].sum())) == (7, 3, 0.0)
    assert worked[0] < worked[2] < worked[3]
    assert a_day.busiest_day(log, shop) == datetime.date(2026, 1, 8)


def test_a_night_is_replayed_whole(tmp_path: Path) -> None:
    nights = SHOP.replace("07:00-15:00", "22:00-06:00").replace("12:00-12:30", "02:00-02:30")
    shop = load_shop(write_shop(tmp_path, nights))
    log = a_day.one_run(shop, 0)
    words = [list(a_day.of_day(log, shop, datetime.date(2026, 1, day)))[-1].words for day in (5, 6, 10)]
    # Monday begins at 22:00, Tuesday has the end of its first night and the begin of the next, Saturday the last end.
    assert [each.partition(". ")[0] for each in words] == [
        "Mon 05 Jan 2026, 22:00 to 23:50", "Tue 06 Jan 2026, 00:00 to 23:50", "Sat 10 Jan 2026, 00:00 to 05:50",
    ]  # fmt: skip
