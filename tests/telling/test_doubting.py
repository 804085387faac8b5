"""What `sensitivity` says: what matters most as far as the runs can tell, and the answer with and without doubt."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from rich.console import Console

from shopsim.sentences.doubting import hangs_on
from shopsim.shop.ranges_file import InputRange, Unsure
from shopsim.studies.morris import Screened
from shopsim.studies.precision import Interval, interval
from shopsim.studies.replicate import Replications
from shopsim.studies.sensitivity import EffectBar, Method, Sensitivity, SensitivityPlan
from shopsim.studies.sobol import Index, Indices
from shopsim.terminal.sensitivity_page import print_sensitivity
from tests.studies.given import row
from tests.telling.rows import scenario

SURE, DOUBT = Interval(0.8843, 0.86, 0.909, 0.0245, 6), Interval(0.851, 0.702, 1.02, 0.16, 6)
ENDING = " As the file has it, it is 88 % (95 % interval 86 to 91); with doubt about the inputs 85 % (70 to 100)."


def unsure(path: str, low: float, high: float, now: float) -> Unsure:
    return Unsure(InputRange(path=path, low=low, high=high), now, False)


EFFICIENCY, HEADS = unsure("crews.sewers.efficiency_pct", 65, 85, 72), unsure("crews.sewers.count", 2, 4, 3)


def bar(one: Unsure, at_low: tuple[float, ...], at_high: tuple[float, ...]) -> EffectBar:
    swings = tuple(high - low for low, high in zip(at_low, at_high, strict=True))
    return EffectBar(one, interval(at_low), interval(at_high), interval(swings), swings)


CLEAR = bar(EFFICIENCY, (-0.12, -0.10, -0.11), (0.13, 0.15, 0.17))
SMALL = bar(HEADS, (-0.05, -0.04, -0.05), (0.02, 0.04, 0.03))
VAGUE = bar(HEADS, (-0.02, 0.03, -0.01), (0.01, -0.03, 0.04))


def found(
    bars: tuple[EffectBar, ...] = (), screened: tuple[Screened, ...] = (), shares: tuple[Indices, ...] = (),
    doubts: tuple[Interval, Interval] = (SURE, DOUBT), **plan: object,
) -> Sensitivity:  # fmt: skip
    rows = Replications(scenario(), tuple(row(k, {"on_time_share": 0.88}) for k in range(3)))
    method: Method = "bars" if bars else "morris" if screened else "sobol"
    made = SensitivityPlan(method, **plan)  # type: ignore[arg-type]
    return Sensitivity(rows, made, (EFFICIENCY, HEADS), bars, screened, shares, *doubts)


def test_the_whole_answer() -> None:
    # Swings 0.25, 0.25, 0.28: mean 0.26, t(2, 0.975) x 0.0173 / sqrt(3) = 0.043.
    assert hangs_on(found((CLEAR, VAGUE))) == (
        (
            "On-time delivery hangs most on crews.sewers.efficiency_pct (from 65 to 85: +26 points, 95 % interval +21 "
            f"to +31); crews.sewers.count cannot be told from luck.{ENDING}"
        ),
        (
            "Found with each input alone at both ends of its range: 5 shops, the same 6 replications of 13 weeks, "
            "after a warm-up of 2 weeks, which does not count. What is told from luck is told of all inputs at once; "
            "intervals hold each on its own."
        ),
    )


def test_why_there_are_no_shares() -> None:
    bare = found(base_samples=16, count=2)
    for why, text in (
        ("luck", "No shares can be told: 16 base samples × 2 runs are too few; luck makes all of the scatter."),
        ("alike", "There are no shares to tell: all shops gave the same."),
        ("unknown", "No shares can be told: some shops had nothing to measure."),
    ):
        below = hangs_on(replace(bare, no_shares=why)).below  # type: ignore[arg-type]
        assert below.endswith(f"intervals hold each on its own. {text}")
    assert hangs_on(bare).below.endswith("intervals hold each on its own.")


def test_what_the_runs_cannot_tell_apart() -> None:
    near = bar(HEADS, (-0.12, -0.10, -0.13), (0.13, 0.12, 0.16))
    assert hangs_on(found((CLEAR, near))).sentence.startswith(
        "On-time delivery hangs most on crews.sewers.efficiency_pct or crews.sewers.count, the runs cannot tell which "
        "(crews.sewers.efficiency_pct from 65 to 85: +26 points"
    )
    assert hangs_on(found((CLEAR, SMALL))).sentence.startswith(
        "On-time delivery hangs most on crews.sewers.efficiency_pct (from 65 to 85: +26 points, 95 % interval +21 to "
        "+31). As the file"
    )


def test_of_many_that_may_matter_most_two_are_named() -> None:
    near = bar(HEADS, (-0.12, -0.10, -0.13), (0.13, 0.12, 0.16))
    many = replace(found((near,) * 4), ranges=tuple(unsure(f"crews.{name}.count", 1, 3, 2) for name in "abcd"))
    assert hangs_on(many).sentence.startswith(
        "On-time delivery hangs most on crews.a.count, crews.b.count or 2 others, the runs cannot tell which (crews.a."
    )


def test_nothing_that_can_be_told() -> None:
    assert hangs_on(found((VAGUE, VAGUE))).sentence == (
        f"On-time delivery: none of the inputs in doubt can be told from the luck of the runs.{ENDING}"
    )


SCREENED = (
    Screened(0.2, Interval(0.21, 0.15, 0.27, 0.06, 10), 0.05, 0.02, True, (0.2, 0.22)),
    Screened(0.01, Interval(0.03, 0.02, 0.04, 0.01, 10), 0.03, 0.025, False, (0.03, 0.03)),
)
SHARES = (
    Indices(Index(0.7, 0.5, 0.9), Index(0.8, 0.61, 1.1), True, (0.7, 0.9)),
    Indices(Index(-0.02, -0.1, 0.2), Index(0.2, 0.1, 0.3), True, (0.15, 0.25)),
)  # fmt: skip


@pytest.mark.parametrize(("given", "how", "below"), [
    ({"screened": SCREENED, "count": 3},
     ("(which moves it by 21 points over its range, 95 % interval 15 to 27; luck alone would show 2); "
      "crews.sewers.count cannot be told from luck."),
     ("10 trajectories through all ranges (Morris), an effect is the change over a whole range, and 40 points that "
      "lie in the ranges as the inputs do, for the interval with doubt (Latin hypercube): 71 shops, for each of "
      "these its own 3 replications of 13 weeks,")),
    ({"shares": SHARES, "count": 1}, "(80 % of its variance, 95 % interval 61 to 100). As the file",
     ("64 base samples of all ranges (Sobol); intervals by bootstrap: 257 shops, for each of these its own 1 "
      "replication of 13 weeks, after a warm-up of 2 weeks, which does not count. What is told from luck is told of "
      "all inputs at once; intervals hold each on its own. With one replication at a point luck cannot be told from "
      "inputs, and the interval with doubt holds both.")),
])  # fmt: skip
def test_the_other_methods(given: dict[str, object], how: str, below: str) -> None:
    answer = hangs_on(found(**given))  # type: ignore[arg-type]
    assert answer.sentence.startswith(f"On-time delivery hangs most on crews.sewers.efficiency_pct {how}")
    assert below in answer.below


def test_pages_of_the_other_methods_tell_what_is_not_ranked_and_keep_shares_within_0_and_100() -> None:
    texts = []
    for given in ({"screened": SCREENED}, {"shares": SHARES}):
        text, shown = io.StringIO(), found(**given)  # type: ignore[arg-type]
        print_sensitivity(Console(file=text, width=80), shown, hangs_on(shown))
        texts.append(" ".join(text.getvalue().split()))
    assert "72 65 to 85 21 15 to 27 2 +20 5 " in texts[0]
    assert texts[0].index("65 to 85") < texts[0].index("2 to 4 3.0 2.0 to 4.0 2.5 +1 3 ")
    assert "The last one cannot be told from luck and is not ranked." in texts[0]
    assert "65 to 85 70 50 to 90 80 61 to 100" in texts[1]
    assert "2 to 4 0 0 to 20 20 10 to 30" in texts[1]
    assert "luck" not in texts[1].partition("Shares of the variance")[2].partition("What is known")[0]


def test_measures_that_are_no_shares_keep_their_unit() -> None:
    hours = bar(EFFICIENCY, (5.0, 6.0, 7.0), (-2.0, -3.0, -1.0))
    doubts = Interval(48.0, 45.0, 51.0, 3.0, 6), Interval(50.0, 40.0, 60.0, 10.0, 6)
    text = hangs_on(found((hours, hours), doubts=doubts, measure="lead_time_p50_h")).sentence
    assert "from 65 to 85: −8 h, 95 % interval" in text
    assert text.endswith("it is 48 h (95 % interval 45 to 51); with doubt about the inputs 50 h (40 to 60).")


def test_the_page() -> None:
    text = io.StringIO()
    shown = found((SMALL, CLEAR))
    print_sensitivity(Console(file=text, width=110), shown, hangs_on(shown))
    lines = [" ".join(line.split()) for line in text.getvalue().splitlines()]
    # The longest end, +15 points, is ten cells; -11 are seven, -5 and +3 three and two.
    assert any(line.endswith("3 2 to 4 −11 +15 +21 to +31 -------|==========") for line in lines)
    assert any(line.endswith("72 65 to 85 −4.7 +3 +6.2 to +9.2 ---|==") for line in lines)
    assert "and doubt about the inputs 85 70 to 100" in lines
    narrow = io.StringIO()
    print_sensitivity(Console(file=narrow, width=80), shown, hangs_on(shown))
    assert "crews. sewers. count 3 2 to 4 −11 +15 +21 to +31" in " ".join(narrow.getvalue().split())
    assert lines.index(next(line for line in lines if "−11" in line)) < lines.index(
        next(line for line in lines if "−4.7" in line)
    )
