"""Text of tables that no spreadsheet runs as a formula."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import pandas as pd

# A spreadsheet takes text that begins so for a formula.
_FORMULA_STARTS = ("=", "+", "-", "@", "\t", "\r", "\n")


def formula_safe(frame: pd.DataFrame) -> pd.DataFrame:
    """The frame with an apostrophe before text that a spreadsheet would run; numbers stay as they are."""
    safe = frame.copy()
    for name in frame.columns:
        kind = str(frame[name].dtype)
        if kind in ("category", "object", "str", "string"):
            text = frame[name].astype("str")
            safe[name] = text.where(~text.str.startswith(_FORMULA_STARTS, na=False), "'" + text)
    return safe
