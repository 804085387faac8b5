"""Tables for pictures from the answers that `--json` writes: the same documents the app and the command line show."""

from __future__ import annotations

import math
from collections.abc import Mapping
from typing import Any

import pandas as pd

from shopsim.sentences.paying_words import INPUT_WORDS, PART_WORDS

Answer = Mapping[str, Any]
_ENDS = ("mean", "low", "high")


def difference_table(compare: Answer, measure: str) -> pd.DataFrame:
    """For `differences`, from the answer of `compare` or `shifts`: option, mean, low, high."""
    rows = [(option, *_ends(each[measure])) for option, each in compare["differences"].items() if measure in each]
    return pd.DataFrame(rows, columns=["option", *_ENDS])


def crew_table(crew: Answer, names: Mapping[str, str]) -> pd.DataFrame:
    """For `crew_frontier`, from the answer of `crew`: crew, pay_per_week, on_time, low, high, meets; `names` by id."""
    rows = []
    for each in crew["crews"]:
        heads = ", ".join(f"{names.get(name, name)}: {count}" for name, count in each["heads"].items())
        meets = list(each["meets"].values())
        mean, low, high = _ends(each["on_time_share"])
        verdict = "open" if not meets or None in meets else "yes" if all(meets) else "no"
        if verdict != "open" and low is not None and high is not None and low < crew["target"] < high:
            verdict = "close"
        rows.append((heads, each["pay_per_week"], mean, low, high, verdict))
    return pd.DataFrame(rows, columns=["crew", "pay_per_week", "on_time", "low", "high", "meets"])


def pattern_table(shifts: Answer) -> pd.DataFrame:
    """For `shift_patterns`, from the answer of `shifts`: pattern, cost_per_week, cost_low, cost_high, on_time, low,
    high, rules_broken, guidance."""
    rows = []
    for name, each in shifts["options"].items():
        cost, on_time = each["measures"]["cost_per_week"], each["measures"]["on_time_share"]
        findings = shifts["rest_times"].get(name, [])
        rules = sum(bool(one["rule"]) for one in findings)
        rows.append((name, *_ends(cost), *_ends(on_time), rules, len(findings) - rules))
    columns = [
        "pattern",
        "cost_per_week",
        "cost_low",
        "cost_high",
        "on_time",
        "low",
        "high",
        "rules_broken",
        "guidance",
    ]
    return pd.DataFrame(rows, columns=columns)


def growth_tables(growth: Answer) -> tuple[pd.DataFrame, pd.DataFrame]:
    """For `on_time_against_demand`, from the answer of `growth`: the curves and the breaks."""
    curves = [
        (name, point["demand"], *_ends(point["on_time_share"]))
        for name, option in growth["options"].items()
        for point in option["curve"]
    ]
    breaks = [(name, *_ends(option["breaks_at"])) for name, option in growth["options"].items()]
    return (
        pd.DataFrame(curves, columns=["option", "demand", "on_time", "low", "high"]),
        pd.DataFrame(breaks, columns=["option", *_ENDS]),
    )


def year_table(payback: Answer) -> pd.DataFrame:
    """For `differences`, from the answer of `payback`: what a change leaves over in a year by part, and in all."""
    gain = payback["gain_cu_per_year"]
    rows = [
        (PART_WORDS[part], *_ends(between))
        for part, between in gain["parts_between"].items()
        if between["mean"] or between["low"] or between["high"]
    ]
    return pd.DataFrame([*rows, ("In all", *_ends(gain))], columns=["option", *_ENDS])


def payback_tornado_table(payback: Answer, currency: str) -> pd.DataFrame:
    """For `tornado`, from the answer of `payback`: input, unit, low, high, at_low, at_high (net present value)."""
    rows = [
        (INPUT_WORDS.get(bar["input"], bar["input"]), _unit_of(bar["input"], currency), bar["low"], bar["high"],
         bar["npv_at_low_cu"], bar["npv_at_high_cu"])
        for bar in payback["tornado"]
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=["input", "unit", "low", "high", "at_low", "at_high"])


