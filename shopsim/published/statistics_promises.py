"""Promises of intervals, of stopping and of warm-up rules, tried in many studies where the truth is known."""

from __future__ import annotations

import math
from collections.abc import Generator, Iterable, Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.signal import lfilter

from shopsim.floor.run import simulate
from shopsim.published.case import Case, Finding, known
from shopsim.published.promises import BY_CHANCE, kept, kept_at_least
from shopsim.published.simulated import load, mean_of, stays
from shopsim.streams import stream
from shopsim.studies.batch_means import batch_interval, von_neumann_ratio
from shopsim.studies.compare import against_base, independent_difference, paired_difference
from shopsim.studies.comparison import Plan, compare_options
from shopsim.studies.engine import Done, Job
from shopsim.studies.option import Option
from shopsim.studies.precision import Interval, interval, t_quantile
from shopsim.studies.quantiles import QuantileInterval, quantile_interval
from shopsim.studies.replication import Replication
from shopsim.studies.run_length import replicate_until
from shopsim.studies.runner import Runner
from shopsim.studies.warm_up import mser
from shopsim.studies.with_best import compare_with_best


def holds(found: Interval | QuantileInterval, truth: float) -> bool:
    """Whether an interval holds the truth; one that could not be found does not."""
    return known(found.low) <= truth <= known(found.high)


