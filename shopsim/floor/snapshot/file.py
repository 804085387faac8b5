"""A state as a file: JSON text, written whole or not at all, read with a word on whatever is wrong with it."""

from __future__ import annotations

import hashlib
import json
from pathlib import Path
from typing import Any

from shopsim.errors import InputError, Problem, SnapshotError
from shopsim.floor.snapshot import Snapshot
from shopsim.floor.snapshot.document import SECTIONS
from shopsim.floor.snapshot.kinds import NUMBER, TEXT, WHOLE, Attributes, UnfitError, check_names
from shopsim.shop.file_text import read_text, write_text

# Raised whenever a part, a thing or something called later gets another name, place or meaning.
VERSION = 1
MOST_BYTES = 64_000_000
_HEAD = Attributes({
    "version": WHOLE, "scenario_hash": TEXT, "orders_hash": TEXT, "seed": WHOLE, "replication": WHOLE,
    "minute": NUMBER, "digest": TEXT,
})  # fmt: skip


def write_snapshot(path: Path, snapshot: Snapshot) -> None:
    """Write a state. Raises InputError if the file cannot be written; then an older one is still there."""
    document = {
        "version": VERSION, "scenario_hash": snapshot.scenario_hash, "orders_hash": snapshot.orders_hash,
        "seed": snapshot.seed, "replication": snapshot.replication, "minute": snapshot.minute,
        "digest": digest(snapshot.minute, snapshot.replication, snapshot.state), "state": snapshot.state,
    }  # fmt: skip
    try:
        write_text(path, json.dumps(document, allow_nan=False) + "\n")
    except (OSError, ValueError) as fault:
        why = getattr(fault, "strerror", None) or fault
        raise InputError([Problem(str(path), None, None, "", f"cannot be written: {why}")]) from None


def read_snapshot(path: Path) -> Snapshot:
    """Read a state of at most MOST_BYTES, as `write_snapshot` wrote it.

    Raises SnapshotError for another version, for what is missing or of another type, and if anything was changed since;
    whether it is one of the shop at hand is seen when it is put onto a floor.
    """
    found = _parsed(path)
    try:
        check_names(found, _HEAD.names | {"state"})
        if found["version"] != VERSION:
            raise UnfitError(f"must be {VERSION} for this shopsim, found {found['version']!r:.40}").under(".version")
        head = _HEAD.read_among(found, _NoFloor())
        state = found["state"]
        try:
            check_names(state, SECTIONS)
        except UnfitError as fault:
            raise fault.under(".state") from None
        if head["digest"] != digest(head["minute"], head["replication"], state):
            raise UnfitError("does not fit the rest: the file was changed after it was written").under(".digest")
    except UnfitError as fault:
        raise SnapshotError([Problem(str(path), None, None, fault.path.lstrip("."), str(fault))]) from None
    return Snapshot(
        head["scenario_hash"], head["orders_hash"], head["seed"], head["replication"], head["minute"], state
    )  # fmt: skip


def _parsed(path: Path) -> Any:
    text = read_text(path, MOST_BYTES, SnapshotError)
    try:
        return json.loads(text, parse_constant=_no_constant)
    except json.JSONDecodeError as fault:
        problem = Problem(str(path), fault.lineno, fault.colno, "", f"is no JSON: {fault.msg}")
    except (ValueError, RecursionError):
        problem = Problem(str(path), None, None, "", "is no state of a shop")
    raise SnapshotError([problem])


def _no_constant(name: str) -> None:
    raise ValueError(f"{name} is no number")


def digest(minute: float, replication: int, state: Any) -> str:
    """sha256 over what a state says; it tells changes and damage, not who made them."""
    text = json.dumps([float(minute), replication, state], separators=(",", ":"), sort_keys=True)
    return hashlib.sha256(text.encode()).hexdigest()


class _NoFloor:
    """Nothing in the head of a file refers to things or parts."""

    def thing(self, table: str, number: int) -> None:
        """None."""

    def part(self, name: str) -> None:
        """None."""
