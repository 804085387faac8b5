"""Sentences of studies, from rows made by hand: never more than the interval allows."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from io import StringIO
from typing import Any

import numpy as np
import pytest
from rich.console import Console

from shopsim.measures.measure_names import UNITS
from shopsim.sentences.comparison import compared
from shopsim.sentences.crews import crew_found
from shopsim.sentences.measure_phrases import PHRASES
from shopsim.sentences.settled import settled
from shopsim.sentences.words import constraints_told
from shopsim.studies.comparison import Plan, compare_options
from shopsim.studies.crew import WHOLE, CrewAnswer, CrewPlan, Sizes, smallest_crew
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
from shopsim.studies.settling import Settling
from shopsim.terminal.compare_page import print_compare
from shopsim.terminal.crew_page import print_crew
from shopsim.terminal.tables import NotePad
from tests.studies.given import GivenEngine, option, row
from tests.telling.rows import scenario

UP_AND_DOWN = (0.01, -0.01, 0.0, 0.02, -0.02)


def told(levels: dict[int, float], own: float = 0.0, count: int = 5, measure: str = "on_time_share",
         scale: float = 1.0, currency: str = "CU") -> tuple[str, str]:  # fmt: skip
    """Heads 1 is the base; every level goes up and down alike, and the options by `own` for themselves."""

    def made(which: Option, number: int) -> Replication:
        heads = which.scenario.crews[0].count
        alone = own * UP_AND_DOWN[(number * 2 + heads) % 5] if heads > 1 else 0.0
        value = scale * (levels[heads] + UP_AND_DOWN[number % 5] + alone)
        return row(number, {measure: value, "margin_per_week": 1000.0 + 200 * heads + 1000 * UP_AND_DOWN[number % 5]},
                   constraint={"sewing people" if heads == 1 else "printer_1": 0.6})  # fmt: skip

    names = {2: "Second table", 3: "Late shift", 4: "New rule"}
    options = [option(names[heads], heads) for heads in levels if heads > 1]
    base = option("base")
    money = base.scenario.money.model_copy(update={"currency": currency})
    base = Option("base", base.scenario.model_copy(update={"money": money}))
    return compared(compare_options(Runner(GivenEngine(made)), base, options, Plan("count", count), measure))


def test_a_clear_effect() -> None:
    sentence, below = told({1: 0.80, 2: 0.90}, own=0.5, count=10)
    assert sentence == (
        "“Second table” lifts on-time delivery from 80 % to 90 % (+10.0 points, 95 % interval +9.4 to +10.6), leaves "
        "200 CU more a week, and moves the constraint from the people of crew new sewers to printer 1."
    )
    assert below == (
        "10 replications of 13 weeks each, after a warm-up of 2 weeks, which does not count; the same orders for all "
        "saved a factor of 11 (3.4 to 36)."
    )


def test_what_cannot_be_told_is_not_told_and_says_what_would_settle_it() -> None:
    sentence, below = told({1: 0.80, 2: 0.801}, own=1.0, count=10)
    assert sentence.startswith(
        "“Second table” cannot be told from the shop as it stands: on-time delivery 80.1 % against 80.0 % (+0.1 "
        "points, 95 % interval −1.0 to +1.2)"
    )
    # (1.960 + 0.842) squared times the variance of the differences, 10 x 0.0002 / 9, over 0.001 squared.
    assert below.startswith("“Second table”: about 1,737 more replications would settle whether it differs from the ")


def test_few_runs_plan_nothing_and_save_nothing_that_can_be_told() -> None:
    _, below = told({1: 0.80, 2: 0.801}, own=1.0)
    assert below == (
        "“Second table”: 5 replications are too few to plan from; 30 are a start. 5 replications of 13 weeks each, "
        "after a warm-up of 2 weeks, which does not count."
    )


def test_no_effect_at_all() -> None:
    sentence, _ = told({1: 0.80, 2: 0.80})
    assert sentence.startswith("“Second table” changes nothing in any of 5 runs: on-time delivery is 80.0 % either way")


def test_two_options_alike_in_every_run_may_both_be_best() -> None:
    sentence, _ = told({1: 0.80, 2: 0.90, 3: 0.90})
    assert sentence.startswith("Of 2 changes, “Second table” does best, though “Late shift” may be as good: it lifts ")


def test_one_replication_has_no_interval() -> None:
    sentence, below = told({1: 0.80, 2: 0.90}, count=1)
    assert sentence.startswith(
        "“Second table” takes on-time delivery from 81 % to 91 % (+10 points, one replication only)"
    )
    assert below.startswith("One replication of 13 weeks, after")


def test_the_best_of_several_and_who_may_be_as_good() -> None:
    sentence, _ = told({1: 0.80, 2: 0.90, 3: 0.901, 4: 0.81}, own=1.0)
    assert sentence.startswith(
        "Of 3 changes, “Late shift” does best, though “Second table” may be as good: it lifts on-time delivery from "
        "80 % to 90 % (+10 points, 95 % interval +7 to +13), leaves 400 CU more a week"
    )


def test_what_is_said_together_of_several_changes_does_not_hold_at_once() -> None:
    at_once = " Intervals of each kind hold at once for all changes, what is said together does not."
    assert told({1: 0.80, 2: 0.90, 3: 0.901})[1].endswith(f"which does not count.{at_once}")
    assert at_once not in told({1: 0.80, 2: 0.90})[1]
    assert at_once not in told({1: 0.80, 2: 0.90, 3: 0.901}, count=1)[1]


def test_by_which_runs_the_best_is_judged_is_told_where_some_have_more() -> None:
    def made(which: Option, number: int) -> Replication:
        heads, luck = which.scenario.crews[0].count, UP_AND_DOWN[number % 5]
        alone = {1: 0.0, 2: luck / 10, 3: UP_AND_DOWN[(number + 1) % 5]}[heads]
        return row(number, {"on_time_share": 0.8 + luck + alone + (0.1 if heads == 2 else 0), "margin_per_week": 0.0})

    options = [option("Second table", 2), option("Late shift", 3)]
    judged = " Which of them does best is judged by the first 10 replications, which all have."
    found = compare_options(Runner(GivenEngine(made)), option("base"), options, Plan("clear", at_most=20))
    assert [len(each.rows) for each in found.options.values()] == [10, 20]
    assert compared(found).below.endswith(judged)
    alike = compare_options(Runner(GivenEngine(made)), option("base"), options, Plan("count", 10))
    assert judged not in compared(alike).below


def test_of_many_that_may_be_as_good_one_is_named() -> None:
    sentence, _ = told({1: 0.80, 2: 0.90, 3: 0.901, 4: 0.8995}, own=1.0)
    assert sentence.startswith(
        "Of 3 changes, “Late shift” does best, though “Second table” and 1 other may be as good: it lifts on-time "
    )


def test_of_equals_it_is_told_who_surely_leaves_more_over_and_who_surely_harms() -> None:
    sentence, _ = told({1: 0.80, 2: 0.901, 3: 0.90, 4: 0.70}, own=1.0)
    assert sentence.startswith(
        "Of 3 changes, “Second table” does best, though “Late shift” may be as good: it lifts on-time delivery from "
    )
    assert sentence.endswith(
        ". “Late shift” surely leaves 200 CU more a week than “Second table”. Surely worse than the shop as it stands: "
        "“New rule” (−10 points, 95 % interval −13 to −7)."
    )


def test_of_equals_those_that_surely_leave_less_over_are_named() -> None:
    sentence, _ = told({1: 0.80, 2: 0.90, 3: 0.8995, 4: 0.901}, own=1.0)
    assert sentence.endswith(". “New rule” surely leaves more over than “Second table” and “Late shift”.")


def test_a_calm_small_gain_beside_a_wild_larger_one_is_told() -> None:
    """The best mean is not sure, another is: `none surely improves` would be false."""

    def made(calm: tuple[int, ...]) -> Callable[[Option, int], Replication]:
        def one(which: Option, number: int) -> Replication:
            heads = which.scenario.crews[0].count
            luck = UP_AND_DOWN[number % 5]
            gain = {1: 0.0, 2: 0.05 + 10 * UP_AND_DOWN[(number + 1) % 5]}.get(heads, 0.02 + 0.1 * luck)
            return row(number, {"on_time_share": 0.8 + luck + (gain if heads in (1, 2, *calm) else -luck / 10)})

        return one

    names = {2: "Second table", 3: "Late shift", 4: "New rule"}
    options = [option(names[heads], heads) for heads in names]

    def sentence(*calm: int) -> str:
        return compared(compare_options(Runner(GivenEngine(made(calm))), option("base"), options, Plan("count", 10))
                        ).sentence  # fmt: skip

    one = sentence(3)
    assert one.startswith(
        "Of 3 changes, “Second table” does best, though “Late shift” and 1 other may be as good: it cannot be told "
    )
    assert one.endswith(
        " “Late shift” (+2.00 points, 95 % interval +1.86 to +2.14) surely improves on the shop as it stands."
    )
    assert sentence(3, 4).endswith(
        " Surely better than the shop as it stands: “Late shift” (+2.00 points, 95 % interval +1.86 to +2.14) and “New "
        "rule” (+2.00 points, 95 % interval +1.86 to +2.14)."
    )
    assert sentence().startswith(
        "Of 3 changes, none surely improves on the shop as it stands; “Second table” does best, though "
    )


def test_of_hours_those_that_take_longer_harm() -> None:
    sentence, _ = told({1: 0.80, 2: 0.60, 3: 0.90}, own=0.1, measure="lead_time_p90_h", scale=100)
    assert sentence.endswith(
        ". Surely worse than the shop as it stands: “Late shift” (+10.0 h, 95 % interval +9.7 to +10.3)."
    )


def unattended(name: str, heads: int) -> Option:
    made_of = option(name, heads)
    alone = tuple(p.model_copy(update={"unattended_running": True}) for p in made_of.scenario.printers)
    return Option(name, made_of.scenario.model_copy(update={"printers": alone}))


def test_hot_machines_with_nobody_there_never_lead_without_what_decides_first() -> None:
    def made(which: Option, number: int) -> Replication:
        level = 0.7 + 0.1 * which.scenario.crews[0].count
        return row(number, {"on_time_share": level + 0.1 * UP_AND_DOWN[number % 5], "margin_per_week": 1000.0})

    alone, base = unattended("Evening", 3), option("base")
    runner, count = Runner(GivenEngine(made)), Plan("count", 5)
    caution = "“Evening” (a hot machine with nobody there: SAF-08 decides first)"
    one, _ = compared(compare_options(runner, base, [alone], count))
    assert one.startswith(f"{caution} lifts on-time delivery from 80.0 % to 100.0 %")
    several, _ = compared(compare_options(runner, base, [option("Second table", 2), alone], count))
    assert several.startswith(f"Of 2 changes, {caution} does best: it lifts on-time delivery from 80.0 % to 100.0 %")
    # A shop whose printers run alone as it stands is not asked to do so by the change.
    known, _ = compared(compare_options(runner, unattended("base", 1), [alone], count))
    assert known.startswith("“Evening” lifts on-time delivery")


def test_a_gain_in_money_or_a_harm_does_not_name_them_without_it_either() -> None:
    caution = "“Evening” (a hot machine with nobody there: SAF-08 decides first)"

    def made(level: float) -> Callable[[Option, int], Replication]:
        def one(which: Option, number: int) -> Replication:
            heads = which.scenario.crews[0].count
            share = {1: 0.8, 2: 0.9, 3: level}[heads] + UP_AND_DOWN[(number + heads) % 5]
            return row(number, {"on_time_share": share, "margin_per_week": 1000.0 + 200 * heads})

        return one

    options = [option("Second table", 2), unattended("Evening", 3)]
    as_good, _ = compared(compare_options(Runner(GivenEngine(made(0.899))), option("base"), options, Plan("count", 10)))
    assert f" {caution} surely leaves 200 CU more a week than “Second table”." in as_good
    harms, _ = compared(compare_options(Runner(GivenEngine(made(0.7))), option("base"), options, Plan("count", 10)))
    assert f"Surely worse than the shop as it stands: {caution} (−10" in harms
    none, below = compared(
        compare_options(Runner(GivenEngine(made(0.8))), option("base"), options[1:], Plan("count", 10))
    )
    assert none.startswith(f"{caution} cannot be told from the shop as it stands")
    assert below.startswith(f"{caution}: ")


@pytest.mark.parametrize(("shares", "told_of_it"), [
    ((0.6, 0.1), ", and leaves printer 1 as the constraint."),
    ((0.4, 0.39), ", and may leave printer 1 as the constraint."),
])  # fmt: skip
def test_a_constraint_that_stays_is_told_as_sure_as_the_runs_are(shares: tuple[float, float], told_of_it: str) -> None:
    def made(which: Option, number: int) -> Replication:
        moved = 2 * UP_AND_DOWN[number % 5]
        held = {"printer_1": shares[0] + moved, "sewing people": shares[1] - moved}
        return row(number, {"on_time_share": 0.8, "margin_per_week": 0.0}, constraint=held)

    found = compare_options(Runner(GivenEngine(made)), option("base"), [option("Second table", 2)], Plan("count", 10))
    assert compared(found).sentence.endswith(told_of_it)


def test_a_change_that_turns_more_orders_away_does_not_look_better_without_it() -> None:
    """Half of the gain may be orders refused: it stands in the sentence, below it and in the table."""

    def made(which: Option, number: int) -> Replication:
        heads, luck = which.scenario.crews[0].count, UP_AND_DOWN[number % 5]
        away = {1: 0.1 + luck, 2: 0.3 + luck, 3: 0.0}[heads]
        return row(number, {"on_time_share": 0.7 + 0.1 * heads + luck, "margin_per_week": 1000.0,
                            "turned_away_share": away})  # fmt: skip

    base, two, three = option("base"), option("Second table", 2), option("Late shift", 3)
    found = compare_options(Runner(GivenEngine(made)), base, [two], Plan("count", 10))
    sentence, below = compared(found)
    assert sentence.endswith(" points), turns more orders away (30.0 %, 10.0 % as it stands).")
    assert below.endswith(" Up to 30 % of orders were turned away; they do not count as late.")
    pad = NotePad()
    print_compare(pad, found, compared(found), {"Second table": []}, {"Second table": []})
    assert ("Turned away, of orders received", "10.0", "30.0", "+20", "", "%") in [
        (*row[:5], row[-1]) for row in pad.tables[-1].rows
    ]
    fewer = compared(compare_options(Runner(GivenEngine(made)), base, [three], Plan("count", 10))).sentence
    assert ", turns fewer orders away (0 %, 10.0 % as it stands)" in fewer


def test_a_crew_that_turns_orders_away_does_not_look_better_without_it() -> None:
    def made(which: Option, number: int) -> Replication:
        heads = which.scenario.crews[0].count
        shares = {"on_time_share": {2: 0.90, 3: 0.97}[heads], "turned_away_share": {2: 0.004, 3: 0.25}[heads]}
        return row(number, shares, money_per_week={"wages": 900.0 * heads})

    found = smallest_crew(Runner(GivenEngine(made)), option("base"), CrewPlan((Sizes("new_sewers", 2, 3),), 0.95))
    sentence, below = crew_found(found)
    assert " (97 %, with 25 % of orders turned away), at " in sentence
    assert " fall short with 90 %, with 0.4 % of orders turned away;" in sentence
    assert below.endswith(" Up to 25 % of orders were turned away; they do not count as late.")


def test_runs_that_ended_with_the_wanted_precision_say_so() -> None:
    def made(which: Option, number: int) -> Replication:
        heads = which.scenario.crews[0].count
        return row(number, {"on_time_share": 0.7 + 0.1 * heads + UP_AND_DOWN[number * heads % 5]})

    runner, options = Runner(GivenEngine(made)), (option("base"), [option("Second table", 2)])
    below = compared(compare_options(runner, *options, Plan("precision", half_width=0.05))).below
    ended = (
        " They ended when the wanted precision was reached: such intervals hold less often than told, in trials 85 to "
        "93 instead of 95 times in 100."
    )
    assert below.endswith(ended)
    assert ended not in compared(compare_options(runner, *options, Plan("count", 10))).below


def test_of_orders_turned_away_less_is_better() -> None:
    sentence, _ = told({1: 0.20, 2: 0.30, 3: 0.10}, own=0.1, measure="turned_away_share")
    assert sentence.startswith("Of 2 changes, “Late shift” does best: it lowers ")
    assert sentence.endswith(
        " Surely worse than the shop as it stands: “Second table” (+10.0 points, 95 % interval +9.7 to +10.3)."
    )


def test_of_what_is_better_neither_high_nor_low_none_is_called_best() -> None:
    sentence, _ = told({1: 0.50, 2: 0.60, 3: 0.40}, own=0.1, measure="busy_share")
    assert sentence.startswith("None of 2 changes is called best by ")
    assert ", of which neither more nor less is better: “Second table” lifts " in sentence
    assert "; “Late shift” lowers " in sentence and sentence.endswith("(−10.0 points, 95 % interval −10.3 to −9.7).")


@pytest.mark.parametrize(("measure", "scale", "said"), [
    ("turned_away_share", 1, "lifts the share of orders turned away from 80 % to 90 % (+10.00 points, "),
    ("orders_per_week", 100, "lifts the number of orders dispatched from 80 a week to 90 a week (+10.0 a week, "),
    ("late_orders", 100, "lifts the number of late orders from 80 to 90 (+10.0, "),
    ("wait_mean_h.sewing", 100, "lifts the mean wait before work begins (sewing) from 80 h to 90 h (+10.0 h, "),
    ("margin_per_week", 100, "lifts what is left over from 1,200 EUR a week to 1,400 EUR a week (+200 EUR a week)"),
    ("cost_per_m2", 1000, "lifts the cost of what is dispatched from 800 EUR per m² to 900 EUR per m² (+100.0 EUR"),
    ("roll_changes_per_week", 100, "lifts the number of roll changes from 80 a week to 90 a week (+10.0 a week, "),
])  # fmt: skip
def test_every_measure_stands_alone_in_a_sentence(measure: str, scale: float, said: str) -> None:
    """Not as a line of a list that leans on the line above it ("The same over orders received")."""
    assert told({1: 0.80, 2: 0.90}, own=0.1, count=10, measure=measure, scale=scale, currency="EUR")[0].startswith(
        f"“Second table” {said}"
    )


def test_every_measure_has_its_phrase() -> None:
    assert PHRASES.keys() == UNITS.keys()


def test_of_hours_less_is_better() -> None:
    sentence, _ = told({1: 0.80, 2: 0.60, 3: 0.70}, own=0.1, measure="lead_time_p90_h", scale=100)
    assert sentence.startswith(
        "Of 2 changes, “Second table” does best: it lowers the lead time within which 90 % of orders leave from 80 h "
        "to 60 h (−20.0 h, 95 % interval −20.3 to −19.7)"
    )


def crews(levels: dict[int, float], noise: float = 0.0, tolerance: float = 0.01, **plan: float) -> tuple[str, str]:
    def made(which: Option, number: int) -> Replication:
        heads = which.scenario.crews[0].count
        return row(number, {"on_time_share": levels[heads] + noise * UP_AND_DOWN[number % 5]},
                   money_per_week={"wages": 900.0 * heads}, constraint={"printer_1": 0.4})  # fmt: skip

    sizes = Sizes("new_sewers", min(levels), max(levels))
    asked = CrewPlan((sizes,), 0.95, tolerance, **plan)
    return crew_found(smallest_crew(Runner(GivenEngine(made)), option("base"), asked))


def test_the_cheapest_sufficient_crew() -> None:
    sentence, below = crews({2: 0.90, 3: 0.97})
    assert sentence == (
        "3 people in crew new sewers are the cheapest crew that sends 95 % of orders out on time, give or take 1 point "
        "(97 %), at 2,700 CU a week in pay; 2 people in crew new sewers fall short with 90 %; the shop is then held "
        "back most by printer 1 (40 % of the time); 3 people of crew new sewers then share 1 seat at the sewing room."
    )
    assert below == (
        "With 95 % confidence all told to be enough send at least 94 % out on time and all told to be too few "
        "less than 96 %, for 2 crews at once; 40 replications of 13 weeks in all, after a warm-up of 2 weeks, which "
        "does not count. Intervals are descriptive: crews were run until it was clear and are chosen by the same runs, "
        "which an interval for itself does not allow for."
    )


def two_crews(made: Callable[[Option, int], Replication]) -> CrewAnswer:
    """One to three people in each of two crews."""
    base = option("base")
    packers = base.scenario.crews[0].model_copy(update={"id": "packers"})
    base = Option("base", base.scenario.model_copy(update={"crews": (*base.scenario.crews, packers)}))
    plan = CrewPlan((Sizes("new_sewers", 1, 3), Sizes("packers", 1, 3)), 0.95, 0.01)
    return smallest_crew(Runner(GivenEngine(made)), base, plan)


def test_crews_of_the_same_pay_are_told() -> None:
    def made(which: Option, number: int) -> Replication:
        one, two = (crew.count for crew in which.scenario.crews)
        return row(number, {"on_time_share": {2: 0.70, 3: 0.90, 4: 0.97}.get(one + two, 0.99)},
                   money_per_week={"wages": 900.0 * (one + two)})  # fmt: skip

    assert crew_found(two_crews(made)).sentence == (
        "1 person in crew new sewers and 3 in crew packers are among the cheapest crews that send 95 % of orders out "
        "on time, give or take 1 point (97 %), at 3,600 CU a week in pay; 2 people in crew new sewers and 1 in crew "
        "packers fall short with 90 %; 2 people in crew new sewers and 2 in crew packers, or 3 people in crew new "
        "sewers and 1 in crew packers, would do at the same pay; 4 people of crews new sewers and packers then share 1 "
        "seat at the sewing room."
    )


def test_overtime_that_is_luck_makes_no_crew_the_cheapest() -> None:
    """Three crews of four, of the same wages and of 20 ± 10 CU of overtime a week each, none truly cheaper."""
    named = set()
    for seed in range(4):
        overtime = np.random.default_rng(seed).normal(20, 10, (4, 4, 400))

        def made(which: Option, number: int, overtime: Any = overtime) -> Replication:
            one, two = (crew.count for crew in which.scenario.crews)
            return row(number, {"on_time_share": {2: 0.70, 3: 0.90, 4: 0.97}.get(one + two, 0.99)},
                       money_per_week={"wages": 900.0 * (one + two), "overtime_pay": overtime[one, two, number]},
                       )  # fmt: skip

        found = two_crews(made)
        enough = found.enough[WHOLE]
        assert enough is not None
        named.add(tuple(enough.heads.values()))
        others = {(1, 3), (2, 2), (3, 1)} - {tuple(enough.heads.values())}
        assert {tuple(crew.heads.values()) for crew in found.as_dear(enough)} == others
        short = found.next_cheaper(enough)
        assert short is not None
        assert sum(short.heads.values()) == 3
        sentence = crew_found(found).sentence
        assert " are among the cheapest crews that send 95 % of orders out on time, give or take 1 point (97 %)" in (
            sentence
        )
        assert " in crew packers, would do at pay that cannot be told from it" in sentence
    assert len(named) > 1
    # The last: the mean of twenty runs with its interval, and not a sum that is told without a doubt.
    assert ", at 3,614 CU (3,610 to 3,618) a week in pay; " in sentence


def test_seats_that_are_missing_are_told_with_their_price() -> None:
    def made(which: Option, number: int) -> Replication:
        return row(number, {"on_time_share": 0.97, "margin_per_week": 300.0}, money_per_week={"wages": 900.0})

    base = option("base")
    (room,) = base.scenario.work_centres
    room = room.model_copy(update={"seats": 2, "money": room.money.model_copy(update={"price": 8000.0})})
    seated = Option("base", base.scenario.model_copy(update={"work_centres": (room,)}))
    found = smallest_crew(Runner(GivenEngine(made)), seated, CrewPlan((Sizes("new_sewers", 2, 3),), 0.95))
    two, three = found.candidates
    assert two.short_of_seats == []
    (short,) = three.short_of_seats
    assert (short.people, short.seats, short.missing, short.price, short.places) == (3, 2, 1, 4000.0, ("sewing_room",))
    assert "seat" not in crew_found(found).sentence
    enough = replace(found, enough={WHOLE: three})
    assert crew_found(enough).sentence.endswith(
        "; 3 people of crew new sewers then share 2 seats at the sewing room: 1 more would cost about 4,000 CU, which "
        "pay leaves out."
    )
    console = Console(width=140, record=True, file=StringIO())
    print_crew(console, found, crew_found(found))
    shown = " ".join(console.export_text().split())
    assert "new sewers pay, CU a week left over seats to add on time, %" in shown
    assert "3 900 300 1: 4,000 97 all runs alike yes 20" in shown
    assert "seats to add: how many people of the trade and shift have none at its places" in shown


def test_what_holds_the_shop_back_is_no_fact_where_the_runs_cannot_tell() -> None:
    def made(which: Option, number: int) -> Replication:
        swing = 10 * UP_AND_DOWN[number % 5]
        return row(number, {"on_time_share": 0.97}, money_per_week={"wages": 900.0},
                   constraint={"printer_1": 0.4 + swing, "sewing people": 0.38 - swing})  # fmt: skip

    plan = CrewPlan((Sizes("new_sewers", 2, 3),), 0.95)
    sentence, _ = crew_found(smallest_crew(Runner(GivenEngine(made)), option("base"), plan))
    assert "; the shop may then be held back most by printer 1 (40 % of the time, 33 to 47)" in sentence


def test_a_share_that_none_can_have_is_not_told_as_a_bound() -> None:
    sentence, below = crews({2: 0.70, 3: 0.80}, tolerance=0.06)
    assert sentence.startswith(
        "No crew tried is shown to send 95 % of orders out on time, give or take 6 points: 3 people in crew new "
    )
    assert "less than 100 %, for 2 crews at once" in below


def test_no_crew_is_enough() -> None:
    sentence, _ = crews({2: 0.70, 3: 0.80})
    assert sentence == (
        "No crew tried is shown to send 95 % of orders out on time, give or take 1 point (each surely stays below "
        "96 %): 3 people in crew new sewers do best with 80 %; "
        "the shop is then held back most by printer 1 (40 % of the time)."
    )


def hopeless(levels: dict[int, float], own: float) -> CrewAnswer:
    """Crews that all miss 95 %, whose shares swing alike by `UP_AND_DOWN` and each by `own` times it for itself."""

    def made(which: Option, number: int) -> Replication:
        heads = which.scenario.crews[0].count
        alone = own * UP_AND_DOWN[(number * 2 + heads) % 5]
        return row(number, {"on_time_share": levels[heads] + UP_AND_DOWN[number % 5] + alone},
                   money_per_week={"wages": 900.0 * heads})  # fmt: skip

    plan = CrewPlan((Sizes("new_sewers", min(levels), max(levels)),), 0.95)
    return smallest_crew(Runner(GivenEngine(made)), option("base"), plan)


def test_where_no_crew_is_enough_none_is_best_that_the_pairs_cannot_tell() -> None:
    # The means of three to five rise, by less than what each swings for itself.
    found = hopeless({1: 0.60, 2: 0.70, 3: 0.800, 4: 0.802, 5: 0.804}, own=1.0)
    assert found.enough == {WHOLE: None}
    assert found.none_better().heads == {"new_sewers": 3}
    assert crew_found(found).sentence == (
        "No crew tried is shown to send 95 % of orders out on time, give or take 3 points (each surely stays below "
        "98 %): 3 people in crew new sewers send 80.0 %, descriptive 95 % interval 79.0 to 81.0, and no dearer crew "
        "can be told to send more."
    )
    # Where all swing alike the pairs can tell, though the intervals overlap as much.
    sure = crew_found(hopeless({3: 0.800, 4: 0.802, 5: 0.804}, own=0.0)).sentence
    assert ": 5 people in crew new sewers do best with 80.4 %, descriptive 95 % interval 79.7 to 81.1" in sure
    # More people, in each other's way: the cheaper crew is the best one.
    fewer = crew_found(hopeless({1: 0.85, 2: 0.70}, own=1.0)).sentence
    assert ": 1 person in crew new sewers does best with 85.0 %" in fewer
    assert ": it sends 70.0 %, descriptive 95 % interval " in crew_found(hopeless({2: 0.70}, own=1.0)).sentence


def test_crews_that_a_cheaper_one_equals_are_marked() -> None:
    found = hopeless({1: 0.60, 2: 0.70, 3: 0.800, 4: 0.802, 5: 0.90}, own=1.0)
    pad = NotePad()
    print_crew(pad, found, crew_found(found))
    (table,) = pad.tables
    enough = table.columns.index("enough")
    assert [row[enough] for row in table.rows] == ["no", "no", "no", "no =", "no"]
    assert "; = a crew that surely costs less cannot be told to send less out on time. " in table.note
    # As dear is not dearer.
    same = two_crews(lambda which, k: row(k, {"on_time_share": 0.97}, money_per_week={"wages": 1.0}))
    assert not any(map(same.equalled_by_less, same.candidates))


def test_a_crew_that_only_another_cheap_one_beats_is_passed_over() -> None:
    # Two swing with one and surely beat it; three, on the highest mean, swing for themselves.
    def made(which: Option, number: int) -> Replication:
        swing = 12 * UP_AND_DOWN[number % 5]
        level = {1: 0.60 - swing, 2: 0.66 - swing, 3: 0.70 - swing / 8}[which.scenario.crews[0].count]
        return row(number, {"on_time_share": level}, money_per_week={"wages": 900.0 * which.scenario.crews[0].count})

    found = smallest_crew(Runner(GivenEngine(made)), option("base"), CrewPlan((Sizes("new_sewers", 1, 3),), 0.95))
    assert found.none_better().heads == {"new_sewers": 2}
    sentence = crew_found(found).sentence
    assert ": 2 people in crew new sewers send " in sentence
    assert sentence.endswith(", and no dearer crew can be told to send more.")


def test_a_grid_without_an_enough_crew_goes_by_pay() -> None:
    def made(which: Option, number: int) -> Replication:
        one, two = (crew.count for crew in which.scenario.crews)
        return row(number, {"on_time_share": 0.7 if two == 1 else 0.8}, money_per_week={"wages": 9.0 * one + 5.0 * two})

    assert (
        ": 1 person in crew new sewers and 2 in crew packers send 80 %, and no dearer crew can be told to send more"
    ) in crew_found(two_crews(made)).sentence


def test_the_chance_of_passing_over_a_crew_that_none_beats() -> None:
    """Six crews that are truly alike: the cheapest is named in at least 95 % of studies."""
    rng = np.random.default_rng(5)
    passed = 0
    for _ in range(200):
        noise = rng.normal(0.7, 0.05, (7, 20))

        def made(which: Option, number: int, noise: Any = noise) -> Replication:
            heads = which.scenario.crews[0].count
            return row(number, {"on_time_share": noise[heads, number]}, money_per_week={"wages": 900.0 * heads})

        plan = CrewPlan((Sizes("new_sewers", 1, 6),), 0.95)
        passed += smallest_crew(Runner(GivenEngine(made)), option("base"), plan).none_better().heads["new_sewers"] != 1
    # 99 % binomial bound for 2.5 %, one side of the intervals, of 200.
    assert passed <= 11


@pytest.mark.parametrize(("swing", "told"), [
    (0.1, "printer 1, 40.0 %"), (10.0, "printer 1, 40 % or the people of crew new sewers, 30 %"),
])  # fmt: skip
def test_the_table_names_both_that_may_hold_the_shop_back(swing: float, told: str) -> None:
    def made(which: Option, number: int) -> Replication:
        off = swing * UP_AND_DOWN[number % 5]
        return row(number, {"on_time_share": 0.5}, money_per_week={"wages": 900.0},
                   constraint={"printer_1": 0.4 + off, "sewing people": 0.3 - off, "idle": 0.0})  # fmt: skip

    found = smallest_crew(Runner(GivenEngine(made)), option("base"), CrewPlan((Sizes("new_sewers", 1, 1),), 0.95))
    pad = NotePad()
    print_crew(pad, found, crew_found(found))
    assert "joined by “or” where the runs cannot tell which" in pad.tables[0].note
    assert pad.tables[0].rows[0][-1] == told


def test_three_that_may_hold_the_shop_back_are_counted() -> None:
    (crew,) = smallest_crew(
        Runner(GivenEngine(lambda which, number: row(
            number, {"on_time_share": 0.5}, money_per_week={"wages": 900.0},
            constraint={f"printer_{(number + i) % 3}": 0.1 * i for i in range(3)},
        ))), option("base"), CrewPlan((Sizes("new_sewers", 1, 1),), 0.95),
    ).candidates  # fmt: skip
    assert constraints_told(crew.found).endswith(" or 2 others")
    assert constraints_told(hopeless({2: 0.70}, own=1.0).candidates[0].found) == ""


def test_an_open_question_about_crews() -> None:
    sentence, _ = crews({2: 0.951, 3: 0.999}, noise=2.0, at_most=10)
    assert sentence.startswith(
        "2 people in crew new sewers may be the cheapest crew that sends 95 % of orders out on time, give or take 1 "
        "point (95 %, descriptive 95 % interval 92 to 98), but that cannot be told from 10 replications; about 54 more "
        "would tell; 3 people in crew new sewers are enough"
    )


@pytest.mark.parametrize(("weeks", "study", "sentence"), [
    (3, {"warm_up_weeks": 2}, ("By the rule below the shop settles within 3 weeks; the file leaves out 2 weeks, which "
                               "is too little by this rule.")),
    (1, {"warm_up_weeks": 2}, ("By the rule below the shop settles within 1 week; the file leaves out 2 weeks, which "
                               "is enough by this rule.")),
    (0, {"opening": "empty"}, ("By the rule below the shop settles at once; this file counts from the first day, "
                               "which is right for a season or an order book.")),
    (None, {}, ("The shop has not settled after 4 weeks: more orders may come in than it can make, or the season "
                "decides; look at it over given weeks instead of in the long run.")),
])  # fmt: skip
def test_how_long_the_shop_takes_to_settle(weeks: int | None, study: dict[str, object], sentence: str) -> None:
    answer = settled(Settling(weeks, (1.0,) * 28, (1.0,) * 18, 10), scenario(**study))
    assert answer.sentence == sentence
    assert answer.below == (
        "Judged by the orders in the shop, mean of 10 replications of 4 weeks that start empty (MSER by weeks). The "
        "rule gives one value without an interval: other replications may give another."
    )


def test_a_cheaper_crew_that_only_the_tolerance_rules_out_is_told() -> None:
    # Judged too few within 3 points of 0.95, and yet its interval holds the target.
    sentence, _ = crews({1: 0.80, 2: 0.945, 3: 0.99}, noise=1.0, tolerance=0.03)
    assert "3 people in crew new sewers are the cheapest crew that sends 95 % of orders out on time" in sentence
    assert "; 2 people in crew new sewers at 1,800 CU may do too, with 94.5 %, 95 % interval " in sentence
    # Once is enough, and in one tone.
    assert sentence.count("2 people in crew new sewers") == 1
    assert "short" not in sentence
    sentence, _ = crews({1: 0.80, 2: 0.90, 3: 0.99}, noise=1.0, tolerance=0.03)
    assert "may do too" not in sentence
    assert "; 2 people in crew new sewers fall short with 90.0 %, 95 % interval 89.3 to 90.7; " in sentence
    assert sentence.count("descriptive") == 1
