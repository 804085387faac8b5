"""Shift patterns from rows made by hand: one is recommended only where no rule, date or money speaks against it."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from shopsim.sentences.shifts import STANDING, patterns_weighed
from shopsim.shop.people import Shift
from shopsim.shop.policies import Policies
from shopsim.studies.comparison import Plan, compare_options
from shopsim.studies.option import Option
from shopsim.studies.replication import Replication
from shopsim.studies.runner import Runner
from shopsim.studies.shift_patterns import PatternAnswer, judge_patterns
from shopsim.terminal.shifts_page import print_shifts
from shopsim.terminal.tables import NotePad
from tests.studies.given import GivenEngine, option, row

NOISE = np.random.default_rng(4).normal(0, 1, (4, 4000))


def day(hours: str, pause: str = "12:00-12:30") -> Shift:
    block = {"days": ["mon", "tue", "wed", "thu", "fri"], "hours": hours, "breaks": [pause]}
    return Shift.model_validate({"id": "day", "weeks": [{"blocks": [block]}]})


def judged(
    levels: dict[str, tuple[float, float]],
    long_days: tuple[str, ...] = (),
    endless: tuple[str, ...] = (),
    replications: int = 20,
    policies: Policies | None = None,
    away: tuple[float, ...] = (),
    **study: Any,
) -> PatternAnswer:
    """Patterns by name with on-time share and margin; those of `long_days` work 14 h a day, of `endless` all hours."""
    names = list(levels)

    def made(which: Option, number: int) -> Replication:
        heads = which.scenario.crews[0].count - 1
        on_time, margin = levels[names[heads]]
        noise = NOISE[heads, number]
        turned_away = {"turned_away_share": away[heads]} if away else {}
        told = {"on_time_share": on_time + 0.01 * noise, "margin_per_week": margin + 20 * noise}
        return row(number, told | turned_away)

    def pattern(name: str) -> Option:
        made_of = option(name, names.index(name) + 1, **study)
        shift = day("06:00-20:00" if name in long_days else "07:00-15:30")
        if name in endless:
            shift = Shift.model_validate({"id": "day", "round_the_clock": True})
        rules = {} if policies is None else {"policies": policies}
        return Option(name, made_of.scenario.model_copy(update={"shifts": (shift,), **rules}))

    options = [pattern(name) for name in names]
    plan = Plan("count", replications)
    return judge_patterns(compare_options(Runner(GivenEngine(made)), options[0], options[1:], plan))


def test_the_one_that_meets_the_target_is_recommended() -> None:
    found = judged({"day": (0.80, 1000), "two shifts": (0.97, 900), "weekend": (0.85, 1000)})
    assert (found.meets, found.recommended) == (("two shifts",), "two shifts")
    sentence, below = patterns_weighed(found)
    assert sentence == (
        "“two shifts” stands out: it surely sends 95 % of orders out on time (96.9 % on time, 96.4 to 97.3; 898 CU "
        "left over a week, 102 less than the shop as it stands), and breaks no rest-time rule."
    )
    assert below == (
        "No pattern breaks a minimum rule of Directive 2003/88/EC where hours are judged. 20 replications of 13 weeks "
        "each, after a warm-up of 2 weeks, which does not count. Who meets the target, who may be best on time and who "
        f"may leave most over share a chance of error of 5 %, a third each. {STANDING}"
    )


def test_where_none_meets_the_target_the_one_that_is_surely_best_on_time() -> None:
    found = judged({"day": (0.80, 1000), "two shifts": (0.90, 1000), "weekend": (0.85, 1000)})
    assert (found.meets, found.recommended) == ((), "two shifts")
    assert patterns_weighed(found).sentence.startswith(
        "“two shifts” stands out: of those that leave no question open it surely sends most orders out on time, if not "
        "surely 95 % of them (89.9 % on time, 89.4 to 90.3; 998 CU left over a week), and breaks no"
    )


def test_one_that_breaks_no_rule_and_leaves_a_question_open_is_not_told_to_be_later() -> None:
    """The hours round the clock break no rule and send more out on time: nobody has judged them."""
    found = judged({"day": (0.80, 1000), "two shifts": (0.90, 1000), "round": (0.94, 1000)}, endless=("round",))
    assert [pattern.breaks_rules for pattern in found.patterns] == [False, False, False]
    assert found.recommended == "two shifts"
    assert patterns_weighed(found).sentence.startswith(
        "“two shifts” stands out: of those that leave no question open it surely sends most orders out on time, "
    )


def test_the_best_on_time_that_costs_money_is_left_to_weigh() -> None:
    found = judged({"day": (0.80, 1000), "two shifts": (0.90, 900), "weekend": (0.85, 950)})
    assert (found.meets, found.best_dates, found.recommended) == ((), ("two shifts",), None)
    assert (found.best_money, found.leave_more) == (("as it stands",), ("as it stands", "weekend"))
    # Two pairs share 5 %: t(19, 0.9875) x the deviation of the differences over the square root of 20.
    steps = 0.1 + 0.01 * (NOISE[1, :20] - NOISE[0, :20])
    reach = 2.433440 * steps.std(ddof=1) / np.sqrt(20)
    between = found.against("two shifts", "as it stands", "on_time_share")
    assert (between.mean, between.half_width) == pytest.approx((steps.mean(), reach), rel=1e-5)
    assert patterns_weighed(found).sentence == (
        "No pattern stands out: “two shifts” surely sends most orders out on time, if not surely 95 % of them (+9.9 "
        "points, +9.3 to +10.6), but surely leaves less over (−102 CU a week, −114 to −89), each against the shop as "
        "it stands; “weekend” surely leaves more over, too: the runs cannot weigh one against the other (89.9 % on "
        "time, 89.4 to 90.3; 898 CU left over a week; the shop as it stands: 80.0 % on time, 79.4 to 80.6; 999 CU left "
        "over a week)."
    )


def test_dearer_than_any_other_clear_pattern_is_enough_to_weigh() -> None:
    # It earns more than the shop as it stands, less than the weekend, which is later than both.
    found = judged({"day": (0.80, 900), "two shifts": (0.90, 1000), "weekend": (0.70, 1100)})
    assert (found.leave_more, found.recommended) == (("weekend",), None)
    # One that breaks a rule, whatever it earns, is in nobody's way.
    lawless = judged({"day": (0.80, 900), "two shifts": (0.90, 1000), "long": (0.70, 1100)}, long_days=("long",))
    assert (lawless.leave_more, lawless.recommended) == ((), "two shifts")


def test_being_alone_with_a_hot_machine_for_longer_is_for_others_to_decide() -> None:
    def made(which: Option, number: int) -> Replication:
        late = which.name == "late"
        return row(number, {"on_time_share": 0.99 if late else 0.8, "margin_per_week": 2000.0 if late else 1000.0})

    def shop(name: str, second: str) -> Option:
        shown = option(name, 1).scenario
        hours, pause = ("14:00-22:00", "18:00-18:30") if second == "late" else ("07:00-15:30", "12:00-12:30")
        crew, weeks = shown.crews[0], day(hours, pause).weeks
        other = crew.model_copy(update={"id": "second", "shift": "second"})
        shifts = (day("07:00-15:30"), Shift(id="second", weeks=weeks))
        return Option(name, shown.model_copy(update={"crews": (crew, other), "shifts": shifts}))

    options = [shop("as it stands", "day"), shop("late", "late")]
    found = judge_patterns(compare_options(Runner(GivenEngine(made)), options[0], options[1:], Plan("count", 20)))
    # 07:00 to 14:00 and 15:30 to 22:00 on five days; nobody as the shop stands.
    assert [pattern.lone_hot_h for pattern in found.patterns] == [0, 67.5]
    assert (found.meets, found.recommended) == ((), None)
    assert (
        "Left out of the choice because by plan, absence and overtime not counted, one person is alone with a machine "
        "that may be hot for longer than as the shop stands, on which local fire code and rules for lone work decide "
        "(SAF-12): “late” (67.5 h a week more)."
    ) in patterns_weighed(found).below
    # What is no longer than as the shop stands keeps nothing from being chosen.
    back = judge_patterns(compare_options(Runner(GivenEngine(made)), options[1], options[:1], Plan("count", 20)))
    assert all(pattern.is_clear for pattern in back.patterns)


def test_luck_that_differs_between_patterns_is_not_taken_to_be_alike() -> None:
    """Hsu's pooled deviation would rule a wild pattern out where its own scatter does not."""
    rng = np.random.default_rng(1)
    wild = rng.normal(0, 0.15, 20)
    wild -= wild.mean()

    def made(which: Option, number: int) -> Replication:
        heads = which.scenario.crews[0].count
        share = {1: 0.80, 2: 0.80, 3: 0.80, 4: 0.80, 5: 0.80, 6: 0.86, 7: 0.80 + wild[number]}[heads]
        return row(number, {"on_time_share": float(share), "margin_per_week": 1000.0})

    def pattern(heads: int) -> Option:
        name = f"with {heads}"
        return Option(name, option(name, heads).scenario.model_copy(update={"shifts": (day("07:00-15:30"),)}))

    options = [pattern(heads) for heads in range(1, 8)]
    found = judge_patterns(compare_options(Runner(GivenEngine(made)), options[0], options[1:], Plan("count", 20)))
    assert found.best_dates == ("with 6", "with 7")


