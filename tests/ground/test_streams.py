"""Streams by name: the same key the same draws, any other key other draws."""

import numpy as np
import pytest

from shopsim.distributions import Exponential, Fixed, Gamma, Triangular
from shopsim.streams import Draws, stream


def test_the_same_key_gives_the_same_draws() -> None:
    assert stream(7, 3, "orders/gap").random(5).tolist() == stream(7, 3, "orders/gap").random(5).tolist()


def test_the_hash_of_a_name_is_the_same_in_every_process() -> None:
    # The number is what `printf orders/gap | b2sum -l 64` prints.
    expected = np.random.Generator(np.random.PCG64(np.random.SeedSequence([7, 3, 0xF4A42BCC675A5FB2])))
    assert stream(7, 3, "orders/gap").random(3).tolist() == expected.random(3).tolist()


def test_every_part_of_the_key_counts() -> None:
    keys = [(7, 3, "a"), (8, 3, "a"), (7, 4, "a"), (7, 3, "b"), (3, 7, "a"), (7, 3, "")]
    firsts = {stream(*key).random() for key in keys}
    assert len(firsts) == len(keys)


def test_streams_of_different_names_do_not_follow_each_other() -> None:
    one, other = stream(1, 0, "printer 1 failures").random(10_000), stream(1, 0, "printer 2 failures").random(10_000)
    # The standard error of a correlation of 10,000 independent pairs is 0.01.
    assert abs(np.corrcoef(one, other)[0, 1]) < 0.03


@pytest.mark.parametrize(
    ("seed", "replication", "text"),
    [
        (-1, 0, "seed must be from 0 to 4294967295, got -1"),
        (2**32, 0, "seed must be from 0 to 4294967295, got 4294967296"),
        (0, -5, "replication must be from 0 to 4294967295, got -5"),
    ],
)
def test_keys_out_of_range_are_refused(seed: int, replication: int, text: str) -> None:
    with pytest.raises(ValueError) as caught:
        stream(seed, replication, "x")
    assert str(caught.value) == text


@pytest.mark.parametrize("distribution", [Exponential(4.0), Gamma(4.0, 0.5), Triangular(2, 3, 5)])
def test_the_block_size_changes_no_draw(distribution: Exponential | Gamma | Triangular) -> None:
    small = Draws(stream(1, 1, "sew"), distribution, block=7)
    large = Draws(stream(1, 1, "sew"), distribution)
    wanted = distribution.sample(stream(1, 1, "sew"), 50).tolist()
    assert [small.next() for _ in range(50)] == wanted
    assert [large.next() for _ in range(50)] == wanted


def test_draws_are_plain_floats() -> None:
    assert type(Draws(stream(1, 1, "sew"), Fixed(3)).next()) is float


def test_a_block_must_hold_a_draw() -> None:
    with pytest.raises(ValueError) as caught:
        Draws(stream(1, 1, "sew"), Fixed(3), block=0)
    assert str(caught.value) == "block must be at least 1, got 0"
