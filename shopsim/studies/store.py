"""Finished replications, kept in one SQLite file: a study that was killed goes on where it was.

A row is keyed by the program that made it, by all that its numbers depend on (`Option.key`) and by its number, so that
any study may use it and nothing stale is ever mixed in. Several processes may read and write at once (WAL).
"""

from __future__ import annotations

import json
import sqlite3
import time
from collections.abc import Collection, Iterable, Sequence
from contextlib import closing, suppress
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType
from typing import Any

from shopsim.errors import StoreError
from shopsim.studies.code_version import code_version
from shopsim.studies.packed_numbers import Keys
from shopsim.studies.replication import TABLES, Replication, packed

_SCHEMA = """
create table if not exists replications(
    program text not null, option text not null, number integer not null, seed integer not null,
    kept_at real not null, numbers text not null, name text not null default '',
    primary key(program, option, number)) strict, without rowid
"""
_WAIT_S = 30.0
# SQLite takes at most so many values in one statement on old builds.
_AT_ONCE = 500


@dataclass(frozen=True, slots=True)
class Kept:
    """What the store holds of one option made by one program; `name` is the shop's, and what a study called it."""

    program: str
    option: str
    seed: int
    replications: int
    last_kept_at: float
    name: str


class Store:
    """Opens or makes the file. Raises StoreError where it cannot be used."""

    def __init__(self, path: str | Path) -> None:
        self.path = Path(path)
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
            self._db = sqlite3.connect(self.path, isolation_level=None, timeout=_WAIT_S, check_same_thread=False)
            self._db.execute("pragma journal_mode=wal")
            self._db.execute("pragma synchronous=normal")
            self._db.execute(_SCHEMA)
            self._add_names()
        except (OSError, sqlite3.Error) as fault:
            raise StoreError(f"{self.path}: cannot keep replications here: {fault}") from fault

    def __enter__(self) -> Store:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, fault: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Let go of the file."""
        self._db.close()

    def _add_names(self) -> None:
        """Stores of earlier versions have no names of options."""
        columns = {column for _, column, *_ in self._db.execute("pragma table_info(replications)")}
        if "program" in columns and "name" not in columns:
            self._db.execute("alter table replications add column name text not null default ''")

    def keep(self, option: str, seed: int, rows: Iterable[Replication], name: str = "") -> None:
        """Keep rows of an option, with a name to know it by; those already there stay as they are, unless damaged."""
        now, program = time.time(), code_version()
        values = [(program, option, row.number, seed, now, _text(row), name) for row in rows]
        try:
            self._db.execute("begin immediate")
            self._throw_damaged_away([each[:3] for each in values])
            self._db.executemany("insert or ignore into replications values(?, ?, ?, ?, ?, ?, ?)", values)
            self._db.execute("commit")
        except sqlite3.Error as fault:
            with suppress(sqlite3.Error):
                self._db.execute("rollback")
            raise StoreError(f"{self.path}: cannot keep replications here: {fault}") from fault

    def _throw_damaged_away(self, keys: Iterable[tuple[str, str, int]]) -> None:
        """Rows that cannot be read would keep those made again in their place from being kept."""
        which = "from replications where (program, option, number)=(?, ?, ?)"
        for key in keys:
            if any(_row(text) is None for (text,) in self._db.execute(f"select numbers {which}", key)):
                self._db.execute(f"delete {which}", key)

    def kept(self, wanted: Collection[tuple[str, int]]) -> dict[tuple[str, int], Replication]:
        """Those of the wanted (option key, number) that this program has made before."""
        numbers: dict[str, list[int]] = {}
        for key, number in wanted:
            numbers.setdefault(key, []).append(number)
        found: dict[tuple[str, int], Replication] = {}
        shared = Keys()
        for key, asked in numbers.items():
            for i in range(0, len(asked), _AT_ONCE):
                part = asked[i : i + _AT_ONCE]
                marks = ",".join("?" * len(part))
                query = f"select numbers from replications where program=? and option=? and number in ({marks})"
                for (text,) in self._read(query, (code_version(), key, *part)):
                    row = _row(text)
                    if row is not None:
                        found[key, row.number] = packed(row, shared)
        return found

    def _read(self, query: str, values: Sequence[Any] = ()) -> list[Any]:
        try:
            return self._db.execute(query, values).fetchall()
        except sqlite3.Error as fault:
            raise StoreError(f"{self.path}: cannot be read as a store of replications: {fault}") from fault

    def listed(self) -> list[Kept]:
        """What is kept, the newest first."""
        query = (
            "select program, option, seed, count(*), max(kept_at), name from replications "
            "group by program, option order by max(kept_at) desc"
        )
        return [Kept(*row) for row in self._read(query)]

    def prune(self, older_than_days: float | None = None, other_programs: bool = False) -> int:
        """Throw away what was kept longer ago, or by other code than this; returns how many replications went."""
        gone = 0
        try:
            with closing(self._db.cursor()) as cursor:
                if other_programs:
                    gone += cursor.execute("delete from replications where program<>?", (code_version(),)).rowcount
                if older_than_days is not None:
                    limit = time.time() - older_than_days * 86_400
                    gone += cursor.execute("delete from replications where kept_at<?", (limit,)).rowcount
                if gone:
                    cursor.execute("vacuum")
        except sqlite3.Error as fault:
            raise StoreError(f"{self.path}: cannot be pruned now: {fault}") from fault
        return gone


_LISTS = ("in_shop_by_day", "due_by_week", "on_time_by_week", "lead_days", "out_min", "gone_min")


def _text(row: Replication) -> str:
    parts: dict[str, Any] = {"number": row.number}
    for name in TABLES:
        parts[name] = [
            [list(key) if isinstance(key, tuple) else key, value] for key, value in getattr(row, name).items()
        ]
    for name in _LISTS:
        parts[name] = getattr(row, name)
    parts["hours_by_week"] = row.hours_by_week
    return json.dumps(parts, separators=(",", ":"))


def _row(text: str) -> Replication | None:
    """The row of a text; None for one that is damaged, which is then made again."""
    try:
        return _made_of(json.loads(text))
    except (ValueError, KeyError, TypeError):
        return None


def _made_of(parts: dict[str, Any]) -> Replication:
    tables: dict[str, Any] = {
        name: {tuple(key) if isinstance(key, list) else key: value for key, value in parts[name]} for name in TABLES
    }
    lists: dict[str, Any] = {name: tuple(parts[name]) for name in _LISTS}
    hours = {name: tuple(each) for name, each in parts["hours_by_week"].items()}
    return Replication(parts["number"], **tables, **lists, hours_by_week=hours)