def test_differences_from_the_base_are_printed_paired() -> None:
    found = judged({"day": (0.80, 1000), "two shifts": (0.97, 900)})
    pad = NotePad()
    print_shifts(pad, found, patterns_weighed(found), {})
    rows = {row[0]: row[1:] for row in pad.tables[0].rows}
    steps = 20 * (NOISE[1, :20] - NOISE[0, :20]) - 100
    assert rows["On time against the shop as it stands, points"][0] == "-"
    assert rows["On time against the shop as it stands, points"][1].startswith("+16.9 ±")
    reach = 2.093024 * steps.std(ddof=1) / np.sqrt(20)
    assert rows["What is left over a week against it"][1] == f"−{-steps.mean():.0f} ±{np.ceil(reach):.0f}"
    assert pad.tables[0].note.startswith("Against the shop as it stands: run by run on the same orders, ")


def test_a_dearer_pattern_is_not_recommended_where_a_cheaper_one_may_meet_the_target_as_well() -> None:
    found = judged({"day": (0.953, 1000), "weekend": (0.9535, 1200), "two shifts": (0.97, 500), "late": (0.5, 900)})
    assert (found.meets, found.may_meet) == (("two shifts",), ("as it stands", "weekend"))
    assert (found.best_money, found.recommended) == (("weekend",), None)
    steps = 0.9535 + 0.01 * NOISE[1, :20] - 0.95
    # Four clear patterns share a third of 5 %: the normal quantiles of 1 - 0.05 / 24 and of 0.8, t a little above.
    least = ((2.865 + 0.842) * steps.std(ddof=1) / steps.mean()) ** 2 - 20
    needed = found.more_to_tell("weekend")
    assert needed is not None and least <= needed <= 1.05 * least + 5
    sentence = patterns_weighed(found).sentence
    assert sentence.startswith(
        "No pattern stands out: “two shifts” surely sends 95 % of orders out on time, “weekend” may too and surely "
        "leaves more over (“two shifts”: "
    )
    assert sentence.endswith(f"; about {needed:,} more replications would tell whether “weekend” does.")
    # Of two that may, either may be the one that leaves more over.
    two = judged({"day": (0.953, 1000), "weekend": (0.9535, 1001), "two shifts": (0.97, 500)})
    assert (two.best_money, two.recommended) == (("as it stands", "weekend"), None)
    assert patterns_weighed(two).sentence.startswith(
        "No pattern stands out: “two shifts” surely sends 95 % of orders out on time, the shop as it stands and "
        "“weekend” may too, one of which surely leaves more over (“two shifts”: "
    )


