"""Tables for the pictures of `match`, from the document that `--json` writes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

import pandas as pd

Answer = Mapping[str, Any]
_LEAD = "lead_time_days"
_BAND = ("happened", "mean", "low", "high")


def figure_table(match: Answer) -> pd.DataFrame:
    """For `figures_matched`: figure, outcome, unit, mean, low, high, tolerance."""
    rows = [
        (each["about"], each["outcome"], each["unit"], *(each["difference"][end] for end in ("mean", "low", "high")),
         each["tolerance"])
        for each in match["figures"].values()
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=["figure", "outcome", "unit", "mean", "low", "high", "tolerance"])


def lead_table(match: Answer) -> pd.DataFrame:
    """For `lead_times_matched`: share, happened, mean, low, high; empty where no order went out."""
    shape = match["shapes"].get(_LEAD)
    if shape is None:
        return pd.DataFrame(columns=["share", *_BAND])
    return pd.DataFrame({"share": shape["at"], **{name: shape[name] for name in _BAND}})


def week_tables(match: Answer) -> Iterator[tuple[str, str, pd.DataFrame]]:
    """For `weeks_matched`: the figure in words, its unit, and week, happened, mean, low, high."""
    for name, shape in match["shapes"].items():
        if name != _LEAD:
            table = pd.DataFrame({"week": shape["at"], **{column: shape[column] for column in _BAND}})
            yield shape["about"], shape["unit"], table
