"""What a fit found as text and plain values: the scenario with a comment on each value, the answer for programs."""

from __future__ import annotations

from typing import Any

from shopsim import __version__
from shopsim.errors import Problem, ScenarioError
from shopsim.figures import plain
from shopsim.sentences import Answer
from shopsim.sentences.fitting import comment_of
from shopsim.shop.base import read_distribution
from shopsim.shop.changes import find_path
from shopsim.shop.default_values import at_root
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_comments import with_comments
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.scenario_file import parse_scenario
from shopsim.studies.fit_found import Fitted
from shopsim.studies.fit_samples import points_of
from shopsim.studies.fit_shop import ShopFit, ranges_text


def fitted_text(text: str, name: str, fit: ShopFit, answer: Answer) -> str:
    """The scenario's text with the values found and a comment above each. Raises ScenarioError if it is not sound."""
    edited = edit_scenario(text, fit.changes, name)
    comments = {one.path: comment_of(one, fit.confidence_pct) for one in fit.written}
    left = "".join(f"\n- {line}" for line in fit.left)
    head = f"Fitted by shopsim {__version__}. {answer.sentence}\n{answer.below}\nNot fitted:{left or ' nothing'}\n"
    try:
        made = with_comments(edited, comments, head)
    except ValueError as fault:
        raise ScenarioError([Problem(name, None, None, "", str(fault))]) from None
    parse_scenario(made, name)
    return made


def fit_document(name: str, fit: ShopFit, answer: Answer) -> dict[str, Any]:
    """The answer for programs."""
    return {
        "scenario": name,
        "version": __version__,
        "sentence": answer.sentence,
        "below": answer.below,
        "confidence": fit.confidence_pct / 100,
        "rows": dict(fit.rows),
        "fitted": [_fitted(one) for one in fit.fitted],
        "quantiles": {
            one.about: [point._asdict() for point in points_of(one.sample)]
            for one in fit.fitted
            if one.sample is not None
        },
        "ranges": ranges_text(fit)["ranges"] if fit.ranges else [],
        "not_fitted": list(fit.left),
    }


def _fitted(one: Fitted) -> dict[str, Any]:
    estimate = one.estimate
    return {
        "path": one.path or None, "value": one.value, "about": one.about, "estimate": estimate.value,
        "low": estimate.low, "high": estimate.high, "n": estimate.n, "of": one.of, "how": one.how,
    }  # fmt: skip


def value_now(scenario: Scenario, path: str) -> str:
    """What a scenario has at a path, in words; empty where it has nothing."""
    values = scenario_values(scenario)
    try:
        spot = at_root(values)
        for part in find_path(values, path):
            spot = spot.item(part) if isinstance(part, int) else spot.key(part)
    except (ValueError, LookupError, AttributeError):
        return ""
    return value_text(spot.here)


def value_text(value: Any) -> str:
    """A value of a scenario in words: a number, a distribution, or how many entries a list has."""
    if value is None or isinstance(value, bool | str):
        return "" if value is None else str(value)
    if isinstance(value, int | float):
        return plain(float(value))
    try:
        return read_distribution(value).describe()
    except (ValueError, TypeError):
        return f"{len(value)} entries" if isinstance(value, list) else "set"
