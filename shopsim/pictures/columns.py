"""What a picture takes: columns by name, numbers where numbers belong; anything else is told, not drawn."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

import pandas as pd

from shopsim.errors import InputError, Problem


def checked(table: pd.DataFrame, picture: str, names: Sequence[str] = (), numbers: Sequence[str] = (),
            gaps: Sequence[str] = (), may_miss: Sequence[str] = ()) -> pd.DataFrame:  # fmt: skip
    """The columns a picture needs, names as text and numbers as floats.

    Numbers in columns of `gaps` and `may_miss` may be missing (NaN, None), and a column of `may_miss` may be left out
    as a whole. Raises InputError with every column that is missing, and for each column the first cell that does not
    do.
    """
    wanted = [*names, *numbers, *gaps]
    problems = list(_missing(table, picture, wanted))
    found = pd.DataFrame(index=range(len(table)))
    for name in names:
        if name in table.columns:
            found[name] = [str(cell) for cell in table[name]]
    for name in [*numbers, *gaps, *may_miss]:
        if name not in table.columns:
            found[name] = float("nan")
            continue
        given = table[name].reset_index(drop=True)
        values = pd.to_numeric(given, errors="coerce").astype(float)
        wrong = values.isna() & (given.notna() | (name in numbers))
        for row in wrong[wrong].index[:1]:
            message = f"must be a number, found {repr(given[row]) if pd.notna(given[row]) else 'nothing'}"
            problems.append(Problem(picture, int(row) + 1, None, name, message))
        found[name] = values
    if problems:
        raise InputError(problems)
    return found


def rows_of(table: pd.DataFrame) -> Iterator[Any]:
    """The rows, each with its columns as attributes."""
    yield from table.itertuples()


def greatest(table: pd.DataFrame, column: str) -> Any:
    """The first row with the greatest number in a column, its columns as attributes."""
    at = int(table[column].to_numpy().argmax())
    return next(rows_of(table.iloc[[at]]))


def _missing(table: pd.DataFrame, picture: str, wanted: Sequence[str]) -> Iterator[Problem]:
    has = ", ".join(map(str, table.columns)) or "no column"
    for name in wanted:
        if name not in table.columns:
            yield Problem(picture, None, None, name, f"this column is missing; the table has {has}")
