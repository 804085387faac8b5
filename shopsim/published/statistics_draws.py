"""Random numbers, what is drawn from them, and variance reduction against exact integrals."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np

from shopsim.distributions import Gamma, LogNormal, Triangular, Uniform, Weibull
from shopsim.distributions.formulas import Z_P90
from shopsim.published.case import Case, Finding, known
from shopsim.published.simulated import mean_of
from shopsim.streams import stream
from shopsim.studies.batch_means import summary
from shopsim.studies.compare import paired_difference

# Midpoints of equal steps stand for U itself: the error of such an integral is below 1e-10, and only the divisor n - 1
# of samples must be undone.
STEPS = 100_000


def _variance(values: Sequence[float]) -> float:
    return summary(values).deviation ** 2 * (STEPS - 1) / STEPS


def _variance_reduction(full: bool) -> Iterator[Finding]:
    u = (np.arange(STEPS) + 0.5) / STEPS
    middle, crude, mirrored = u.tolist(), np.exp(u).tolist(), np.exp(1 - u)
    spread = _variance(crude)
    yield Finding("mean of e^U", 1.71828182846, summary(crude).mean, 1e-10)
    yield Finding("variance of e^U", 0.242035607453, spread, 1e-9)
    # The sum of a pair is the difference of e^U and -e^(1 - U): pairing opposite runs is pairing all the same.
    opposite = paired_difference(crude, (-mirrored).tolist())
    yield Finding("covariance of an antithetic pair", -0.234210613554, -known(opposite.correlation) * spread, 1e-9)
    pair_means = ((np.exp(u) + mirrored) / 2).tolist()
    yield Finding("variance of the mean of a pair", 0.00391249694963, _variance(pair_means), 1e-9)
    yield Finding("variance saved", 0.967670071435, 1 - 1 / known(opposite.variance_reduction), 1e-6)
    control = paired_difference(crude, middle)
    covariance = known(control.correlation) * math.sqrt(spread * _variance(middle))
    yield Finding("covariance of e^U and U", 0.14085908577, covariance, 1e-9)
    factor = covariance / _variance(middle)
    yield Finding("best factor of the control", -1.69030902925, -factor, 1e-8)
    yield Finding(
        "variance left by the control", 0.00394022292363, _variance((np.exp(u) - factor * (u - 0.5)).tolist()), 1e-9
    )
    drawn = Uniform(0, 1).sample(stream(16, 0, "antithetic"), 100_000 if full else 10_000)
    pairs = ((np.exp(drawn) + np.exp(1 - drawn)) / 2).tolist()
    yield Finding("variance of the mean of a pair, drawn", 0.0039125, summary(pairs).deviation ** 2, 0.05 * 0.0039125)
    yield mean_of("mean of pairs, drawn", 1.71828182846, pairs, 0.002)


def _known_answers(_full: bool) -> Iterator[Finding]:
    # Seeded as in the reference implementation, pcg_setseq_128_srandom_r, with seed 42 and stream 54.
    multiplier, increment = 0x2360ED051FC65DA44385DF649FCCF645, (54 << 1) | 1
    start = ((increment + 42) * multiplier + increment) % 2**128
    ours = stream(1, 0, "known answers").bit_generator
    ours.state = {"bit_generator": "PCG64", "state": {"state": start, "inc": increment}, "has_uint32": 0, "uinteger": 0}
    answers = ("86b1da1d72062b68", "1304aa46c9853d39", "a3670e9e0dd50358", "f9090e529a7dae00", "c85b9fd837996f2c",
               "606121f8e3919196")  # fmt: skip
    for number, answer in enumerate(answers, start=1):
        yield Finding(f"our generator (PCG64), number {number}", answer, _hexadecimal(ours))
    seeded = np.random.PCG64(np.random.SeedSequence(0xDEADBEAF))
    for number, answer in enumerate(("60d24054e17a0698", "d5e79d89856e4f12", "d254972fe64bd782"), start=1):
        yield Finding(f"our seeding (SeedSequence), number {number}", answer, _hexadecimal(seeded))
    yield from _library_beneath()
    firsts = [[stream(2024, k, name).random() for k in range(4) for name in ("sewing", "printing")] for _ in range(2)]
    yield Finding("different streams among eight", 8, len(set(firsts[0])))
    yield Finding("the same streams again", "equal", "equal" if firsts[0] == firsts[1] else "other numbers")


def _library_beneath() -> Iterator[Finding]:
    twister = np.random.MT19937()
    twister._legacy_seeding(5489)
    yield Finding("mt19937, 10,000th number", 4123659995, int(twister.random_raw(10_000)[-1]))
    # It counts up before use.
    philox = np.random.Philox(counter=2**256 - 1, key=0)
    answers = ("16554d9eca36314c", "db20fe9d672d0fdc", "d7e772cee186176b", "7e68b68aec7ba23b")
    for number, answer in enumerate(answers, start=1):
        yield Finding(f"Philox4x64-10, number {number}", answer, _hexadecimal(philox))


def _hexadecimal(generator: np.random.BitGenerator) -> str:
    return f"{int(generator.random_raw()):016x}"


MU, SIGMA = 2.33116429991, 0.554513029376


def _parameters(full: bool) -> Iterator[Finding]:
    log_normal, gamma, weibull = LogNormal(math.exp(MU), math.exp(MU + Z_P90 * SIGMA)), Gamma(12, 0.6), Weibull(12, 0.6)
    yield Finding("log-normal, mean", 12, log_normal.mean, 1e-8)
    yield Finding("log-normal, variation", 0.6, math.sqrt(log_normal.variance) / log_normal.mean, 1e-9)
    yield Finding("log-normal, mu", MU, math.log(log_normal.median), 1e-9)
    yield Finding("log-normal, sigma", SIGMA, log_normal.sigma, 1e-9)
    # The 0.95 quantile of the normal distribution.
    above = log_normal.median * math.exp(1.6448536269514722 * log_normal.sigma)
    yield Finding("log-normal, 95 % point", 25.6170223862, above, 1e-8)
    yield Finding("Weibull, shape", 1.71708343032, weibull.shape, 1e-7)
    yield Finding("Weibull, scale", 13.4581537589, weibull.scale, 1e-7)
    triangular = Triangular(4, 10, 25)
    yield Finding("triangular, mean", 13, triangular.mean, 1e-9)
    yield Finding("triangular, variance", 19.5, triangular.variance, 1e-9)
    # A gamma shows its parameters in its draws only.
    drawn = gamma.sample(stream(18, 0, "gamma"), 5)
    stated = stream(18, 0, "gamma").gamma(2.77777777778, 4.32, 5)
    yield Finding("gamma, draws over those of shape 2.7778, scale 4.32", 1, float(np.mean(drawn / stated)), 1e-9)
    n = 1_000_000 if full else 100_000
    for name, law, mean, variation in (
        ("log-normal", log_normal, 12, 0.6), ("gamma", gamma, 12, 0.6), ("Weibull", weibull, 12, 0.6),
        ("triangular", triangular, 13, math.sqrt(19.5) / 13), ("uniform from 6 to 18", Uniform(6, 18), 12, 12**-0.5),
    ):  # fmt: skip
        sample = law.sample(stream(18, 1, "moments"), n)
        yield Finding(f"{name}, mean drawn", mean, float(sample.mean()), 0.005 * mean)
        yield Finding(f"{name}, variation drawn", variation, float(sample.std() / sample.mean()), 0.01 * variation)
    share = float((log_normal.sample(stream(18, 2, "point"), n) <= 25.6170223862).mean())
    error = math.sqrt(0.95 * 0.05 / n)
    yield Finding("log-normal, share drawn below its 95 % point", 0.95, share, 3 * error, error)


CASES = (
    Case(
        "E-16", "Antithetic pairs and a control for the mean of e^U",
        "S. M. Ross, Simulation, variance reduction, E[e^U] (from memory; recomputed by exact integrals)",
        "integrals by 100,000 steps; drawn variance 5 % as the source of the check asks", _variance_reduction,
        seconds=0.2, path="library",
    ),
    Case(
        "E-17", "Known answers of the random numbers",
        "M. E. O'Neill, PCG reference implementation, check-setseq-128-xsl-rr-64.out (confirmed in public "
        "repositories); numpy's pcg64-testset-1.csv; ISO C++ [rand.predef] mt19937; J. K. Salmon et al., SC11, "
        "Random123 kat_vectors (these from memory; recomputed)",
        "exact", _known_answers,
        left_out="the 10,000th number of mt19937_64 and three numbers of MRG32k3a: neither generator is in use here or "
        "in numpy",
    ),
    Case(
        "E-18", "Parameters from mean and variation",
        "moment formulas as in Law, Simulation Modeling and Analysis, chapter 6; numbers derived, recomputed with "
        "scipy",
        "formulas exact but for rounding; draws 0.5 % of a mean, 1 % of a variation", _parameters,
        left_out="the truncated normal, mean 10.07: files know none, as times are right-skewed and log-normal, gamma "
        "and triangular stay above 0",
    ),
)  # fmt: skip
