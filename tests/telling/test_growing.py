"""What `growth` says: headroom with its interval, what is missed, what cannot be told, options beside the base."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from rich.console import Console

from shopsim.sentences.growing import grown
from shopsim.studies.demand_scaling import DemandSize
from shopsim.studies.growth import Growth, GrowthPlan, OptionGrowth
from shopsim.studies.order_weeks import OrderWeeks
from shopsim.studies.precision import Interval
from shopsim.studies.replicate import Replications
from shopsim.studies.root_finding import Root
from shopsim.terminal.growth_page import print_growth
from tests.studies.given import row
from tests.telling.rows import scenario

ALL_WEEKS = OrderWeeks(13, 0, 0)
TRIED = (0.85, 1.37)
RUNS = (
    "20 replications of 13 weeks in all, after a warm-up of 2 weeks, which does not count; "
    "as many of each product as today, at every demand."
)


def one(
    name: str,
    estimate: float | None,
    low: float | None,
    high: float | None,
    beyond: int = 0,
    m2: float = 1000,
    weeks: OrderWeeks = ALL_WEEKS,
) -> OptionGrowth:
    rows = {
        factor: Replications(scenario(), tuple(
            row(k, {"on_time_share": share + k / 1000, "lead_time_p50_h": 48, "lead_time_p90_h": 96},
                constraint={"sewing_room": 0.7}) for k in range(10)
        ))
        for factor, share in ((0.85, 0.98), (1.37, 0.7))
    }  # fmt: skip
    return OptionGrowth(name, DemandSize(100, m2), weeks, rows, Root(estimate, low, high, beyond, TRIED, 10))


def said(base: OptionGrowth, *options: OptionGrowth) -> tuple[str, str]:
    return grown(Growth(base, options, 95, 95, GrowthPlan(10)))


AS_IT_STANDS = "as it stands"


def test_weeks_that_orders_and_m2_leave_out_are_told() -> None:
    told = said(one(AS_IT_STANDS, 1.12, 1.05, 1.19, weeks=OrderWeeks(16, 1, 3)))[1]
    assert told == (
        f"{RUNS} The study begins with 1 week and ends with 3 weeks without new orders, which orders and m² a week "
        "leave out."
    )


@pytest.mark.parametrize(("root", "told"), [
    ((1.12, 1.05, 1.19), "; it may then be held back most by the sewing room."),
    ((0.92, 0.87, 0.97), "; it may be held back most by the sewing room."),
])  # fmt: skip
def test_what_holds_back_is_no_fact_where_the_runs_cannot_tell(root: tuple[float, float, float], told: str) -> None:
    """Ten runs in which now one and now the other place holds the shop back."""
    made = one(AS_IT_STANDS, *root)
    rows = tuple(
        replace(each, constraint={"sewing_room": 0.6 if k % 2 else 0.2, "packing": 0.2 if k % 2 else 0.5})
        for k, each in enumerate(made.by_factor[1.37].rows)
    )
    doubtful = {factor: Replications(found.scenario, rows) for factor, found in made.by_factor.items()}
    assert said(replace(made, by_factor=doubtful))[0].endswith(told)


def test_headroom_with_its_interval_and_what_holds_back_then() -> None:
    assert said(one(AS_IT_STANDS, 1.12, 1.05, 1.19)) == (
        (
            "The shop as it stands can take on 12 % more orders (95 % interval 5 to 19), 120 m² a week (50 to 190), "
            "before fewer than 95 % go out on time; it is then held back most by the sewing room."
        ),
        RUNS,
    )


@pytest.mark.parametrize(("root", "sentence"), [
    ((0.92, 0.87, 0.97), ("misses 95 % on time today; it would take 8 % fewer orders (95 % interval 3 to 13), 80 m² a "
                         "week (30 to 130); it is held back most by the sewing room.")),
    # Bounds are rounded outward, and nothing is said of the middle.
    ((1.01, 0.965, 1.052), ("is at its limit: 95 % go out on time up to a demand between 4 % fewer orders and 6 % more "
                           "orders than today; it is then held back most by the sewing room.")),
    # From two runs nobody knows on which side of its limit a shop is.
    ((1.1, 0.914, 1.328), ("cannot be told to be past its limit or not: 95 % go out on time up to a demand between 9 % "
                          "fewer orders and 33 % more orders than today; it is then held back most by the sewing "
                          "room.")),
    ((1.2, 1.058, None), ("can take on at least 5 % more orders before fewer than 95 % go out on time; "
                         "it is then held back most by the sewing room.")),
    ((0.9, None, 0.942), ("misses 95 % on time today; it would take at least 5 % fewer orders; "
                         "it is held back most by the sewing room.")),
    ((None, 1.37, None, 1), "still sends 95 % out on time with 37 % more orders, the most that was tried."),
    ((None, None, 0.85, -1), "misses 95 % on time even with 15 % fewer orders, the fewest that were tried."),
    ((None, 1.2, None, 1), "cannot be told to break or not between 15 % fewer orders and 37 % more orders than today."),
    ((1.1, None, None), ("breaks at 10 % more orders than today, but the runs give no interval; "
                        "it is then held back most by the sewing room.")),
])  # fmt: skip
def test_as_much_as_the_interval_allows(root: tuple[float | None, float | None, float | None], sentence: str) -> None:
    assert said(one(AS_IT_STANDS, *root))[0] == f"The shop as it stands {sentence}"


def test_a_shop_whose_pieces_have_no_size_has_headroom_in_orders_only() -> None:
    sentence, _ = said(one(AS_IT_STANDS, 1.12, 1.05, 1.19, m2=0))
    assert "can take on 12 % more orders (95 % interval 5 to 19) before fewer" in sentence


@pytest.mark.parametrize(("root", "ending"), [
    ((1.48, 1.41, 1.55), ", later than as it stands; it is"),
    ((1.03, 1.01, 1.04), ", earlier than as it stands; it is"),
    ((1.2, 1.1, 1.3), ", which the runs cannot tell from the shop as it stands; it is"),
])  # fmt: skip
def test_without_pairs_options_are_told_apart_only_by_intervals_that_do_not_meet(
    root: tuple[float, float, float], ending: str
) -> None:
    sentence, below = said(one(AS_IT_STANDS, 1.12, 1.05, 1.19), one("second printer", *root))
    assert ". With “second printer” it can take on " in sentence
    assert f"go out on time{ending} then held back most by the sewing room." in sentence
    assert below == RUNS.replace("20 replications", "Intervals hold at once. 40 replications")


@pytest.mark.parametrize(("later", "ending"), [
    (Interval(0.04, 0.012, 0.068, 0.028, 10),
     ", later than as it stands by 4 % of today's demand (95 % interval 1 to 7); it is then"),
    (Interval(-0.04, -0.068, -0.012, 0.028, 10),
     ", earlier than as it stands by 4 % of today's demand (95 % interval 1 to 7); it is then"),
    (Interval(0.04, -0.012, 0.092, 0.052, 10), ", which the runs cannot tell from the shop as it stands; it is then"),
])  # fmt: skip
def test_pairs_tell_options_apart_though_their_intervals_meet(later: Interval, ending: str) -> None:
    option = replace(one("second printer", 1.16, 1.09, 1.23), later=later)
    sentence, below = said(one(AS_IT_STANDS, 1.12, 1.05, 1.19), option)
    assert f"go out on time{ending}" in sentence
    # Each kind spends the chance of error for itself.
    at_once = "Intervals of each kind hold at once: where each breaks, and by how much later than as it stands. "
    assert below == RUNS.replace("20 replications", f"{at_once}40 replications")


def test_orders_turned_away_are_told() -> None:
    base = one(AS_IT_STANDS, 1.12, 1.05, 1.19)
    rows = Replications(scenario(), (row(0, {"on_time_share": 0.9, "turned_away_share": 0.124}),) * 2)
    _, below = said(replace(base, by_factor={**base.by_factor, 1.2: rows}))
    assert below.endswith("demand. Up to 12 % of orders were turned away; they do not count as late.")


def test_the_page() -> None:
    third = replace(one("third printer", 1.2, 1.1, 1.3), later=Interval(0.08, 0.051, 0.109, 0.029, 10))
    found = Growth(one(AS_IT_STANDS, 1.12, 1.054, 1.187), (one("second printer", None, 1.37, None, 1), third), 95, 95,
                   GrowthPlan(10))  # fmt: skip
    text = io.StringIO()
    print_growth(Console(file=text, width=100), found, grown(found))
    lines = [" ".join(line.split()) for line in text.getvalue().splitlines()]
    assert "as it stands +12 +5 to +19 +120 +54 to +187" in lines
    assert "second printer - from +37 - from +370" in lines
    assert "third printer +20 +10 to +30 +200 +100 to +300 +8 +5 to +11" in lines
    assert "m² a week 95 % interval later, % 95 % interval" in " ".join(lines)
    # On time 98.45 % ± t(9, 0.975) 0.303 / sqrt(10).
    assert "85 85 98.5 98.2 to 98.7 2 4 the sewing room" in lines


def test_what_cannot_be_told_apart_by_pairs_is_told_so() -> None:
    base, option = one(AS_IT_STANDS, 1.12, 1.05, 1.19), one("More seats", 1.15, 1.06, 1.24)
    alike = replace(option, later=Interval(0.03, -0.02, 0.08, 0.05, 10))
    assert said(base, alike)[0].endswith(
        "go out on time, which the runs cannot tell from the shop as it stands; it is then held back most by the "
        "sewing room."
    )
    g = Growth(base, (alike, replace(one("Fewer", None, None, None), later=None)), 95, 95, GrowthPlan(10))
    out = io.StringIO()
    print_growth(Console(file=out, width=110), g, grown(g))
    rows = [line.split() for line in out.getvalue().splitlines() if line.startswith(("More seats  ", "Fewer  "))]
    assert rows == [
        ["More", "seats", "+15", "+6", "to", "+24", "+150", "+60", "to", "+240", "+3", "−2", "to", "+8"],
        ["Fewer", "-", "-", "-", "-"],
    ]  # fmt: skip


PAST_IT = "settle whether the shop as it stands is past its limit today. "


@pytest.mark.parametrize(("shares", "told"), [
    # A mean of 0.97 and a deviation of 0.0527: (t(n-1, 0.975) + t(n-1, 0.8)) 0.0527 / sqrt(n) <= 0.02 at n = 57.
    ((0.92, 1.02) * 5, f"About 47 more replications would {PAST_IT}"),
    ((0.92, 1.02), "2 replications are too few to plan from; 30 are a start. "),
    ((0.92, 0.98) * 5, f"No number of replications worth doing would {PAST_IT}"),
])  # fmt: skip
def test_what_would_settle_whether_it_is_past_its_limit(shares: tuple[float, ...], told: str) -> None:
    base = one(AS_IT_STANDS, 1.1, 0.914, 1.328)
    today = Replications(scenario(), tuple(row(k, {"on_time_share": share}) for k, share in enumerate(shares)))
    runs = RUNS.replace("20 replications", f"{20 + len(shares)} replications")
    assert said(replace(base, by_factor={**base.by_factor, 1.0: today}))[1] == told + runs
    # Nothing is open where the interval leaves today out.
    clear = one(AS_IT_STANDS, 1.12, 1.05, 1.19)
    assert said(replace(clear, by_factor={**clear.by_factor, 1.0: today}))[1] == runs
