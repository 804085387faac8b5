"""What `payback` says: verdict with its interval, with how many orders, from what demand on it pays, luck and doubt."""

from __future__ import annotations

import datetime
import io
from dataclasses import replace

import numpy as np
import pytest
from rich.console import Console

from shopsim.figures import money
from shopsim.sentences.paying import paid
from shopsim.sentences.paying_words import orders_per_week, quantile
from shopsim.shop.order_book import OrderLine
from shopsim.shop.products import Size
from shopsim.studies.cash_flow import PARTS, GainCurves, MoneyCurves, Spending
from shopsim.studies.input_ranges import Range
from shopsim.studies.option import Option
from shopsim.studies.payback import Payback, TakenAnyway
from shopsim.studies.payback_inputs import PaybackPlan
from shopsim.studies.precision import Interval
from shopsim.studies.replicate import Replications
from shopsim.studies.root_finding import Root
from shopsim.studies.worth import Bar, Worth
from shopsim.terminal.payback_page import print_payback
from tests.studies.given import row
from tests.telling.rows import scenario

NEVER = float("inf")
YEARS = (2.1, 2.4, 2.6, 2.8, 2.9, 3.0, 3.1, 3.3, 4.6, 5.2)
INF = float("inf")
ON_TIME = "% of orders go out on time (91 to 97), 90 % as the shop stands (87 to 93)."
RUNS = (
    "Intervals tell how well the mean is known. Luck is that of 10 replications, drawn anew for each year of use, if "
    "anything too much for a year. What happens in 13 weeks is taken as typical of the year, before tax; run at 2 "
    "demands, after a warm-up of 2 weeks, which does not count."
)
LUCK = "Luck alone makes it 80,000 to 150,000 CU in 80 % of cases, both together −70,000 to 100,000 CU."
USUAL = (
    "Usual ranges of ours are common practice without a source, but those of resale and electricity; on the command "
    "line --only-given leaves them out."
)
BELOW = f"With it 94 {ON_TIME} {LUCK} {RUNS} {USUAL}"


def worth(npv: tuple[float, ...], years: tuple[float, ...]) -> Worth:
    flows = np.array([[-100_000.0, *[40_000.0] * 5]] * len(npv))
    return Worth(
        flows, npv, years, years, (-INF, *[10.0] * (len(npv) - 1)), (-INF, 0.9, 0.91, *[INF] * 7), (12.0,) * 10
    )


def held(*shares: dict[str, float]) -> Replications:
    """Ten runs with one share of the time after the other, for what holds the shop back."""
    rows = tuple(row(k, {}, constraint=shares[k % len(shares)]) for k in range(10))
    return Replications(scenario(), rows)


def found(npv: tuple[float | None, float | None] = (120_300, 243_700), **changes: object) -> Payback:
    low, high = npv
    mean = 182_400.0 if low is None or high is None else (low + high) / 2
    gains = np.zeros((1, 10, len(PARTS)))
    gains[0, :, 0] = [50_000 + 100 * k for k in range(10)]
    gains[0, :, list(PARTS).index("labour")] = -9000
    books = np.repeat(gains, 2, axis=0)
    books[1, :, 0] += 30_000
    doubts = (Range("once_cu", 90_000, 110_000), Range("gain_pct", 80, 110))
    made = Payback(
        Option("as it stands", scenario()), Option("A second printer", scenario()),
        PaybackPlan(10, Spending(100_000, 7, 20_000), ranges=doubts),
        GainCurves(MoneyCurves((1.0,), gains), MoneyCurves((1.0, 1.2), books)),
        Interval(41_450, 41_000, 41_900, 450, 10),
        worth(tuple(range(-10_000, 290_000, 30_000)), YEARS), Interval(mean, low, high, None, 10), None,
        Root(2.9, 2.63, 3.27, 0, (0, 7), 10), Root(3.4, 3.1, 3.9, 0, (0, 7), 10),
        Root(0.94, 0.885, 0.992, 0, (0.8, 1.2), 10), Root(None, None, 0.0, -1, (0.0, 0.2), 10),
        (Bar(doubts[1], 90_000, 210_000), Bar(doubts[0], 192_000, 172_000)),
        worth((80_000.0, *[150_000.0] * 8, 200_000.0), YEARS), worth((-50_000.0, *[100_000.0] * 8, 210_000.0), YEARS),
        worth((-70_000.0, *[100_000.0] * 8, 230_000.0), YEARS), 0.0, Interval(0.9, 0.87, 0.93, 0.03, 10),
        Interval(0.94, 0.91, 0.97, 0.03, 10), None, held({}), held({}),
    )  # fmt: skip
    return replace(made, **changes)  # type: ignore[arg-type]


