"""Bottleneck methods on the log of case K-01 of the outside checks, and on a hand-written week."""

import math

import numpy as np
import pytest

from shopsim.floor.record import KIND, STATE
from shopsim.measures.bottleneck import constraint_of, constraint_shares, mean_active_min, momentary_constraints
from shopsim.measures.intervals import Intervals, merged
from shopsim.measures.summaries import active_table
from tests.measures.hand_logs import WEEK, hand_log, hand_shop, operation
from tests.stories.shops import crew

# checks/data/bottleneck_log.csv: the active stretches (WORK, SETUP, REPAIR, CLEAN) of four machines over 200 min.
ACTIVE = {
    "M1": [(0, 20), (25, 50), (55, 73), (78, 102), (106, 132), (138, 160), (164, 190)],
    "M2": [(20, 50), (50, 60), (60, 95), (100, 112), (112, 120), (120, 160), (162, 200)],
    "M3": [(30, 46), (55, 70), (82, 102), (102, 142), (142, 152), (163, 177), (185, 200)],
    "M4": [(46, 55), (66, 76), (91, 100), (155, 167), (177, 188)],
}


def k01() -> dict[str, Intervals]:
    return {name: merged(*zip(*stretches, strict=True)) for name, stretches in ACTIVE.items()}


def test_k01_average_active_period() -> None:
    periods = k01()
    means = {name: mean_active_min(p) for name, p in periods.items()}
    assert means == pytest.approx({"M1": 23.0, "M2": 57.666666666666664, "M3": 26.0, "M4": 10.2}, abs=1e-9)
    assert {name: len(p.starts) for name, p in periods.items()} == {"M1": 7, "M2": 3, "M3": 5, "M4": 5}
    deviations = {name: float(np.std(p.ends - p.starts, ddof=1)) for name, p in periods.items()}
    expected = {"M1": 3.1091263510296048, "M2": 18.610033136277146, "M3": 24.606909598728564, "M4": 1.3038404810405297}
    assert deviations == pytest.approx(expected, abs=1e-9)
    assert max(means, key=lambda name: means[name]) == "M2"


def test_k01_shifting_bottleneck() -> None:
    found = momentary_constraints(k01(), 200.0)
    assert found.periods == [
        ("M1", 0, 20), ("M2", 20, 95), ("M3", 82, 152), ("M2", 100, 160), ("M4", 155, 167), ("M2", 162, 200),
    ]  # fmt: skip
    assert found.sole == pytest.approx({"M1": 0.1, "M2": 0.49, "M3": 0.025, "M4": 0.01}, abs=1e-12)
    assert found.shifting == pytest.approx({"M1": 0.0, "M2": 0.375, "M3": 0.325, "M4": 0.05}, abs=1e-12)
    assert max(found.total, key=lambda name: found.total[name]) == "M2"


def test_the_first_named_of_two_equal_periods_wins() -> None:
    same = {"a": merged([0.0], [10.0]), "b": merged([0.0], [10.0])}
    assert momentary_constraints(same, 10.0).total == {"a": 1.0, "b": 0.0}


def sew(task: int, seat: int, start: float, end: float, worked_min: float, person: int) -> dict[str, float]:
    return operation(task, KIND["sew"], start, end, seat=seat, person=person, worked_min=worked_min, order=0)


def states(*edges: tuple[str, float]) -> list[dict[str, float]]:
    ends = [start for _, start in edges[1:]] + [WEEK]
    return [
        {"printer": 0, "state": STATE[state], "start": start, "end": end}
        for (state, start), end in zip(edges, ends, strict=True)
    ]


def a_week() -> dict[str, list[dict[str, float]]]:
    """Both sewers sew from Monday 08:00 (480) over the break to Tuesday 08:00 (1920), without a free minute; on
    Wednesday only one of them sews. The printer prints on Monday 07:00-07:30 and 08:10-08:20."""
    return {
        "operations": [
            sew(1, 0, 480, 930, 420, 1), sew(2, 1, 480, 930, 420, 2),
            sew(3, 0, 1860, 1920, 60, 1), sew(4, 1, 1860, 1920, 60, 2),
            sew(5, 0, 3300, 3400, 100, 1),
        ],
        "printer_states": states(
            ("off", 0), ("printing", 420), ("waiting_job", 450), ("printing", 490), ("waiting_job", 500), ("off", 930)
        ),
    }  # fmt: skip


def test_a_full_place_stays_active_over_break_and_night() -> None:
    """Shop time is 5 days of 510 min (07:00-15:30, the printer is looked after in the break too) = 2550. The seats are
    full from 480 to 930 and 1860 to 1920: one period of 510 shop minutes, sole but for the second printing, which is
    never the longest. So are the sewers; the place is named first."""
    log = hand_log(hand_shop(), **a_week())
    found = constraint_shares(log, hand_shop())
    assert found.periods == [("p1", 0, 30), ("sewing", 60, 570)]
    assert found.sole == pytest.approx(
        {"p1": 30 / 2550, "sewing": 510 / 2550, "printing people": 0, "sewing people": 0}
    )
    assert constraint_of(log, hand_shop()) == ("sewing", pytest.approx(510 / 2550))
    table = active_table(log, hand_shop()).set_index("id")
    assert table["mean_active_min"].to_dict() == pytest.approx(
        {"p1": 20, "sewing": 510, "printing people": 0, "sewing people": 510}
    )
    assert table["kind"].to_dict() == {
        "p1": "printer",
        "sewing": "place",
        "printing people": "people",
        "sewing people": "people",
    }


def test_people_are_full_when_those_present_all_work() -> None:
    """The second sewer is absent on Wednesday (day 2), so the first one's 100 minutes make the people, not the place,
    the constraint."""
    # Wednesday 07:00, minute 3300, is minute 1020 of shop time.
    alone = ("sewing people", 1020, 1120)
    assert alone not in constraint_shares(hand_log(hand_shop(), **a_week()), hand_shop()).periods
    log = hand_log(hand_shop(), **a_week(), absences=[{"person": 2, "day": 2}])
    assert alone in constraint_shares(log, hand_shop()).periods


def test_after_an_absence_people_are_full_with_everybody_again() -> None:
    """Absent on Wednesday; on Thursday (4740) both sew for an hour, on Friday (6180) one of them does."""
    week = a_week()
    week["operations"] += [sew(6, 0, 4740, 4800, 60, 1), sew(7, 1, 4740, 4800, 60, 2), sew(8, 0, 6180, 6240, 60, 1)]
    log = hand_log(hand_shop(), **week, absences=[{"person": 2, "day": 2}])
    sewers = active_table(log, hand_shop()).set_index("id").loc["sewing people"]
    assert (sewers["periods"], sewers["mean_active_min"]) == (3, pytest.approx((510 + 100 + 60) / 3))


def test_people_count_together_however_they_are_grouped_into_crews() -> None:
    """The same week by the same two sewers, once as a crew of two, once as two crews of one: the same constraint."""
    one_each = hand_shop(crews=[
        crew("op", "printing", wage_per_h=20.0), crew("first", "sewing", wage_per_h=20.0),
        crew("second", "sewing", wage_per_h=20.0),
    ])  # fmt: skip
    together = constraint_shares(hand_log(hand_shop(), **a_week()), hand_shop())
    apart = constraint_shares(hand_log(one_each, **a_week()), one_each)
    assert apart.periods == together.periods
    assert apart.total == together.total


def test_a_shop_that_never_worked_has_no_constraint() -> None:
    name, share = constraint_of(hand_log(hand_shop()), hand_shop())
    assert name == ""
    assert math.isnan(share)
