"""How much more a shop can take on: on-time and lead time against demand, and the demand at which each option breaks.

An option breaks where the mean share of orders on time falls below the target. Base and options are asked at the same
multiples of demand, replication k under the same orders, and the breaks are found by `root_finding`; their intervals
hold at once (Bonferroni), and so do those of the options' breaks less the base's (`root_differences`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from shopsim.studies.compare import bonferroni_pct
from shopsim.studies.demand_scaling import DemandSize, demand_size, scaled
from shopsim.studies.option import Option
from shopsim.studies.order_weeks import OrderWeeks, order_weeks
from shopsim.studies.precision import Interval
from shopsim.studies.replicate import Replications
from shopsim.studies.root_differences import root_difference
from shopsim.studies.root_finding import Asked, Curve, Root, RootPlan, find_roots, rests_on
from shopsim.studies.runner import Ask, Runner

FACTORS = (0.85, 1.0, 1.15)
LOWEST, HIGHEST = 0.4, 4.0
# Half a per cent of today's demand: nobody plans nearer, and less than most intervals.
_CLOSENESS = 0.005


@dataclass(frozen=True, slots=True)
class GrowthPlan:
    """Multiples of today's demand to ask at first, and how surely the breaks are wanted.

    What does not break there is followed to `HIGHEST` and `LOWEST`. `precision_pct` is the wanted half-width of each
    break, in per cent of today's demand; without one `count` replications at each demand are all.
    """

    count: int
    factors: tuple[float, ...] = FACTORS
    precision_pct: float | None = None
    at_most: int = 400

    @property
    def half_width(self) -> float | None:
        """The wanted half-width as a multiple of today's demand."""
        return None if self.precision_pct is None else self.precision_pct / 100


@dataclass(frozen=True, slots=True)
class OptionGrowth:
    """One option: its demand today and the weeks it comes in, its replications by multiple of it, and the multiple at
    which it breaks.

    `later` is that multiple less the base's, paired; None for the base itself.
    """

    name: str
    today: DemandSize
    weeks: OrderWeeks
    by_factor: dict[float, Replications]
    breaks_at: Root
    later: Interval | None = None

    def headroom_pct(self, factor: float | None) -> float | None:
        """How much more than today's demand a multiple is; None stays None."""
        return None if factor is None else (factor - 1) * 100

    def headroom_m2_per_week(self, factor: float | None) -> float | None:
        """The same in finished m² a week."""
        return None if factor is None else (factor - 1) * self.today.m2_per_week

    def past_break(self) -> Replications | None:
        """The runs at the demand tried that lies nearest above its break; None where it does not break."""
        if self.breaks_at.estimate is None:
            return None
        past = [factor for factor in self.by_factor if factor >= self.breaks_at.estimate]
        return self.by_factor[min(past, default=max(self.by_factor))]

    def held_back_by(self) -> str | None:
        """What holds the option back most past its break; None if nothing."""
        past = self.past_break()
        found = past.constraint() if past else None
        return found[0] if found else None


@dataclass(frozen=True, slots=True)
class Growth:
    """The base and its options; each break's interval has `confidence_pct`, so that all hold at once."""

    base: OptionGrowth
    options: tuple[OptionGrowth, ...]
    target_pct: float
    confidence_pct: float
    plan: GrowthPlan

    @property
    def all(self) -> tuple[OptionGrowth, ...]:
        """Base first."""
        return (self.base, *self.options)

    @property
    def settled(self) -> bool:
        """Whether every break is known between two bounds, as near as was wanted, or surely lies outside the demand
        tried."""
        return all(_settled(each.breaks_at, self.plan.half_width) for each in self.all)


def _settled(root: Root, wanted: float | None) -> bool:
    if root.estimate is None:
        return root.low == root.tried[1] or root.high == root.tried[0]
    return root.half_width is not None and (wanted is None or root.half_width <= wanted)


def growth(runner: Runner, base: Option, options: Sequence[Option], plan: GrowthPlan) -> Growth:
    """Run base and options at more and less demand. Names must differ.

    Raises ScenarioError for a demand that cannot be multiplied, ValueError for options of one name, and as `Runner`.
    """
    every = {option.name: option for option in (base, *options)}
    if len(every) < 1 + len(options):
        raise ValueError(f"options need names of their own, found {', '.join(o.name for o in (base, *options))}")
    study = base.scenario.study
    target, confidence_pct = study.on_time_target_pct / 100, bonferroni_pct(study.confidence_pct, len(every))
    rows: dict[str, dict[float, Replications]] = {name: {} for name in every}

    def on_time(asks: Sequence[Asked]) -> list[list[float]]:
        made = [scaled(every[name], factor) for name, factor, _ in asks]
        there = [len(rows[name][factor].rows) if factor in rows[name] else 0 for name, factor, _ in asks]
        added = runner.run([
            Ask(option, count - had, had) for option, (_, _, count), had in zip(made, asks, there, strict=True)
        ])  # fmt: skip
        values = []
        for option, (name, factor, _), new in zip(made, asks, added, strict=True):
            before = rows[name].get(factor, Replications(option.scenario, ()))
            rows[name][factor] = replace(before, rows=before.rows + new)
            values.append(rows[name][factor].values("measures", "on_time_share"))
        return values

    roots = find_roots(on_time, list(every), target, _root_plan(plan, confidence_pct))
    used = {name: rests_on(_on_time(by_x), target, confidence_pct) for name, by_x in rows.items()}
    later = _later(used, base.name, target, study.confidence_pct)
    found = tuple(
        OptionGrowth(name, demand_size(option), order_weeks(option), dict(sorted(rows[name].items())), roots[name],
                     later.get(name))
        for name, option in every.items()
    )  # fmt: skip
    return Growth(found[0], found[1:], study.on_time_target_pct, study.confidence_pct, plan)


def _on_time(by_factor: dict[float, Replications]) -> dict[float, list[float]]:
    return {factor: found.values("measures", "on_time_share") for factor, found in by_factor.items()}


def _later(curves: dict[str, Curve], base: str, target: float, confidence_pct: float) -> dict[str, Interval]:
    """Each option's break less the base's, all at once."""
    others = [name for name in curves if name != base]
    each_pct = bonferroni_pct(confidence_pct, max(1, len(others)))
    return {name: root_difference(curves[name], curves[base], target, each_pct) for name in others}


def _root_plan(plan: GrowthPlan, confidence_pct: float) -> RootPlan:
    made = RootPlan(plan.factors, _CLOSENESS, LOWEST, HIGHEST, plan.count, plan.half_width, plan.at_most)
    return replace(made, confidence_pct=confidence_pct)