WON = {
    "plan": PaybackPlan(10, Spending(100_000, 7, 20_000), orders_won_pct=20.0, orders_won_weeks=26.0),
    "without_won": Interval(-40_000, -60_000, -20_000, None, 10), "orders_won_needed": Root(0.12, 0.094, 0.141, 0,
                                                                                           (0.0, 0.3), 10),
    "taken_anyway": TakenAnyway(Interval(0.7, 0.67, 0.73, 0.03, 10), Interval(90_000, 70_000, 110_000, None, 10)),
}  # fmt: skip


def test_orders_turned_away_are_told_with_what_goes_out_on_time() -> None:
    """A shop that says no is easily on time with the rest."""
    now, then = (replace(held({}), rows=tuple(row(k, {"turned_away_share": share}) for k in range(10)))
                 for share in (0.02, 0.3))  # fmt: skip
    assert paid(found(runs_now=now, runs_then=then)).below.startswith(
        "With it 94 % of orders go out on time (91 to 97; 30 % of orders turned away), 90 % as the shop stands (87 to "
        "93; 2 % of orders turned away). "
    )


def test_the_whole_answer() -> None:
    assert paid(found()) == (
        (
            "“A second printer” pays: it is worth 182,000 CU (95 % interval 120,000 to 244,000) over 7 years at 8 % a "
            "year, with as many orders as today, and has paid back after 2.9 years (2.6 to 3.3; luck makes it 2.1 to "
            "4.6 in 80 % of cases). At the same demand every year it pays from 94 % of today's on (88 to 100). With "
            "doubt about 2 inputs (usual ranges of ours) "
            "it is worth −50,000 to 100,000 CU in 80 % of cases, and more than nothing in 90 %; "
            "gain that comes true matters most."
        ),
        BELOW,
    )


def test_the_whole_answer_with_orders_won() -> None:
    # The weeks studied are busier than the year: 1 order a week of the file is 1.117 in them.
    assert orders_per_week(found(**WON)) == pytest.approx((1.1166154, 1.2 * 1.1166154))
    assert paid(found(**WON)) == (
        (
            "“A second printer” pays: it is worth 182,000 CU (95 % interval 120,000 to 244,000) over 7 years at 8 % a "
            "year, with 1.34 orders a week instead of 1.12 (20 % more), all of them after 26 weeks, and has paid back "
            "after 2.9 years (2.6 to 3.3; luck makes it 2.1 to 4.6 in 80 % of cases). Without the orders won it is "
            "worth −40,000 CU (95 % interval −60,000 to −20,000), against taking them as the shop stands 90,000 CU (95 "
            "% interval 70,000 to 110,000); at the same demand every year it pays from 94 % of "
            "today's on (88 to 100), the orders won in step; it pays from 12 % more orders won by it on (9 to 15). "
            "Luck alone makes it 80,000 to 150,000 CU in 80 % of cases."
        ),
        (
            f"With these orders 94 {ON_TIME} Should the shop take the orders won without it, 70 % would (67 to 73). "
            f"{RUNS}"
        ),
    )


def test_what_orders_alone_would_earn_is_not_told_as_the_merit_of_what_is_bought() -> None:
    for low, high in ((-50_000, -10_000), (-20_000, 10_000)):
        anyway = TakenAnyway(Interval(0.7, 0.67, 0.73, 0.03, 10), Interval((low + high) / 2, low, high, None, 10))
        sentence = paid(found(**{**WON, "taken_anyway": anyway})).sentence
        assert sentence.startswith("“A second printer” pays if the orders won would not come without it: it is worth 1")


def more_orders(per_week: float) -> Option:
    shop = scenario()
    forecast = shop.demand.forecast
    assert forecast is not None
    demand = shop.demand.model_copy(update={"forecast": forecast.model_copy(update={"orders_per_week": per_week})})
    return Option("A second printer", shop.model_copy(update={"demand": demand}))


def flags_of(width_m: float) -> Option:
    shop = scenario()
    (flag,) = shop.products
    flag = flag.model_copy(update={"sizes": (Size(width_m=width_m, height_m=1.0),)})
    return Option("A second printer", shop.model_copy(update={"products": (flag,)}))