def test_one_that_surely_misses_the_target_or_surely_leaves_less_over_stands_in_no_way() -> None:
    found = judged({"day": (0.90, 1000), "weekend": (0.9535, 400), "two shifts": (0.97, 500)})
    assert (found.may_meet, found.best_money, found.recommended) == (("weekend",), ("two shifts",), "two shifts")
    assert patterns_weighed(found).sentence.startswith(
        "“two shifts” stands out: it surely sends 95 % of orders out on time and leaves most over of those that do or "
        "may ("
    )


def test_several_that_may_meet_the_target_and_may_leave_as_much_over_are_told() -> None:
    found = judged({"day": (0.953, 1000), "weekend": (0.9535, 1000), "two shifts": (0.97, 1000)})
    assert found.best_money == ("as it stands", "weekend", "two shifts")
    sentence = patterns_weighed(found).sentence
    assert sentence.startswith(
        "No pattern stands out: “two shifts” surely sends 95 % of orders out on time, the shop as it stands and "
        "“weekend” may too and may leave as much over (“two shifts”: "
    )


def test_patterns_that_turn_orders_away_do_not_look_better_without_it() -> None:
    found = judged({"day": (0.80, 1000), "two shifts": (0.97, 900)}, away=(0.004, 0.2))
    sentence, below = patterns_weighed(found)
    assert "(96.9 % on time, 96.4 to 97.3, 20 % of orders turned away; 898 CU left over a week, " in sentence
    assert " a third each. Up to 20 % of orders were turned away; they do not count as late. " in below
    pad = NotePad()
    print_shifts(pad, found, patterns_weighed(found), {})
    rows = {row[0]: row[1:] for row in pad.tables[0].rows}
    assert rows["Turned away, of orders received, %"] == ("0.4", "20")
    few = patterns_weighed(judged({"day": (0.80, 1000), "two shifts": (0.97, 900)}, away=(0.0, 0.004))).below
    assert " Fewer than 1 % of orders were turned away; they do not count as late. " in few