_UNITS = {
    "life_years": "years", "discount_pct": "% a year", "growth_pct_per_year": "% a year", "gain_pct": "% of the gain",
    "sales_price_pct": "% of today's", "material_price_pct": "% of today's", "energy_price_pct": "% of today's",
    "wages_pct": "% of today's",
}  # fmt: skip


def _unit_of(doubt: str, currency: str) -> str:
    """The unit of an input's range; what is no part of today's and no time is money."""
    return _UNITS.get(doubt, f"{currency} a year" if doubt == "per_year_cu" else currency)


def sensitivity_tornado_table(sensitivity: Answer) -> pd.DataFrame:
    """For `tornado`, from the answer of `sensitivity` by bars: input, low, high, at_low, at_high (the measure there,
    today's and the change). An input of which no run tells is left out."""
    now = sensitivity["without_doubt"]["mean"]
    ends = [(each, each["at_low"]["mean"], each["at_high"]["mean"]) for each in sensitivity["inputs"]]
    rows = [
        (each["path"], each["low"], each["high"], now + low, now + high)
        for each, low, high in ends if _known(low, high)
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=["input", "low", "high", "at_low", "at_high"])


def weight_table(sensitivity: Answer) -> pd.DataFrame:
    """For `input_weights`, from the answer of `sensitivity` by Morris or Sobol: input, told ("yes" or "no"), mean, low,
    high; mean absolute effects, or shares of the variance with others, none below 0 or above 1."""
    weight = {"morris": "mean_absolute_effect", "sobol": "total_order"}[sensitivity["method"]]
    rows = [
        (each["path"], "yes" if each["matters"] else "no", *_ends(each[weight]))
        for each in sensitivity["inputs"] if weight in each and _known(each[weight]["mean"])
    ]  # fmt: skip
    found = pd.DataFrame(rows, columns=["input", "told", *_ENDS])
    if sensitivity["method"] == "sobol":
        found[[*_ENDS]] = found[[*_ENDS]].clip(0, 1)
    return found


def _known(*numbers: float | None) -> bool:
    """Whether all are numbers; a document has NaN before it is written and null after."""
    return all(number is not None and math.isfinite(number) for number in numbers)


def settling_table(warm_up: Answer) -> pd.DataFrame:
    """For `settling`, from the answer of `warm-up`: day, orders, smoothed."""
    by_day = list(warm_up["orders_in_shop_by_day"])
    smoothed = list(warm_up["smoothed"])
    missing = [None] * (len(by_day) - len(smoothed))
    return pd.DataFrame({"day": range(len(by_day)), "orders": by_day, "smoothed": [*smoothed, *missing]})


def loads_table(check: Answer) -> pd.DataFrame:
    """For `load_against_capacity`, from the answer of `check`: id, limit, share, peak_share."""
    rows = [
        (load["id"], load["limit"], _number(load["share"]), max(map(_number, load["share_by_week"])))
        for load in check["loads"]
    ]
    return pd.DataFrame(rows, columns=["id", "limit", "share", "peak_share"])


def _number(share: float | None) -> float:
    """JSON has no infinity: something asked of nobody is written as null."""
    return float("inf") if share is None else float(share)


def _ends(bounds: Answer) -> tuple[float | None, float | None, float | None]:
    return bounds["mean"], bounds["low"], bounds["high"]


def chance_table(promise: Answer) -> pd.DataFrame:
    """For `chance_by_day`, from the answer of `promise`: way, date, chance; empty without a request."""
    ways = (promise["request"] or {"ways": []})["ways"]
    rows = [(way["name"], day["date"], day["chance"]) for way in ways for day in way["by_day"]]
    return pd.DataFrame(rows, columns=["way", "date", "chance"])


def range_table(promise: Answer) -> pd.DataFrame:
    """For `date_ranges`, from the answer of `promise`: order, due, at_50, at_80, at_95, chance; least likely first."""
    levels = ("50", "80", "95")
    rows = [
        (each["order"], each["due"], *(each["leaves"][level]["date"] or "" for level in levels), each["chance"]["mean"])
        for each in sorted(promise["orders"], key=lambda each: each["chance"]["mean"])
    ]
    return pd.DataFrame(rows, columns=["order", "due", *(f"at_{level}" for level in levels), "chance"])