def test_a_what_if_that_changes_the_demand_itself_is_not_told_to_have_as_many_orders() -> None:
    """24 orders a week set by a what-if instead of 20 were told as `with as many orders as today`."""
    assert (
        "with 1.34 orders a week instead of 1.12 (20 % more), and has" in paid(found(option=more_orders(1.2))).sentence
    )
    fewer = paid(found(option=more_orders(0.5), plan=replace(found().plan, growth_pct_per_year=3.0)))
    assert "with 0.558 orders a week instead of 1.12 (50 % less), growing by 3 % a year, and has" in fewer.sentence
    assert fewer.below.startswith("With these orders 94 % of orders go out on time")
    larger = paid(found(base=flags_of(1.0), option=flags_of(2.0)))
    assert "with as many orders as today, but 100 % more m², and has" in larger.sentence


@pytest.mark.parametrize(("changes", "start"), [
    ({"npv": (-90_000, -10_000)}, ("“A second printer” does not pay: it is worth −50,000 CU (95 % interval −90,000 to "
                                  "−10,000) over 7 years at 8 % a year")),
    ({"npv": (-40_000, 60_000)}, ("Whether “A second printer” pays cannot be told: it is worth 10,000 CU (95 % "
                                 "interval −40,000 to 60,000) over 7 years at 8 % a year, with as many orders as today"
                                 ", and has paid back")),
    ({"npv": (None, None)}, ("Whether “A second printer” pays cannot be told from one replication: it is worth 182,000 "
                             "CU over 7 years")),
])  # fmt: skip
def test_the_verdict_is_that_of_the_interval(changes: dict[str, object], start: str) -> None:
    assert paid(found(**changes)).sentence.startswith(start)  # type: ignore[arg-type]


@pytest.mark.parametrize(("root", "years", "text"), [
    (Root(None, 7.0, None, 1, (0, 7), 10), (*YEARS[:4], *[NEVER] * 6),
     ", and does not pay back within its life (by luck it does in 40 % of cases)."),
    (Root(None, 7.0, None, 1, (0, 7), 10), (NEVER,) * 10, ", and does not pay back within its life."),
    (Root(None, 3.0, None, 1, (0, 7), 10), (*YEARS[:4], *[NEVER] * 6),
     "; whether it pays back within its life cannot be told (by luck it does in 40 % of cases)."),
    (Root(5.0, 3.94, None, 0, (0, 7), 10), (*YEARS[:8], NEVER, NEVER),
     "; it may have paid back after about 5.0 years (at least 3.9; luck makes it 2.1 to never in 80 % of cases)."),
    (Root(5.0, None, 6.11, 0, (0, 7), 10), YEARS,
     ", and has paid back after 5.0 years (at most 6.2; luck makes it 2.1 to 4.6 in 80 % of cases)."),
    (Root(5.0, None, None, 0, (0, 7), 10), YEARS,
     "; it may have paid back after about 5.0 years (the runs give no interval; luck makes it 2.1 to 4.6 in 80 % of"),
    (Root(3.0, 3.0, 3.0, 0, (0, 7), 10), (3.0,) * 10, ", and has paid back after 3.0 years."),
])  # fmt: skip
def test_when_it_has_paid_back(root: Root, years: tuple[float, ...], text: str) -> None:
    sentence = paid(found(pays_back_after=root, luck=worth((1.0,) * 10, years))).sentence
    assert text in sentence


@pytest.mark.parametrize(("npv", "gains"), [
    ((-2_000.0, *[-1_000.0] * 9), "and more than nothing in none;"), ((1_000.0,) * 10, "and more than nothing in all;"),
    ((*[-1_000.0] * 6, *[1_000.0] * 4), "and more than nothing in 40 %;"),
    # A few of many are not none of them, nor are all but a few all.
    ((*[-1_000.0] * 299, 1_000.0), "and more than nothing in fewer than 1 %;"),
    ((-1_000.0, *[1_000.0] * 299), "and more than nothing in more than 99 %;"),
])  # fmt: skip
def test_how_often_doubt_leaves_a_gain(npv: tuple[float, ...], gains: str) -> None:
    assert gains in paid(found(doubt=worth(npv, YEARS))).sentence


@pytest.mark.parametrize(("root", "text"), [
    (Root(None, 1.75, None, 1, (0.8, 1.75), 10), " It would not pay even at 175 % of today's demand."),
    (Root(None, None, 0.5, -1, (0.5, 1.2), 10), " It would pay even at 50 % of today's demand."),
    (Root(None, None, None, 1, (0.5, 1.75), 10),
     " From what demand on it would pay cannot be told (50 to 175 % of today's were tried)."),
    (Root(1.1, None, 1.2, 0, (0.5, 1.75), 10),
     " At the same demand every year it pays from about 110 % of today's on, at most 120."),
    (Root(1.1, 1.02, None, 0, (0.5, 1.75), 10),
     " At the same demand every year it may pay from about 110 % of today's on, at least 102."),
    (Root(1.1, None, None, 0, (0.5, 1.75), 10),
     " At the same demand every year it may pay from about 110 % of today's on, but the runs give no interval."),
])  # fmt: skip
def test_from_what_demand_on(root: Root, text: str) -> None:
    assert text in paid(found(breaks_even_at=root)).sentence


