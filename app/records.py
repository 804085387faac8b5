"""Order histories and logs kept with a shop: the files as they were given, and the mapping that reads each."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from app.drafts import Draft
from shopsim.errors import InputError, Problem
from shopsim.shop.exports.mapping import Mapping, dump_mapping, parse_mapping
from shopsim.shop.exports.own_files import mapping_of_own_file
from shopsim.shop.exports.reading import Reading, read_export
from shopsim.shop.exports.stamps import work_of_stamps
from shopsim.shop.exports.suggestion import suggest_mapping
from shopsim.shop.file_text import write_text
from shopsim.shop.scenario import Scenario

TABLES = ("orders", "printer_log", "work_log", "time_stamps")
KINDS = ("csv", "txt", "tsv", "xlsx")
_FOLDER = "records"


@dataclass(frozen=True, slots=True)
class Kept:
    """One table's file in a draft's folder, under its table's name; `mapping_path` lies beside it."""

    table: str
    path: Path

    @property
    def mapping_path(self) -> Path:
        return self.path.parent / f"{self.table}.map.yaml"

    @property
    def name_path(self) -> Path:
        """Where the name that the file was given under is kept."""
        return self.path.parent / f"{self.table}.name"

    @property
    def name(self) -> str:
        """What the file was called when it was given."""
        try:
            return self.name_path.read_text(encoding="utf-8")
        except OSError:
            return self.path.name

    def mapping_text(self) -> str:
        """The mapping as text, sound or not; empty without one."""
        try:
            return self.mapping_path.read_text(encoding="utf-8")
        except OSError:
            return ""

    def mapping(self) -> Mapping:
        """The mapping. Raises MappingError where it is not sound."""
        return parse_mapping(self.mapping_text(), self.mapping_path.name)

    def put_mapping(self, mapping: Mapping) -> None:
        """Keep another mapping."""
        self.put_mapping_text(dump_mapping(mapping))

    def put_mapping_text(self, text: str) -> None:
        """Keep another mapping, sound or not."""
        write_text(self.mapping_path, text)

    def reading(self) -> Reading:
        """Every row of the file as the mapping reads it. Raises InputError where file or mapping are not sound."""
        return _read(self.path, self.path.stat().st_mtime_ns, self.mapping_text(), self.mapping_path.name)

    def remove(self) -> None:
        """Let the file and its mapping go."""
        for path in (self.path, self.mapping_path, self.name_path):
            path.unlink(missing_ok=True)


@lru_cache(maxsize=6)
def _read(path: Path, stamp: int, text: str, name: str) -> Reading:  # noqa: ARG001
    try:
        return read_export(path, parse_mapping(text, name))
    except InputError as fault:
        # Folders of this machine are nobody's business.
        raise type(fault)(
            Problem(Path(each.file).name if each.file else "", each.line, each.column, each.path,
                    each.message.replace(f"{path.parent}/", ""))
            for each in fault.problems
        ) from None  # fmt: skip


def kept(draft: Draft, table: str) -> Kept | None:
    """The file of a table that is kept with a shop."""
    found = [draft.folder / _FOLDER / f"{table}.{kind}" for kind in KINDS]
    return next((Kept(table, path) for path in found if path.is_file()), None)


def keep(draft: Draft, table: str, name: str, content: bytes, products: dict[str, str]) -> tuple[Kept, tuple[str, ...]]:
    """Keep a file in place of the last one, with a mapping proposed for it and the doubts about that.

    A mapping that reads the new file too stays. Raises ExportError for a file in which no heading is known.
    """
    folder = draft.folder / _FOLDER
    folder.mkdir(exist_ok=True)
    before = kept(draft, table)
    old_text = before.mapping_text() if before else ""
    kind = Path(name).suffix.lower().removeprefix(".")
    made = Kept(table, folder / f"{table}.{kind if kind in KINDS else 'csv'}")
    if before is not None:
        before.remove()
    made.path.write_bytes(content)
    write_text(made.name_path, " ".join(name.split())[:120])
    if old_text:
        made.put_mapping_text(old_text)
        try:
            if made.reading().usable:
                return made, ()
        except InputError:
            pass
    try:
        mapping, doubts = _proposed(made, products)
    except InputError:
        made.remove()
        raise
    made.put_mapping(mapping)
    return made, doubts


def _proposed(made: Kept, products: dict[str, str]) -> tuple[Mapping, tuple[str, ...]]:
    try:
        return mapping_of_own_file(made.table, made.path), ()
    except InputError:
        found = suggest_mapping(made.path, made.table, products)
        return found.mapping, found.doubts


class Usable(NamedTuple):
    """Rows of every table that is kept with a shop and can be read, time stamps as rows of the work log, and what of
    these was made of them."""

    rows: dict[str, tuple[dict[str, Any], ...]]
    told: list[str]


def usable_rows(draft: Draft, scenario: Scenario) -> Usable:
    """What there is; no rows of a table that cannot be read."""
    rows: dict[str, tuple[dict[str, Any], ...]] = dict.fromkeys(TABLES, ())
    for table in TABLES:
        found = kept(draft, table)
        if found is not None:
            try:
                rows[table] = tuple(row.values for row in found.reading().usable)
            except InputError:
                continue
    stamps = rows.pop("time_stamps")
    work, told = work_of_stamps(stamps, rows["orders"], scenario) if stamps else ([], [])
    rows["work_log"] += tuple(work)
    return Usable(rows, told)
