"""Random tables by purpose, row and attempt."""

from __future__ import annotations

import numpy as np
import pytest

from shopsim.distributions import Exponential
from shopsim.floor.draws import HitTable, ReplicationDraws, SumTable
from shopsim.streams import stream


def counting(rng: np.random.Generator, n: int) -> np.ndarray:
    """1, 1, 1, …: sums that can be told without a computer."""
    return np.ones(n)


def test_a_range_of_rows_adds_up() -> None:
    table = SumTable(stream(1, 0, "x"), lambda rng, n: np.arange(1.0, n + 1))
    assert table.total(0, 1) == 1
    assert table.total(0, 4) == 1 + 2 + 3 + 4
    assert table.total(3, 2) == 4 + 5
    assert table.total(2, 0) == 0


def test_rows_are_the_samples_of_the_stream() -> None:
    drawn = Exponential(7.0).sample(stream(3, 2, "minutes/attempt 1"), 2000)
    table = ReplicationDraws(3, 2).sums("minutes", 1, Exponential(7.0).sample)
    found = [table.total(row, 1) for row in range(2000)]
    assert found == pytest.approx(drawn.tolist(), rel=1e-9)


@pytest.mark.parametrize("order", [[5000, 3], [3, 5000], [511, 512, 1023, 1024, 5000]])
def test_growing_moves_no_row(order: list[int]) -> None:
    """The same floats whichever row is asked for first, on both sides of each block."""
    at_once, in_steps = (SumTable(stream(1, 0, "x"), Exponential(1.0).sample) for _ in range(2))
    at_once.total(0, 6000)
    for row in order:
        in_steps.total(row, 1)
    assert [in_steps.total(row, 3) for row in range(5000)] == [at_once.total(row, 3) for row in range(5000)]


def test_blocks_double_from_512_rows() -> None:
    asked: list[int] = []

    def sampler(rng: np.random.Generator, n: int) -> np.ndarray:
        asked.append(n)
        return counting(rng, n)

    table = SumTable(stream(1, 0, "x"), sampler)
    assert asked == []
    assert table.total(0, 512) == 512
    assert asked == [512]
    assert table.total(2000, 10) == 10
    # 1 + 512 sums, then as many again as there are.
    assert asked == [512, 513, 1026]


def test_hits_are_the_rows_below_the_rate() -> None:
    levels = stream(5, 0, "faults").random(3000)
    table = HitTable(stream(5, 0, "faults"), 0.1)
    expected = [(row, float(levels[row])) for row in range(100, 400) if levels[row] < 0.1]
    assert 15 < len(expected) < 50
    assert table.hits(100, 300) == expected
    # Backwards and across blocks; a range of no rows has no hits.
    assert table.hits(2600, 400) == [(r, float(levels[r])) for r in range(2600, 3000) if levels[r] < 0.1]
    assert table.hits(100, 300) == expected
    assert table.hits(100, 0) == []


def test_hits_at_the_ends_of_a_range() -> None:
    table = HitTable(stream(5, 0, "faults"), 0.1)
    (first, _), (second, _) = table.hits(0, 1000)[:2]
    assert [row for row, _ in table.hits(first, second - first)] == [first]
    assert [row for row, _ in table.hits(first, second - first + 1)] == [first, second]
    assert table.hits(first + 1, second - first - 1) == []


def test_a_higher_rate_only_adds_hits() -> None:
    few, many = (set(HitTable(stream(5, 0, "faults"), rate).hits(0, 5000)) for rate in (0.02, 0.05))
    assert few < many
    assert HitTable(stream(5, 0, "faults"), 1.0).hits(7, 2)[0][0] == 7
    assert HitTable(stream(5, 0, "faults"), 0.0).hits(0, 5000) == []


def test_purposes_attempts_and_replications_have_streams_of_their_own() -> None:
    draws = ReplicationDraws(1, 0)
    names = {
        draws.sums("work", 0, Exponential(1.0).sample).total(0, 1),
        draws.sums("work", 1, Exponential(1.0).sample).total(0, 1),
        draws.sums("rest", 0, Exponential(1.0).sample).total(0, 1),
        ReplicationDraws(1, 1).sums("work", 0, Exponential(1.0).sample).total(0, 1),
        ReplicationDraws(2, 0).sums("work", 0, Exponential(1.0).sample).total(0, 1),
    }
    assert len(names) == 5
    assert draws.sums("work", 0, Exponential(1.0).sample) is draws.sums("work", 0, Exponential(1.0).sample)
    assert draws.hits("fault", 0, 0.5) is draws.hits("fault", 0, 0.5)
    assert draws.hits("fault", 0, 0.5).hits(0, 100) != draws.hits("fault", 1, 0.5).hits(0, 100)


def test_numbers_in_line_are_the_stream_itself() -> None:
    line = ReplicationDraws(1, 0).line("repairs", Exponential(2.0))
    assert [line.next() for _ in range(100)] == Exponential(2.0).sample(stream(1, 0, "repairs"), 100).tolist()