def test_of_several_that_meet_it_the_one_that_surely_leaves_most_over() -> None:
    found = judged({"day": (0.97, 1000), "two shifts": (0.99, 900), "weekend": (0.98, 1100)})
    assert found.meets == ("as it stands", "two shifts", "weekend")
    assert found.recommended == "weekend"


def test_money_that_cannot_be_told_apart_is_left_to_weigh() -> None:
    found = judged({"day": (0.70, 1000), "two shifts": (0.99, 1001), "weekend": (0.98, 1000)})
    assert (found.meets, found.recommended) == (("two shifts", "weekend"), None)
    assert patterns_weighed(found).sentence.startswith(
        "No pattern stands out: “two shifts” and “weekend” surely send 95 % out on time and cannot be told apart by "
    )


def test_one_that_may_be_best_on_time_is_told_though_money_rules_it_out() -> None:
    # The weekend has the best mean of all by dates, within what luck does; by money it surely comes last.
    found = judged({"day": (0.850, 1000), "four tens": (0.851, 1001), "weekend": (0.852, 500)})
    assert found.meets == ()
    assert found.best_dates == ("as it stands", "four tens", "weekend")
    assert found.best_money == ("as it stands", "four tens")
    assert patterns_weighed(found).sentence == (
        "No pattern stands out: the shop as it stands and “four tens” may send most orders out on time and cannot be "
        "told apart by money (the shop as it stands: 85.0 % on time, 84.4 to 85.6; 999 CU left over a week; “four "
        "tens”: 85.0 % on time, 84.5 to 85.4; 999 CU left over a week); “weekend” may too, but surely leaves less over "
        "(85.5 % on time, 84.8 to 86.1; 505 CU left over a week)."
    )


def test_those_that_meet_the_target_are_told_though_money_rules_them_out() -> None:
    found = judged({"day": (0.97, 1000), "four tens": (0.98, 1001), "weekend": (0.99, 500), "nights": (0.99, 400)})
    assert len(found.meets) == 4
    assert found.best_money == ("as it stands", "four tens")
    sentence = patterns_weighed(found).sentence
    assert "; “weekend” and “nights” surely do too, but surely leave less over (“weekend”: 99.3 % on time" in sentence


