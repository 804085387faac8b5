"""The first sentence: what it says, and what it may not say."""

import math

import pytest

from shopsim.sentences import as_we_are, opening, weeks_text
from shopsim.shop.policies import OrdersAtOnce, Policies
from shopsim.studies.replicate import Replications
from tests.telling.rows import replications, scenario

STEADY = {"sewing_room": [0.70, 0.71, 0.72], "printer_1": [0.1, 0.1, 0.1]}


def test_the_whole_sentence() -> None:
    # Means 0.81 and 93.6 h = 3.9 days; t(2, 0.975) = 4.302653, so half-widths are 4.302653 * s / sqrt(3):
    # s = 0.01 gives 0.0248, s = 2.4 h gives 5.96 h = 0.248 days.
    answer = as_we_are(replications([0.80, 0.81, 0.82], [91.2, 93.6, 96.0], STEADY, opening="empty"))
    assert answer.sentence == (
        "On time 81 % of orders (95 % interval 78 to 84), half of them out within 3.9 days (3.6 to 4.2); "
        "the shop is held back most by the sewing room (constraint 71 % of the time, 68 to 74)."
    )
    assert answer.below == (
        "The target of 95 % on time is missed. "
        "3 replications of 13 weeks, started empty: no order in work on the first day."
    )


def test_two_constraints_the_runs_cannot_tell_apart() -> None:
    shares = {"new_sewers": [0.6, 0.4, 0.5], "printer_1": [0.4, 0.5, 0.42], "sewing_room": [0.2, 0.2, 0.2]}
    text = as_we_are(replications([0.9, 0.9, 0.9], [48.0] * 3, shares)).sentence
    assert text.endswith("held back most by the new sewers (constraint 50 % of the time, 25 to 75) or printer 1, "
                         "the runs cannot tell which.")  # fmt: skip


def test_orders_turned_away_are_told_beside_those_on_time() -> None:
    # Mean 0.5, s = 0.1, half-width 0.248; a shop that says no to half of its orders is easily on time with the rest.
    found = replications([0.9, 0.9, 0.9], [48.0] * 3, STEADY)
    for row, share in zip(found.rows, (0.4, 0.5, 0.6), strict=True):
        row.measures["turned_away_share"] = share
    for when_full, told in (("turn_away", ", 50 % of orders turned away (25 to 75)"), ("wait", "")):
        rule = OrdersAtOnce.model_validate({"most": 7, "when_full": when_full})
        limited = found.scenario.model_copy(update={"policies": Policies(orders_at_once=rule)})
        text = as_we_are(Replications(limited, found.rows)).sentence
        assert text.startswith(
            f"On time 90 % of orders in every run, half of them out within 2.0 days{told}; the shop is"
        )


def test_a_shop_that_nothing_holds_back_for_long() -> None:
    text = as_we_are(replications([1.0, 1.0], [5.0, 5.0], {"printer_1": [0.1, 0.1]})).sentence
    assert text == (
        "On time 100 % of orders in every run, half of them out within 5 hours; "
        "nothing holds the shop back for long (most often printer 1, constraint 10 % of the time)."
    )


def test_one_replication_has_no_interval_and_says_so() -> None:
    answer = as_we_are(replications([0.812], [93.6], {"printer_1": [0.5]}, weeks=1, warm_up_weeks=1))
    assert answer.sentence == (
        "On time 81 % of orders, half of them out within 3.9 days; "
        "the shop is held back most by printer 1 (constraint 50 % of the time)."
    )
    assert answer.below == (
        "Whether the target of 95 % on time is met cannot be told from one replication. "
        "One replication, so there is no interval, of 1 week, after a warm-up of 1 week, which does not count."
    )


def test_nothing_due_and_nothing_busy() -> None:
    answer = as_we_are(replications([math.nan, math.nan], [math.nan, math.nan], {}))
    assert answer.sentence == "No order was due in the weeks studied, none was dispatched; nothing was ever busy."
    assert answer.below == "2 replications of 13 weeks, after a warm-up of 2 weeks, which does not count."


def test_replications_with_nothing_due_are_counted() -> None:
    below = as_we_are(replications([1.0, math.nan, 0.9], [5.0] * 3, STEADY)).below
    assert "3 replications (1 with no order due left out of the share) of 13 weeks" in below


@pytest.mark.parametrize(("target_pct", "verdict"), [
    # The interval is 78.5 to 83.5.
    (78, "The target of 78 % on time is met."),
    (84, "The target of 84 % on time is missed."),
    # From fewer than ten nothing is planned.
    (82, "Whether the target of 82 % on time is met cannot be told from 3 replications. 3 replications of"),
])  # fmt: skip
def test_the_target_is_met_missed_or_open(target_pct: float, verdict: str) -> None:
    answer = as_we_are(replications([0.80, 0.81, 0.82], [48.0] * 3, STEADY, on_time_target_pct=target_pct))
    assert answer.below.startswith(verdict)


@pytest.mark.parametrize(("target_pct", "verdict"), [
    # s = 0.01054; (t(36, 0.975) + t(36, 0.8)) s / sqrt(37) = 2.8801 s / 6.0828 = 0.00499.
    (81.5, "Whether the target of 81.5 % on time is met cannot be told from 10 replications; about 27 more would "),
    (81, ("Whether the target of 81 % on time is met cannot be told from 10 replications; "
          "it lies too close to settle by more of them.")),
])  # fmt: skip
def test_what_would_settle_the_target(target_pct: float, verdict: str) -> None:
    shares = {name: [values[0]] * 10 for name, values in STEADY.items()}
    answer = as_we_are(replications([0.80, 0.82] * 5, [48.0] * 10, shares, on_time_target_pct=target_pct))
    assert answer.below.startswith(verdict)


def test_the_opening_state_is_told() -> None:
    assert opening(scenario(opening="empty", warm_up_weeks=2)) == "started empty: no order in work on the first day"
    assert opening(scenario(opening="warm", warm_up_weeks=0)) == "started empty: no order in work on the first day"
    assert opening(scenario(opening="warm", warm_up_weeks=2.5)) == "after a warm-up of 2.5 weeks, which does not count"
    assert weeks_text(1) == "1 week"
