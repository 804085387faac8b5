"""A new folder, filled at once or left as it was."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from shopsim.doors.writing import cannot_write, require_writable
from shopsim.errors import InputError, Problem


def check_free(where: str) -> None:
    """Raises InputError unless `where` is an empty folder, or nothing yet, and can be written."""
    folder = Path(where)
    try:
        empty = folder.is_dir() and not any(folder.iterdir())
        free = empty or not (folder.exists() or folder.is_symlink())
    except (OSError, ValueError) as fault:
        raise cannot_write(where, fault) from None
    if not free:
        raise InputError([Problem(where, None, None, "--out", "must be a new or an empty folder")])
    require_writable(where)


@contextmanager
def filled_at_once(where: str) -> Iterator[Path]:
    """A folder beside `where` to be filled, which takes its place in the end, and is gone if anything fails.

    Raises InputError for what cannot be written.
    """
    folder = Path(where)
    try:
        folder.parent.mkdir(parents=True, exist_ok=True)
        part = Path(tempfile.mkdtemp(dir=folder.parent, prefix=f".{folder.name}.", suffix=".part"))
        try:
            yield part
            part.chmod(0o755)
            if folder.is_dir():
                folder.rmdir()
            part.rename(folder)
        except BaseException:
            shutil.rmtree(part, ignore_errors=True)
            raise
    except (OSError, ValueError) as fault:
        raise cannot_write(where, fault) from None