def test_a_pattern_that_breaks_a_rule_is_never_recommended() -> None:
    found = judged({"day": (0.80, 1000), "long days": (0.99, 2000)}, long_days=("long days",))
    assert [pattern.breaks_rules for pattern in found.patterns] == [False, True]
    # From 20:00 to 06:00 there are 10 h of rest.
    kinds = {finding.row: (finding.found, finding.required) for finding in found.patterns[1].findings if finding.rule}
    assert kinds["LAW-01"] == (10.0, 11.0)
    assert found.recommended is None
    assert patterns_weighed(found).sentence.startswith(
        "No pattern can be recommended: only the shop as it stands leaves no question open, and it does not surely "
        "send 95 % of orders out on time ("
    )
    assert "Left out of the choice because they break a minimum rule of Directive 2003/88/EC: “long days”." in (
        patterns_weighed(found).below
    )


def test_a_pattern_that_only_the_file_allows_is_never_recommended() -> None:
    """10 h of rest break the Directive's 11 h, not the 9 h of an agreement: whether that may be, others must say."""
    agreed = Policies.model_validate({"working_time": {"daily_rest_h": 9, "weekly_average_h": 70}})
    found = judged({"day": (0.80, 1000), "long days": (0.99, 2000)}, long_days=("long days",), policies=agreed)
    assert [pattern.breaks_rules for pattern in found.patterns] == [False, False]
    assert [pattern.by_the_file_alone for pattern in found.patterns] == [(), ("daily rest", "weekly hours")]
    assert (found.meets, found.recommended) == ((), None)
    sentence, below = patterns_weighed(found)
    assert sentence.startswith("No pattern can be recommended: only the shop as it stands leaves no question open, ")
    assert below.startswith(
        "No pattern breaks a minimum rule of the file (policies.working_time) where hours are judged. Left out of the "
        "choice because they keep rest-time rules only as the file asks less than Directive 2003/88/EC: “long days”. "
        "The file asks less than Directive 2003/88/EC: daily rest (9 against 11 h) and weekly hours (70 against 48 h); "
        "whether it may, a competent person must say. 20 replications"
    )
    pad = NotePad()
    print_shifts(pad, found, patterns_weighed(found), {})
    assert pad.tables[-1].note.startswith(
        "Rule: `policies.working_time` of the file (daily rest 9 h, weekly average 70 h), else Directive 2003/88/EC; "
        "less than the Directive asks: daily rest (9 against 11 h), weekly hours (70 against 48 h). A finding is about "
    )


def test_what_the_file_allows_and_a_pattern_does_not_use_stands_in_no_way() -> None:
    agreed = Policies.model_validate({"working_time": {"daily_rest_h": 9, "weekly_average_h": 70}})
    found = judged({"day": (0.80, 1000), "two shifts": (0.97, 900)}, policies=agreed)
    assert found.recommended == "two shifts"
    assert patterns_weighed(found).sentence.endswith("and breaks no rest-time rule of the file.")


def test_hours_nobody_has_judged_are_never_recommended() -> None:
    found = judged({"day": (0.80, 1000), "round the clock": (0.99, 2000)}, endless=("round the clock",))
    assert [pattern.not_judged for pattern in found.patterns] == [(), ("new_sewers",)]
    assert (found.meets, found.recommended) == ((), None)
    below = patterns_weighed(found).below
    assert "nobody has judged the hours of crews round the clock: “round the clock”." in below


def test_nothing_is_recommended_from_few_runs() -> None:
    found = judged({"day": (0.80, 1000), "two shifts": (0.97, 900)}, replications=9)
    assert (found.meets, found.recommended) == (("two shifts",), None)
    assert patterns_weighed(found).sentence == (
        "No pattern is recommended from 9 replications; at least 10 are needed."
    )


def test_dates_that_cannot_be_told_apart_are_left_to_weigh() -> None:
    found = judged({"day": (0.80, 1000), "two shifts": (0.801, 900), "weekend": (0.5, 2000)})
    assert (found.meets, found.best_dates) == ((), ("as it stands", "two shifts"))
    assert (found.best_money, found.recommended) == (("as it stands",), None)
    assert patterns_weighed(found).sentence.startswith(
        "No pattern stands out: the shop as it stands and “two shifts” may each send most orders out on time, of which "
        "the shop as it stands surely leaves most over ("
    )
