"""What a fit finds: values for a scenario, each with what it rests on, and what stays as it was."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from shopsim.distributions import Discrete, Distribution, Fixed
from shopsim.shop.base import write_distribution
from shopsim.studies.fit_distributions import fit_all
from shopsim.studies.fit_estimates import Estimate, mean_of_times
from shopsim.studies.fit_samples import Sample

# Fewer than these say too little for a value of their own.
LEAST_VALUES, LEAST_FOR_SHAPE = 5, 12


class Doubt(NamedTuple):
    """A number of the scenario that the data leave open between two bounds."""

    path: str
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Fitted:
    """One value found: where it stands in the scenario (empty: told only), the value there, and its doubt.

    `estimate` is the number the interval is about, `about` says what it is, `of` what was counted, `how` the method.
    `sample` is what a distribution was fitted to.
    """

    path: str
    value: Any
    about: str
    estimate: Estimate
    of: str
    how: str
    doubts: tuple[Doubt, ...] = ()
    sample: Sample | None = None


@dataclass(slots=True)
class Findings:
    """Everything found, and in plain words what could not be."""

    fitted: list[Fitted] = field(default_factory=list)
    left: list[str] = field(default_factory=list)

    def take_up_to(self, most: float, one: Fitted, doubtful: str) -> None:
        """Take a value; where it surely lies above what the file may hold, tell it and what is doubtful instead."""
        if one.estimate.low > most:
            found = f"{one.about}: found {one.estimate.value:.4g} from {one.estimate.n} {one.of}"
            self.left.append(f"{found}, more than {most:g} can be: {doubtful}")
        else:
            self.fitted.append(one)

    def add(self, other: Findings) -> None:
        """Take over what another part found."""
        self.fitted += other.fitted
        self.left += other.left


class Times(NamedTuple):
    """A distribution chosen for measured times, the mean with its interval, and why this one."""

    distribution: Distribution
    mean: Estimate
    how: str


def fitted_times(values: Sequence[float], confidence_pct: float) -> Times | None:
    """The likeliest of exponential, gamma, log-normal and Weibull; None for fewer than five values.

    With hardly any scatter, or fewer than twelve values, it is the mean alone.
    """
    known = [value for value in values if value > 0]
    if len(known) < LEAST_VALUES:
        return None
    mean = mean_of_times(known, confidence_pct)
    if len(known) < LEAST_FOR_SHAPE:
        return Times(Fixed(mean.value), mean, f"mean; fewer than {LEAST_FOR_SHAPE} values tell no shape")
    try:
        fits = fit_all(known)
    except ValueError:
        return Times(Fixed(mean.value), mean, "mean; the values hardly vary")
    best, second = fits[0], fits[1]
    ahead = second.akaike - best.akaike
    clear = "clearly" if ahead > 10 else "rather" if ahead > 2 else "hardly"
    name = type(best.distribution).__name__
    how = f"{name}, {clear} likelier than {type(second.distribution).__name__} (AIC {ahead:.1f} apart)"
    return Times(_to_mean(best.distribution, mean.value), mean, how)


def sample_of(times: Times, values: Sequence[float], unit: str) -> Sample:
    """What a distribution of times was fitted to."""
    return Sample(times.distribution, tuple(value for value in values if value > 0), unit)


def _to_mean(distribution: Distribution, mean: float) -> Distribution:
    # A log-normal's own mean may lie off the values' mean; minutes in total matter most.
    return distribution.scaled(mean / distribution.mean)


def counted(values: Sequence[float]) -> Distribution:
    """The values as often as they were seen."""
    seen = sorted(set(values))
    if len(seen) == 1:
        return Fixed(seen[0])
    return Discrete(tuple(seen), tuple(float(values.count(value)) for value in seen))


def as_written(distribution: Distribution) -> Any:
    """A distribution as it stands in a file, numbers to four digits."""
    return _short(write_distribution(distribution))


def _short(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _short(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_short(item) for item in value]
    return float(f"{value:.4g}") if isinstance(value, float) else value


def short(value: float) -> float:
    """A number to four digits that count."""
    return float(f"{value:.4g}")


def doubt_of(path: str, estimate: Estimate, least: float = 0.0, most: float = 1e9) -> tuple[Doubt, ...]:
    """The range of one number, kept within what may stand there; none where nothing is in doubt."""
    low, high = short(max(least, estimate.low)), short(min(most, estimate.high))
    return (Doubt(path, low, high),) if low < high else ()


def doubt_of_times(path: str, distribution: Distribution, mean: Estimate) -> tuple[Doubt, ...]:
    """The range of the number that moves a distribution's mean: its mean, median or fixed value."""
    written = write_distribution(distribution)
    if isinstance(written, float):
        return doubt_of(path, mean, least=0.001)
    name, body = next(iter(written.items())) if isinstance(written, dict) else ("", {})
    key = next((key for key in ("mean", "median") if key in body), None)
    if key is None:
        return ()
    scale = body[key] / distribution.mean
    most = body["p90"] * 0.999 if name == "log_normal" else 1e9
    return doubt_of(f"{path}.{name}.{key}", mean.scaled(scale), least=0.001, most=most)