def test_with_two_open_intervals_nothing_is_told_to_pay() -> None:
    """Whether it pays cannot be told, so no demand is told to make it pay."""
    still_open = Root(1.1, None, None, 0, (0.6, 1.5), 2)
    sentence = paid(found(npv=(-40_000, 60_000), breaks_even_at=still_open, orders_won_needed=still_open)).sentence
    assert "it pays" not in sentence
    assert sentence.startswith("Whether “A second printer” pays cannot be told: it is worth 10,000 CU")


@pytest.mark.parametrize(("root", "text"), [
    (Root(None, 0.5, None, 1, (0.0, 0.5), 10), "; it would not pay even with 50 % more orders won by it. With doubt"),
    (Root(None, None, None, 1, (0.0, 0.5), 10),
     "; how many orders it would have to win cannot be told (up to 50 % were tried). With doubt"),
    (Root(0.3, 0.21, None, 0, (0.0, 0.5), 10),
     "; it may pay from about 30 % more orders won by it on, at least 21. With doubt"),
])  # fmt: skip
def test_how_many_orders_must_be_won(root: Root, text: str) -> None:
    assert text in paid(found(orders_won_needed=root)).sentence
    never = Root(None, 1.5, None, 1, (0.6, 1.5), 10)
    if root.low == 0.5:
        assert (
            paid(found(orders_won_needed=root, breaks_even_at=never))
            .sentence.split(". With")[0]
            .endswith(" It would not pay even at 150 % of today's demand; nor would it with 50 % more orders won by it")
        )


def test_what_would_settle_it() -> None:
    # The runs' worths have a mean of 125,000 and a standard deviation of 90,800 CU, as if each were one of 10 runs;
    # (t(n-1, 0.975) + t(n-1, 0.8)) 90,800 / sqrt(n) <= 20,000 at n = 164.
    runs = worth(tuple(range(-115_000, 185_000, 30_000)), YEARS)
    below = paid(found(npv=(-40_000, 60_000), runs=runs)).below
    assert below == f"About 154 more replications would settle whether it pays. {BELOW}"
    few = worth((-115_000, 200_000, 45_000), YEARS[:3])
    assert paid(found(npv=(-40_000, 60_000), runs=few)).below.startswith(
        "3 replications are too few to plan from; 30 are a start. "
    )


def test_nothing_spent_and_no_doubt() -> None:
    sentence = paid(found(plan=PaybackPlan(10, Spending(0.0)))).sentence
    assert ", with nothing to pay back." in sentence
    assert sentence.endswith("on (88 to 100). Luck alone makes it 80,000 to 150,000 CU in 80 % of cases.")


def test_growth_beyond_what_was_run_is_told() -> None:
    both = found().curves.option
    curves = GainCurves(both, both)
    grown = replace(found().plan, growth_pct_per_year=4.0)
    # 1.04 to the sixth is 1.27; at 3 % it would be 1.19.
    assert paid(found(curves=curves, plan=grown)).below.endswith(
        " Demand beyond 120 % of today's was not run: the gain is taken as there."
    )
    less = replace(grown, growth_pct_per_year=3.0)
    assert "Demand beyond" not in paid(found(curves=curves, plan=less)).below
    assert " 8 % a year, with orders growing by 3 % a year, and" in paid(found(plan=less)).sentence
    shrinking = replace(grown, growth_pct_per_year=-2.0)
    assert ", with orders shrinking by 2 % a year, and" in paid(found(plan=shrinking)).sentence
    assert paid(found(curves=curves, cut_off_share=0.123)).below.endswith(
        " In 13 % of the cases with doubt demand leaves 100 to 120 % of today's, which was run: the gain is then taken "
        "as there."
    )


def test_amounts_have_three_digits_and_quantiles_are_values() -> None:
    assert [money(x) for x in (0, 7.4, -812.6, 1234, -182_499, 1_234_567)] == [
        "0", "7", "−813", "1,230", "−182,000", "1,230,000",
    ]  # fmt: skip
    assert [quantile(YEARS, share) for share in (0.1, 0.5, 0.9, 1.0)] == [2.1, 2.9, 4.6, 5.2]


