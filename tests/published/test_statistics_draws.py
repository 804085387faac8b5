"""Random numbers and the distributions drawn from them: checks E-16, E-17, E-18.

Not tested, because the project has neither: the generators mt19937_64 and MRG32k3a of E-17, and the truncated normal
distribution of E-18.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from shopsim.distributions import Gamma, LogNormal, Triangular, Uniform, Weibull
from shopsim.distributions.formulas import Z_P90
from shopsim.streams import stream
from shopsim.studies.batch_means import summary
from shopsim.studies.compare import paired_difference
from shopsim.studies.precision import interval

# -- E-16: S. M. Ross, Simulation, variance reduction, E[e^U] (from memory; recomputed by exact integrals) ------------

# Midpoints of equal steps stand for U itself: the error of these integrals is below 1e-10, and only the divisor n - 1
# of samples must be undone.
STEPS = 100_000
MIDPOINTS = (np.arange(STEPS) + 0.5) / STEPS
CRUDE = np.exp(MIDPOINTS).tolist()
MIRRORED = np.exp(1 - MIDPOINTS).tolist()


def variance(values: list[float]) -> float:
    return summary(values).deviation ** 2 * (STEPS - 1) / STEPS


def test_e16_crude_and_antithetic() -> None:
    assert summary(CRUDE).mean == pytest.approx(1.71828182846, abs=1e-10)
    assert variance(CRUDE) == pytest.approx(0.242035607453, abs=1e-9)
    pair_means = [(one + other) / 2 for one, other in zip(CRUDE, MIRRORED, strict=True)]
    assert variance(pair_means) == pytest.approx(0.00391249694963, abs=1e-9)
    # The sum of a pair is the paired difference of e^U and -e^(1 - U): pairing opposite runs is pairing all the same.
    found = paired_difference(CRUDE, [-value for value in MIRRORED])
    assert found.correlation is not None and found.variance_reduction is not None
    assert -found.correlation * variance(CRUDE) == pytest.approx(-0.234210613554, abs=1e-9)
    assert 1 - 1 / found.variance_reduction == pytest.approx(0.967670071435, abs=1e-6)


def test_e16_control_variate() -> None:
    found = paired_difference(CRUDE, MIDPOINTS.tolist())
    assert found.correlation is not None
    spread = variance(MIDPOINTS.tolist())
    covariance = found.correlation * math.sqrt(variance(CRUDE) * spread)
    assert covariance == pytest.approx(0.14085908577, abs=1e-9)
    assert -covariance / spread == pytest.approx(-1.69030902925, abs=1e-8)
    controlled = [value - covariance / spread * (u - 0.5) for value, u in zip(CRUDE, MIDPOINTS.tolist(), strict=True)]
    assert variance(controlled) == pytest.approx(0.00394022292363, abs=1e-9)


def test_e16_antithetic_pairs_by_simulation() -> None:
    u = Uniform(0, 1).sample(stream(16, 0, "antithetic"), 10_000)
    pairs = ((np.exp(u) + np.exp(1 - u)) / 2).tolist()
    assert summary(pairs).deviation ** 2 == pytest.approx(0.0039125, rel=0.05)
    found = interval(pairs, 99)
    assert found.low is not None and found.high is not None and found.low <= math.e - 1 <= found.high


# -- E-17: known answers of the generators ----------------------------------------------------------------------------


def test_e17_pcg64_which_all_our_streams_use() -> None:
    # M. E. O'Neill, PCG reference implementation in C, test-high/expected/check-setseq-128-xsl-rr-64.out (seed 42,
    # stream 54), confirmed in public repositories. Seeding as in its pcg_setseq_128_srandom_r.
    multiplier, increment = 0x2360ED051FC65DA44385DF649FCCF645, (54 << 1) | 1
    state = ((increment + 42) * multiplier + increment) % 2**128
    generator = stream(1, 0, "known answers").bit_generator
    assert isinstance(generator, np.random.PCG64)
    generator.state = generator.state | {"state": {"state": state, "inc": increment}}
    assert [f"{number:016x}" for number in generator.random_raw(6)] == [
        "86b1da1d72062b68", "1304aa46c9853d39", "a3670e9e0dd50358",
        "f9090e529a7dae00", "c85b9fd837996f2c", "606121f8e3919196",
    ]  # fmt: skip


def test_e17_seeding_of_the_library_beneath() -> None:
    # numpy's own known answers, pcg64-testset-1.csv of its tests: a changed seeding would change all our streams.
    generator = np.random.PCG64(np.random.SeedSequence(0xDEADBEAF))
    assert [hex(number) for number in generator.random_raw(3)] == [
        "0x60d24054e17a0698", "0xd5e79d89856e4f12", "0xd254972fe64bd782",
    ]  # fmt: skip


def test_e17_other_generators_of_the_library_beneath() -> None:
    # ISO C++ [rand.predef]: the 10,000th value of default-seeded mt19937 (from memory; recomputed).
    twister = np.random.MT19937()
    twister._legacy_seeding(5489)
    assert twister.random_raw(10_000)[-1] == 4123659995
    # J. K. Salmon et al., "Parallel random numbers: as easy as 1, 2, 3", SC11, Random123 kat_vectors, counter 0, key 0
    # (from memory; recomputed); numpy counts up before use.
    philox = np.random.Philox(counter=2**256 - 1, key=0)
    assert [f"{number:016x}" for number in philox.random_raw(4)] == [
        "16554d9eca36314c", "db20fe9d672d0fdc", "d7e772cee186176b", "7e68b68aec7ba23b",
    ]  # fmt: skip


def test_e17_streams_are_distinct_and_reproducible() -> None:
    firsts = [[stream(2024, k, name).random() for k in range(4) for name in ("sewing", "printing")] for _ in range(2)]
    assert len(set(firsts[0])) == 8
    assert firsts[0] == firsts[1]


# -- E-18: mean 12 min and coefficient of variation 0.6; derived, moment formulas as in Law, chapter 6 ----------------

MU, SIGMA = 2.33116429991, 0.554513029376


def test_e18_parameters() -> None:
    log_normal = LogNormal(math.exp(MU), math.exp(MU + Z_P90 * SIGMA))
    assert log_normal.mean == pytest.approx(12, rel=1e-9)
    assert math.sqrt(log_normal.variance) / log_normal.mean == pytest.approx(0.6, rel=1e-9)
    assert log_normal.sigma == pytest.approx(SIGMA, abs=1e-9)
    weibull = Weibull(12, 0.6)
    assert weibull.shape == pytest.approx(1.71708343032, abs=1e-7)
    assert weibull.scale == pytest.approx(13.4581537589, abs=1e-7)
    triangular = Triangular(4, 10, 25)
    assert triangular.mean == pytest.approx(13, abs=1e-9)
    assert triangular.variance == pytest.approx(19.5, abs=1e-9)
    # A gamma of shape 1 / 0.6^2 and scale 12 * 0.6^2, seen in its draws.
    drawn = Gamma(12, 0.6).sample(stream(18, 0, "gamma"), 5)
    np.testing.assert_allclose(drawn, stream(18, 0, "gamma").gamma(2.77777777778, 4.32, 5), rtol=1e-9)


@pytest.mark.parametrize(
    "law", [LogNormal(math.exp(MU), math.exp(MU + Z_P90 * SIGMA)), Gamma(12, 0.6), Weibull(12, 0.6)]
)
def test_e18_samples(law: LogNormal | Gamma | Weibull) -> None:
    sample = law.sample(stream(18, 1, "moments"), 100_000)
    assert sample.mean() == pytest.approx(12, rel=0.005)
    assert sample.std() / sample.mean() == pytest.approx(0.6, rel=0.01)


def test_e18_log_normal_95_percent_point() -> None:
    law = LogNormal(math.exp(MU), math.exp(MU + Z_P90 * SIGMA))
    # The 0.95 quantile of the normal distribution.
    assert law.median * math.exp(1.6448536269514722 * law.sigma) == pytest.approx(25.6170223862, abs=1e-8)
    sample = law.sample(stream(18, 2, "point"), 100_000)
    # Three standard errors of a share of 100,000.
    assert (sample <= 25.6170223862).mean() == pytest.approx(0.95, abs=3 * math.sqrt(0.95 * 0.05 / 100_000))
