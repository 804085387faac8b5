"""What `payback` says: verdict with its interval, spread of runs apart from it, demand from which on it pays, doubt."""

from __future__ import annotations

import io
from dataclasses import replace

import numpy as np
import pytest
from rich.console import Console

from shopsim.sentences.paying import money, paid, quantile
from shopsim.studies.cash_flow import PARTS, GainCurves, Spending
from shopsim.studies.input_ranges import Range
from shopsim.studies.option import Option
from shopsim.studies.payback import Bar, Payback, PaybackPlan, Worth
from shopsim.studies.precision import Interval
from shopsim.studies.root_finding import Root
from shopsim.terminal.payback_page import print_payback
from tests.telling.rows import scenario

NEVER = float("inf")
YEARS = (2.1, 2.4, 2.6, 2.8, 2.9, 3.0, 3.1, 3.3, 4.6, 5.2)
BELOW = (
    "Intervals tell how well the mean is known; 80 % of runs is the spread of 10 replications, each taken as the luck "
    "of every year. What happens in 13 weeks is taken as typical of the year, before tax; run at 1 demands, after a "
    "warm-up of 2 weeks, which does not count."
)


def worth(npv: tuple[float, ...], years: tuple[float, ...]) -> Worth:
    flows = np.array([[-100_000.0, *[40_000.0] * 5]] * len(npv))
    return Worth(flows, npv, years, years, (10.0,) * len(npv))


def found(npv: tuple[float | None, float | None] = (120_300, 243_700), **changes: object) -> Payback:
    low, high = npv
    mean = 182_400.0 if low is None or high is None else (low + high) / 2
    gains = np.zeros((1, 10, len(PARTS)))
    gains[0, :, 0] = [50_000 + 100 * k for k in range(10)]
    gains[0, :, list(PARTS).index("labour")] = -9000
    doubts = (Range("once_cu", 90_000, 110_000), Range("gain_pct", 80, 110))
    made = Payback(
        Option("as it stands", scenario()), Option("A second printer", scenario()),
        PaybackPlan(10, Spending(100_000, 7, 20_000), ranges=doubts),
        GainCurves((1.0,), gains), Interval(41_450, 41_000, 41_900, 450, 10),
        worth(tuple(range(-10_000, 290_000, 30_000)), YEARS), Interval(mean, low, high, None, 10),
        Root(2.9, 2.63, 3.27, 0, (0, 7), 10), Root(3.4, 3.1, 3.9, 0, (0, 7), 10),
        Root(0.94, 0.885, 0.992, 0, (0.8, 1.2), 10),
        (Bar(doubts[1], 90_000, 210_000), Bar(doubts[0], 192_000, 172_000)),
        worth((-50_000.0, *[100_000.0] * 8, 210_000.0), YEARS), 0.0,
    )  # fmt: skip
    return replace(made, **changes)  # type: ignore[arg-type]


def test_the_whole_answer() -> None:
    assert paid(found()) == (
        (
            "“A second printer” pays: it is worth 182,000 CU (95 % interval 120,000 to 244,000) over 7 years at 8 % a "
            "year, with as many orders as today, and has paid back after 2.9 years (2.6 to 3.3; 80 % of runs 2.1 to "
            "4.6); at the same demand every year it pays from 94 % of today's on (88 to 100). With doubt about 2 "
            "inputs it is worth more than nothing in 90 % of cases, and in 80 % of cases −50,000 to 100,000 CU; gain "
            "that comes true matters most."
        ),
        BELOW,
    )


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
     ", and does not pay back within its life (4 of 10 runs do);"),
    (Root(None, 3.0, None, 1, (0, 7), 10), (*YEARS[:4], *[NEVER] * 6),
     "; whether it pays back within its life cannot be told (4 of 10 runs do);"),
    (Root(5.0, 3.94, None, 0, (0, 7), 10), (*YEARS[:8], NEVER, NEVER),
     ", and has paid back after 5.0 years (at least 3.9; 80 % of runs 2.1 to never);"),
    (Root(3.0, 3.0, 3.0, 0, (0, 7), 10), (3.0,) * 10, ", and has paid back after 3.0 years (80 % of runs 3.0);"),
])  # fmt: skip
def test_when_it_has_paid_back(root: Root, years: tuple[float, ...], text: str) -> None:
    sentence = paid(found(pays_back_after=root, runs=worth((1.0,) * 10, years))).sentence
    assert text in sentence


@pytest.mark.parametrize(("root", "text"), [
    (Root(None, 1.75, None, 1, (0.8, 1.75), 10), "; it would not pay even at 175 % of today's demand."),
    (Root(None, None, 0.5, -1, (0.5, 1.2), 10), "; it would pay even at 50 % of today's demand."),
    (Root(None, None, None, 1, (0.5, 1.75), 10),
     "; from what demand on it would pay cannot be told (50 to 175 % of today's were tried)."),
    (Root(1.1, None, 1.2, 0, (0.5, 1.75), 10), "; at the same demand every year it pays from 110 % of today's on."),
])  # fmt: skip
def test_from_what_demand_on(root: Root, text: str) -> None:
    assert text in paid(found(breaks_even_at=root)).sentence


def test_what_would_settle_it() -> None:
    # The runs' worths have a mean of 125,000 and a standard deviation of 90,800 CU, as if each were one of 10 runs;
    # (t(n-1, 0.975) + t(n-1, 0.8)) 90,800 / sqrt(n) <= 20,000 at n = 164.
    runs = worth(tuple(range(-115_000, 185_000, 30_000)), YEARS)
    below = paid(found(npv=(-40_000, 60_000), runs=runs)).below
    assert below == f"About 154 more replications would settle whether it pays. {BELOW}"


def test_nothing_spent_and_no_doubt() -> None:
    sentence = paid(found(plan=PaybackPlan(10, Spending(0.0)))).sentence
    assert ", with nothing to pay back;" in sentence
    assert sentence.endswith("from 94 % of today's on (88 to 100).")


def test_growth_beyond_what_was_run_is_told() -> None:
    curves = replace(found().curves, factors=(1.0, 1.2), gains=np.repeat(found().curves.gains, 2, axis=0))
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
    assert "year 1 40,000 −60,000 −63,000" in lines
    assert "payback, years, runs 2.1 2.9 4.6" in lines
    assert "gain that comes true 80 to 110 90,000 210,000 ========================" in lines
    assert "price 90,000 to 110,000 192,000 172,000 ................====...." in lines