def test_the_page() -> None:
    text = io.StringIO()
    print_payback(Console(file=text, width=110), found(), paid(found()))
    lines = [" ".join(line.split()) for line in text.getvalue().splitlines()]
    # 50,450 ± 2.262 x 302.8 / sqrt(10).
    assert "Sales 50,450 50,233 to 50,667" in lines
    assert "Wages and overtime −9,000 all runs alike" in lines
    assert "What “A second printer” leaves over a year at today's demand, CU" in lines
    assert "year 1 40,000 −60,000 −63,000" in lines
    assert "payback, years, luck 2.1 2.9 4.6" in lines
    assert "internal rate, %, both below 0 10.0 10.0" in lines
    assert "pays from demand, % of today's, luck any run more than run more than run" in lines
    assert "pays from orders won, %, doubt 12 12 12" in lines
    assert "Has paid back within its life in 100 % (luck), 100 % (doubt), 100 % (both) of cases." in lines
    assert "gain that comes true 80 to 110 90,000 210,000 ========================" in lines
    assert "price 90,000 to 110,000 192,000 172,000 ................====...." in lines


def test_the_page_says_what_orders_won_bring() -> None:
    text = io.StringIO()
    print_payback(Console(file=text, width=110), found(**WON), paid(found(**WON)))
    lines = [" ".join(line.split()) for line in text.getvalue().splitlines()]
    assert "What “A second printer” leaves over a year at today's demand and the orders won, CU" in lines
    assert "Sales 80,450 80,233 to 80,667 30,000" in lines
    assert "Wages and overtime −9,000 all runs alike 0" in lines
    # Without ranges there is no doubt to show.
    assert not [line for line in lines if "doubt 12" in line]
    assert "Has paid back within its life in 100 % (luck) of cases." in lines


def test_what_holds_the_shop_back_is_told_with_it_and_without() -> None:
    now, then = held({"printer_1": 0.62, "sewing people": 0.1}), held({"sewing people": 0.58}, {"sewing people": 0.66})
    assert (
        "90 % as the shop stands (87 to 93); it is then held back most by the people of crew new sewers (62 % of the "
        "time, 58 to 66); as it stands it is held back most by printer 1 (62 % of the time). "
    ) in paid(found(runs_now=now, runs_then=then)).below


def test_what_holds_the_shop_back_is_no_fact_where_the_runs_cannot_tell() -> None:
    open_ones = held({"printer_1": 0.7, "sewing people": 0.3}, {"printer_1": 0.3, "sewing people": 0.65})
    assert (
        "; it may then be held back most by printer 1 (50 % of the time, 34 to 66); as it stands it may be held back "
        "most by printer 1 (50 % of the time, 34 to 66). "
    ) in paid(found(runs_now=open_ones, runs_then=open_ones)).below


def booked(weeks: int, name: str) -> Option:
    """An order in the first week and in the tenth, and no forecast."""
    shop = scenario(weeks=weeks)
    shop = shop.model_copy(update={"demand": shop.demand.model_copy(update={"forecast": None})})
    days = [datetime.datetime(2026, 1, 19) + datetime.timedelta(weeks=week) for week in (0, 9)]
    lines = tuple(
        OrderLine(order_id=f"{i}", received=day, due=day.date(), product="flag", pieces=1) for i, day in enumerate(days)
    )
    return Option(name, shop, lines)


def test_weeks_without_new_orders_are_told_with_what_is_counted_by_them() -> None:
    by = "wages, machine service and floor by all weeks, what goes with orders by those in which orders come in"
    told = paid(found(base=booked(13, "as it stands"), option=booked(13, "more"))).below
    assert (
        "What happens in 13 weeks is taken as typical of the year (the study ends with 3 weeks without new orders: "
        f"{by}), before tax;"
    ) in told
    # An option with another demand has weeks of its own.
    told = paid(found(base=booked(13, "as it stands"))).below
    assert f"(the study ends with 3 weeks without new orders as it stands: {by})" in told


def test_ranges_of_the_program_are_told_as_such() -> None:
    once, gain = found().plan.ranges
    own = Range("gain_pct", 70, 110)
    for ranges, told, rests in (
        ((once, gain), "about 2 inputs (usual ranges of ours) it", True),
        # Typed once more they have lost a digit.
        ((Range("once_cu", 90_000.01, 110_000), gain), "about 2 inputs (usual ranges of ours) it", True),
        ((once, own), "about 2 inputs (1 in usual ranges of ours) it", True),
        ((own,), "about one input it", False),
    ):
        answer = paid(found(plan=replace(found().plan, ranges=ranges)))
        assert told in answer.sentence
        assert (USUAL in answer.below) is rests
