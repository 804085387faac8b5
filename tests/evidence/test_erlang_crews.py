"""Crews of M/M/c, whose right size Erlang's formula tells: the results kept here, and the first of them made again."""

from __future__ import annotations

import itertools
from statistics import fmean, stdev

import pytest

from tests.evidence import erlang_crews
from tests.evidence.erlang_crews import HEADING, HEADS, LEVELS, PROMISED, RIGHT, TARGET, TOLERANCE
from tests.evidence.slices import at_least, rate_between, rate_text, read

AGAIN = 2
# What a mean of shares of replications leans towards quiet ones.
LEAN = 0.0015


def test_the_right_crew_follows_from_erlangs_formula() -> None:
    meet = [heads for heads in HEADS if LEVELS[heads] >= TARGET]
    assert (min(meet), meet) == (RIGHT, [5, 6, 7])
    # Four and five people lie at either edge of the tolerance, all others further away.
    assert [LEVELS[4], LEVELS[5]] == pytest.approx([TARGET - TOLERANCE, TARGET + TOLERANCE])
    assert [round(level, 3) for level in LEVELS.values()] == [0.376, 0.75, 0.816, 0.83, 0.834]
    assert all(low < high for low, high in itertools.pairwise(LEVELS.values()))


def test_the_right_crew_is_named_as_often_as_promised() -> None:
    hits, n = erlang_crews.right()
    assert len({row["study"] for row in read(erlang_crews.RESULTS)}) == n
    assert n >= 400
    assert hits >= at_least(PROMISED, n)
    # Conservative: the 99 % range of the rate lies above what is promised.
    low, high = rate_between(hits, n)
    assert PROMISED < low < high < 1
    assert rate_text(hits, n, PROMISED) in erlang_crews.summary()
    assert erlang_crews.summary().startswith(f"{hits} of {n} studies name 5 people; at least {at_least(PROMISED, n)} ")


@pytest.mark.parametrize("heads", [4, 5, 6, 7])
def test_shares_on_time_are_those_of_the_long_run(heads: int) -> None:
    shares = [float(row[f"on_time_{heads}"]) for row in read(erlang_crews.RESULTS)]
    assert abs(fmean(shares) - LEVELS[heads]) < LEAN + 3.5 * stdev(shares) / len(shares) ** 0.5


def test_the_first_studies_made_again_are_those_kept_here_and_name_the_right_crew() -> None:
    kept = read(erlang_crews.RESULTS)[:AGAIN]
    found = [dict(zip(HEADING, map(str, row), strict=True)) for row in erlang_crews.studies(0, AGAIN)]
    assert found == kept
    assert sum(row["crew"] == str(RIGHT) for row in found) >= at_least(PROMISED, AGAIN)
