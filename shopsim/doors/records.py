"""`--out`: all records of one replication as Parquet and CSV in a folder of their own, with what explains them."""

from __future__ import annotations

import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from shopsim.doors.folders import check_free, filled_at_once
from shopsim.shop.changes import Change
from shopsim.shop.file_text import read_text
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.shop_file import Shop

if TYPE_CHECKING:
    import pandas as pd

    from shopsim.floor.record import RunLog


def write_records(where: str, path: Path, shop: Shop, changes: Mapping[str, float], log: RunLog) -> None:
    """Fill the folder at once, or leave it as it was.

    `path` is the scenario's file and `changes` are the values under its `study` that were asked for instead of its own.
    Raises InputError if the folder is not free or cannot be written.
    """
    from shopsim.measures.tables import frames

    check_free(where)
    tables = frames(log, shop.scenario)
    with filled_at_once(where) as folder:
        _fill(folder, tables)
        _copy_shop(folder, path, shop, changes)


def _fill(folder: Path, tables: dict[str, pd.DataFrame]) -> None:
    from shopsim.measures.formula_safe import formula_safe

    for name, frame in tables.items():
        frame.to_parquet(folder / f"{name}.parquet", index=False)
        formula_safe(frame).to_csv(folder / f"{name}.csv", index=False)
    formula_safe(_dictionary(tables)).to_csv(folder / "dictionary.csv", index=False)


def _dictionary(tables: dict[str, pd.DataFrame]) -> pd.DataFrame:
    import pandas as pd

    from shopsim.measures.dictionary import DICTIONARY

    rows = [(table, column, *DICTIONARY[table][column]) for table, frame in tables.items() for column in frame.columns]
    return pd.DataFrame(rows, columns=["table", "column", "unit", "meaning", "when_empty"])


def _copy_shop(folder: Path, path: Path, shop: Shop, changes: Mapping[str, float]) -> None:
    """The scenario as it was run, under its own name and with its comments, and its order book."""
    text = edit_scenario(
        read_text(path), [Change("set", f"study.{name}", value) for name, value in changes.items()], str(path)
    )
    (folder / path.name).write_text(text, encoding="utf-8", newline="")
    book = shop.scenario.demand.order_book
    if book is not None:
        (folder / book.file).parent.mkdir(parents=True, exist_ok=True)
        shutil.copyfile(path.parent / book.file, folder / book.file)
