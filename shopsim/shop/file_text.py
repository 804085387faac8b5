"""Bytes and text of a file somebody gave us: looked at before it is read, limited in size, UTF-8 only."""

from __future__ import annotations

import os
import stat
import tempfile
from pathlib import Path

from shopsim.errors import InputError, Problem, ScenarioError

MAX_BYTES = 2_000_000


def read_text(path: Path, limit: int = MAX_BYTES, error: type[InputError] = ScenarioError) -> str:
    """The UTF-8 text of a file of at most ``limit`` bytes; line ends stay as they are.

    Raises ``error`` if the file is missing, no plain file, unreadable, too large, empty or no UTF-8 text.
    """
    return decode(read_bytes(path, limit, error), str(path), error)


def read_bytes(path: Path, limit: int, error: type[InputError] = ScenarioError) -> bytes:
    """The content of a plain file of at most ``limit`` bytes; the size is looked at before anything is read.

    Raises ``error`` if the file is missing, no plain file, unreadable, too large or empty.
    """
    try:
        found = path.stat()
        if stat.S_ISDIR(found.st_mode):
            raise error([_whole(path, "is a folder, not a file")])
        if not stat.S_ISREG(found.st_mode):
            raise error([_whole(path, "is not a plain file")])
        if found.st_size > limit:
            size, most = found.st_size / 1e6, limit / 1e6
            raise error([_whole(path, f"must be at most {most:g} MB, found {size:.1f} MB")])
        content = path.read_bytes()
    except FileNotFoundError:
        raise error([_whole(path, "there is no such file")]) from None
    except (OSError, ValueError) as fault:
        raise error([_whole(path, f"cannot be read: {getattr(fault, 'strerror', None) or fault}")]) from None
    if not content.strip():
        raise error([_whole(path, "the file is empty")])
    return content


def decode(content: bytes, name: str, error: type[InputError] = ScenarioError) -> str:
    """The text of UTF-8 bytes, with or without a byte order mark. Raises ``error`` for anything else."""
    if b"\0" in content:
        raise error([Problem(name, None, None, "", "is a binary file, not text")])
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as fault:
        line = content.count(b"\n", 0, fault.start) + 1
        raise error([Problem(name, line, None, "", "is not UTF-8 text; save the file as UTF-8")]) from None


def write_text(path: Path, text: str) -> None:
    """Write a UTF-8 file so that a reader finds the old content or the new, never half of it."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.", suffix=".part")
    try:
        with os.fdopen(handle, "w", encoding="utf-8", newline="") as part:
            part.write(text)
        if path.exists():
            Path(name).chmod(path.stat().st_mode)
        Path(name).replace(path)
    except BaseException:
        Path(name).unlink(missing_ok=True)
        raise


def _whole(path: Path, message: str) -> Problem:
    return Problem(str(path), None, None, "", message)