def _simulated_queue(full: bool) -> Iterator[Finding]:
    # An order every 30 min, work of 15: time in the shop is exponential with mean 15 / (1 - 0.5).
    mean, studies, runs = 30.0, 400, 5
    sets = {"products.job.route[0].minutes": {"exponential": {"mean": 15}}}
    if full:
        # Each study has replications of its own, of two weeks (the mean of shorter ones is too skewed to promise 95 %)
        # after a warm-up of 700 min, four times as long as the queue remembers.
        scenario = load("m_m_1", {**sets, "study.weeks": 2, "study.warm_up_weeks": 0.07})
        values = [float(np.mean(stays(simulate(scenario, replication=number)))) for number in range(studies * runs)]
        hits = sum(holds(interval(each), mean) for each in np.reshape(values, (studies, runs)).tolist())
        yield kept(f"Student's interval of {runs} replications", 0.95, hits, studies)
    used, left_out = (240, 60) if full else (100, 20)
    weeks = 1.05 * studies * (used + left_out) / 336
    long = load("m_m_1", {**sets, "study.weeks": weeks})
    # Study i sees stretch i of every run, after orders that let it forget the stretch before.
    stretches = np.array([
        stays(simulate(long, replication=number))[: studies * (used + left_out)].reshape(studies, -1)[:, left_out:]
        for number in range(runs)
    ])  # fmt: skip
    hits = sum(holds(interval(each.tolist()), mean) for each in stretches.mean(axis=2).T)
    yield kept(f"Student's interval of stretches of {runs} runs", 0.95, hits, studies)
    # At least 33 orders apart, some 1000 min, five times as long as the queue remembers.
    far = stretches.transpose(1, 0, 2)[:, :, :: used // 3].reshape(studies, -1)[:, :15]
    hits = sum(holds(quantile_interval(row.tolist(), 0.5), mean * math.log(2)) for row in far)
    yield kept("median between the 4th and 12th of 15", 0.964843750000, hits, studies)


def autoregressive(study: int, n: int, phi: float) -> list[float]:
    """A stationary series of mean 0 and variance 1 in which each value is phi times the last one plus noise."""
    noise = stream(21, study, "autoregressive").standard_normal(n)
    noise[1:] *= math.sqrt(1 - phi * phi)
    series: list[float] = lfilter([1.0], [1.0, -phi], noise).tolist()
    return series


def _student(full: bool) -> Iterator[Finding]:
    studies = 10_000 if full else 1000
    samples = (stream(8, study, "student").normal(3.0, 2.0, 5).tolist() for study in range(studies))
    hits = sum(holds(interval(sample, 90), 3.0) for sample in samples)
    yield kept("90 % interval of five normal values", 0.90, hits, studies)


def _batches(full: bool) -> Iterator[Finding]:
    studies = 2000 if full else 500
    batched = naive = 0
    for study in range(studies):
        series = autoregressive(study, 4000, 0.6)
        batched += holds(batch_interval(series, 20).interval, 0.0)
        naive += holds(interval(series), 0.0)
    # Batches of 200 have a lag-1 correlation of 0.01.
    yield kept("20 batches of 200 values", 0.95, batched, studies)
    # It reaches 1.96 / sqrt((1 + phi) / (1 - phi)) = 0.98 true standard errors.
    yield kept("4000 values as if independent", 0.673, naive, studies)
    noise = [stream(3, study, "noise").standard_normal(40).tolist() for study in range(1000)]
    alarms = sum(known(batch_interval(values, 40).chance) < 0.05 for values in noise)
    yield kept("von Neumann's ratio, false alarms", 0.05, alarms, 1000)
    # n - 1 steps of mean square 2 over n - 1 degrees of freedom.
    yield mean_of("von Neumann's ratio of independent values", 2, [known(von_neumann_ratio(v)) for v in noise], 0.02)


def _sequential(full: bool) -> Iterator[Finding]:
    studies = 2000 if full else 500
    hits, sizes = 0, []
    for study in range(studies):
        draws = stream(14, study, "sequential").normal(3.0, 1.0, 400).tolist()
        found = replicate_until(draws.__getitem__, 0.2, 95)
        hits += found.reached and holds(found.interval, 3.0)
        sizes.append(float(len(found.values)))
    # The loss of stopping early is about one point here.
    yield kept("intervals stopped at ±0.2", 0.94, hits, studies)
    # (1.96 / 0.2)^2, and a little less for stopping early.
    mean = float(np.mean(sizes))
    yield Finding("replications needed", 96, mean, 5, float(np.std(sizes)) / math.sqrt(studies))
    base, other = Option("base", load("m_m_1")), Option("other", load("m_m_1", {"study.weeks": 1}))
    hits, studies = 0, studies // 5
    for study in range(studies):
        runner = Runner(_Drawn(study, other.key))
        compared = compare_options(runner, base, [other], Plan("precision", half_width=0.2, at_most=1000))
        hits += compared.settled and holds(compared.deciding["other"].interval, 3.0)
    yield kept("comparisons stopped at ±0.2", 0.94, hits, studies)


@dataclass(frozen=True, slots=True)
class _Drawn:
    """An engine that simulates nothing: the base is never on time, the other option by normal draws about 3."""

    study: int
    other: str
    workers: int = 1

    def run(self, jobs: Iterable[Job]) -> Generator[Done, None, None]:
        draws = stream(15, self.study, "compared").normal(3.0, 1.0, 1000).tolist()
        for job in jobs:
            rows = tuple(
                Replication(
                    number, {"on_time_share": draws[number] if job.option.key == self.other else 0.0},
                    {}, {}, {}, {}, {}, {},
                )
                for number in job.numbers
            )  # fmt: skip
            yield Done(job, rows, 0.0)


def _quantiles(full: bool) -> Iterator[Finding]:
    studies = 5000 if full else 1000
    samples = (stream(7, study, "quantile").exponential(1.0, 100).tolist() for study in range(studies))
    hits = sum(holds(quantile_interval(sample, 0.9), math.log(10)) for sample in samples)
    yield kept("0.9 quantile of 100 exponential values", 0.955690107191, hits, studies)
    # The share below the greatest of 59 values is above 0.95 in 1 - 0.95^59 of all samples.
    greatest = (float(stream(8, study, "wilks").random(59).max()) for study in range(2 * studies))
    yield kept("greatest of 59 bounds 95 %", 1 - 0.95**59, sum(value >= 0.95 for value in greatest), 2 * studies)


def alike(study: int, options: int, n: int, shared: float) -> NDArray[np.float64]:
    """Standard normal rows, one an option, any two with the correlation `shared`."""
    draws = stream(5, study, f"alike {options} {n}").standard_normal((options + 1, n))
    rows: NDArray[np.float64] = math.sqrt(shared) * draws[0] + math.sqrt(1 - shared) * draws[1:]
    return rows


def _differences(full: bool) -> Iterator[Finding]:
    studies = 2000 if full else 500
    paired = together = welch = 0
    before, after = [], []
    for study in range(studies):
        base, option = alike(study, 2, 20, 0.8)
        found = paired_difference((option + 1).tolist(), base.tolist())
        paired += holds(found.interval, 1.0)
        after.append((known(found.interval.half_width) / t_quantile(19, 0.975)) ** 2)
        before.append(known(found.variance_reduction) * after[-1])
        rows = alike(study, 6, 10, 0.5).tolist()
        all_five = against_base(rows[0], {str(i): row for i, row in enumerate(rows[1:])})
        together += all(holds(each.interval, 0.0) for each in all_five.values())
    for study in range(2 * studies):
        source = stream(6, study, "unequal")
        few, many = source.normal(4, 6, 5).tolist(), source.normal(0, 1, 30).tolist()
        welch += holds(independent_difference(few, many).interval, 4.0)
    yield kept("paired, correlation 0.8", 0.95, paired, studies)
    left = math.fsum(after) / math.fsum(before)
    error = float(np.std(np.array(after) - left * np.array(before))) / math.sqrt(studies) / float(np.mean(before))
    yield Finding("paired, share of the variance left", 0.2, left, 3 * error, error)
    yield kept("unpaired, five values of deviation 6, thirty of 1", 0.95, welch, 2 * studies)
    yield kept_at_least("five options against the base at once", 0.95, together, studies)


def _against_the_best(full: bool) -> Iterator[Finding]:
    # With the best ahead of equal rivals all intervals hold just when it does not fall behind by more than allowed.
    studies, ahead = 2000 if full else 500, (-0.5, -0.5, -0.5, 0.5)
    for paired, shared in ((False, 0.0), (True, 0.7)):
        hits, deviations = 0, []
        for study in range(studies):
            rows = alike(study, 4, 15, shared) + np.array([0.0, 0.0, 0.0, 0.5])[:, None]
            found = compare_with_best({str(i): row.tolist() for i, row in enumerate(rows)}, 90, paired=paired)
            hits += all(each.low <= true <= each.high for each, true in zip(found.options.values(), ahead, strict=True))
            deviations.append(found.deviation)
        name = "paired" if paired else "unpaired"
        yield kept(f"four options at once, {name}", 0.90, hits, studies)
        deviation = math.sqrt(1 - shared)
        yield Finding(f"deviation, {name}", deviation, float(np.mean(deviations)), 0.03 * deviation)


START, PHI, LENGTH = 20.0, 0.9, 400


def _settling(study: int) -> list[float]:
    noise = math.sqrt(1 - PHI * PHI) * stream(4, study, "settling").standard_normal(LENGTH)
    noise[0] = START
    series: list[float] = lfilter([1.0], [1.0, -PHI], noise).tolist()
    return series


def _warm_up(full: bool) -> Iterator[Finding]:
    studies = [_settling(study) for study in range(2000 if full else 400)]
    raw = [float(np.mean(series)) for series in studies]
    cut = [float(np.mean(series[mser(series).leave_out :])) for series in studies]
    # Value t has mean 20 * 0.9^t.
    bias = START * (1 - PHI**LENGTH) / (1 - PHI) / LENGTH
    yield mean_of("bias of a run from 20, nothing left out", bias, raw, 0.1)
    # A tenth of the bias may stay.
    error = float(np.std(cut)) / math.sqrt(len(cut))
    yield Finding("bias after MSER-5", 0, float(np.mean(cut)), bias / 10, error)
    # From bias^2 + 19 / 400, the variance of a mean of dependent values being (1 + phi) / (1 - phi) / n, to no less
    # than 19 / 350 with no bias and 50 values fewer; up to twice that is allowed.
    yield Finding("mean square error after MSER-5 (0.30 before)", 19 / 350, float(np.mean(np.square(cut))), 19 / 350)


CASES = (
    Case(
        "X-64", "Intervals of a simulated queue hold the truth as often as promised",
        "M/M/1 of 0.5 load on the engine: time in the shop exponential with mean 1 / (mu - lambda) (derived, "
        "standard); A. M. Law, Simulation Modeling and Analysis, 5th ed., chapter 9; W. J. Conover, "
        "Practical Nonparametric Statistics, order statistics (both from memory)",
        f"{BY_CHANCE}; five runs as short as half a week keep about 91 of 100 (skewed means), so the full run "
        "has two weeks",
        _simulated_queue, seconds=7.8, path="floor",
    ),
    Case(
        "X-65", "Batch means of a dependent series, and when batches are too short",
        "G. S. Fishman, Management Science 24 (1978) 510-521; J. von Neumann, Annals of Mathematical Statistics 12 "
        "(1941) 367-395 (both from memory); autoregressive series, derived",
        BY_CHANCE, _batches, seconds=0.7, path="library",
    ),
    Case(
        "X-66", "Student's interval of few normal values",
        "W. S. Gosset (Student), Biometrika 6 (1908) 1-25 (from memory): exact for normal values, however few",
        BY_CHANCE, _student,
    ),
    Case(
        "X-67", "Replications until an interval is narrow enough",
        "Y. S. Chow & H. Robbins, Annals of Mathematical Statistics 36 (1965) 457-462; loss of about a point for "
        "some 100 normal values looked at one by one: N. Starr, ibid. 37 (1966) 36-50 (both from memory)",
        f"{BY_CHANCE}, 94 % after Starr's loss; as much is allowed to `compare`, which looks less often", _sequential,
        seconds=0.7, path="library",
    ),
    Case(
        "X-68", "Quantiles between ordered values, and the greatest as a bound",
        "W. J. Conover, Practical Nonparametric Statistics; S. S. Wilks, Annals of Mathematical Statistics 12 (1941) "
        "91-96 (both from memory): free of the distribution",
        BY_CHANCE, _quantiles, seconds=0.5,
    ),
    Case(
        "X-69", "Paired, unpaired and several differences",
        "A. M. Law, Simulation Modeling and Analysis, 5th ed., sections 10.2, 10.3 and 11.2: pairing leaves 1 - rho of "
        "the variance; B. L. Welch, Biometrika 29 (1938) 350-362 (both from memory)",
        BY_CHANCE, _differences, seconds=0.4, path="library",
    ),
    Case(
        "X-70", "All options against the best at once",
        "J. C. Hsu, Multiple Comparisons, 1996, section 4.2; paired: B. L. Nelson & F. J. Matejcik, Management "
        "Science 41 (1995) 1935-1945 (both from memory)",
        BY_CHANCE, _against_the_best, seconds=0.1,
    ),
    Case(
        "X-71", "MSER-5 takes the known bias of a start out of the mean",
        "K. P. White, M. J. Cobb & S. C. Spratt, Winter Simulation Conference 2000, kind of series (from memory); "
        "values derived",
        "three standard errors of the mean of the studies; a tenth of the bias may stay", _warm_up, seconds=0.2,
    ),
)  # fmt: skip
