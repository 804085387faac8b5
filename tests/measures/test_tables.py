"""The records as tidy tables, and a data dictionary without holes."""

from pathlib import Path

import pandas as pd
import pytest

from shopsim.floor.record import COLUMNS
from shopsim.measures.dictionary import DICTIONARY
from shopsim.measures.tables import frames
from tests.measures.hand_logs import hand_log, hand_shop
from tests.measures.weeks import full_shop, full_week

UNITS = {"name", "1", "yes/no", "min", "m", "m2", "ml", "m/min", "CU", "ISO 8601"}


@pytest.fixture(scope="module")
def tables() -> dict[str, pd.DataFrame]:
    return frames(full_week(full_shop()), full_shop())


def test_the_dictionary_is_complete(tables: dict[str, pd.DataFrame]) -> None:
    assert tables.keys() == DICTIONARY.keys() == COLUMNS.keys() | {"person_spans", "seat_spans"}
    for name, frame in tables.items():
        assert frame.columns.tolist() == list(DICTIONARY[name]), name
    for name, columns in COLUMNS.items():
        assert list(DICTIONARY[name])[: len(columns)] == list(columns)
    for entries in DICTIONARY.values():
        for unit, meaning, when_empty in entries.values():
            assert unit in UNITS
            assert meaning and when_empty


def test_columns_that_are_never_empty_are_never_empty(tables: dict[str, pd.DataFrame]) -> None:
    for table, frame in tables.items():
        for column, (_, _, when_empty) in DICTIONARY[table].items():
            assert when_empty != "never" or not frame[column].isna().any(), (table, column)


def test_names_stand_for_codes(tables: dict[str, pd.DataFrame]) -> None:
    row = tables["operations"].iloc[3]
    assert (row["kind"], row["place"], row["person"], row["helper"], row["order"]) == (
        "sew", "sewing", "sewers 1", "sewers 2", 1
    )  # fmt: skip
    assert row["last"]
    assert tables["operations"]["helper"].isna().tolist() == [True, True, True, False]
    assert tables["metres"]["cause"].tolist() == ["bought", "printed", "leader", "tail_blank"]
    assert tables["overtime"]["crew"].tolist() == ["sewers"]
    assert tables["orders"]["ending"].tolist() == [
        "dispatched", "dispatched", "cancelled_before_print", "inside", "inside"
    ]  # fmt: skip


def test_what_has_not_happened_is_empty(tables: dict[str, pd.DataFrame]) -> None:
    orders = tables["orders"]
    for column in ("complete", "dispatched", "dispatched_iso", "delivered"):
        assert orders[column].isna().tolist() == [False, False, True, True, True]
    assert orders["released"].isna().tolist() == [False, False, True, False, False]
    assert orders["ended"].isna().tolist() == [False, False, False, True, True]
    assert orders["check_task"].isna().all()


def test_stamps_are_iso_8601(tables: dict[str, pd.DataFrame]) -> None:
    """Minute 2430 is Tuesday 16:30; the story starts on Monday 5 January 2026."""
    assert tables["orders"]["due_iso"].tolist()[:2] == ["2026-01-06T16:30:00", "2026-01-05T16:00:00"]
    assert tables["absences"].columns.tolist() == ["person", "day"]


def test_times_before_the_start_stay_times() -> None:
    """-1 stands for none elsewhere; an order may be received a minute before the start."""
    log = hand_log(hand_shop(), orders=[{"order": 0, "received": -1, "ended": float("inf")}])
    (row,) = frames(log, hand_shop())["orders"].to_dict("records")
    assert (row["received"], row["received_iso"]) == (-1, "2026-01-04T23:59:00")


def test_two_people_of_one_name() -> None:
    log = hand_log(hand_shop(), absences=[{"person": 1, "day": 0}, {"person": 2, "day": 1}])
    log.people[2].name = log.people[1].name = "Kim"
    assert frames(log, hand_shop())["absences"]["person"].tolist() == ["Kim", "Kim"]


def test_tables_can_be_written_and_read(tables: dict[str, pd.DataFrame], tmp_path: Path) -> None:
    for name, frame in tables.items():
        frame.to_parquet(tmp_path / f"{name}.parquet")
        assert pd.read_parquet(tmp_path / f"{name}.parquet").columns.tolist() == frame.columns.tolist()
