"""A full disk and a folder nobody may write in: told in one line with code 2, and every file there stays as it was."""

from __future__ import annotations

import datetime
import os
import shutil
import subprocess
import tempfile
from collections.abc import Callable, Generator, Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.doors.tiny import write_shop
from tests.hardening.commands import contents, shopsim, went_wrong
from tests.hardening.ordeal import Ordeal

_WHAT_IF = "name: Quick seams\nbase: tiny.yaml\nchanges:\n  - {set: 'products.flag.route[1].minutes', to: 0.5}\n"
_FEW = ("--replications", "2", "--workers", "1")
# What each door writes, and what it writes it over.
WRITING: dict[str, tuple[str, ...]] = {
    "answer": ("run", "tiny.yaml", *_FEW, "--json", "old.json"),
    "records": ("run", "tiny.yaml", *_FEW, "--out", "records"),
    "state": ("run", "tiny.yaml", "--until", "2026-01-05 12:15", "--save-state", "old.json"),
    "comparison": ("compare", "tiny.yaml", "faster.yaml", *_FEW, "--json", "old.json"),
    "report": ("report", "tiny.yaml", "faster.yaml", *_FEW, "--no-pdf", "--out", "report"),
    "demos": ("demos", "demos"),
    "schema": ("check", "tiny.yaml", "--schema", "old.json"),
    "rows": ("read", "past.csv", "--map", "past.map.yaml", "--out", "old.json"),
    "fit": ("fit", "tiny.yaml", "--orders", "past.csv", "--out", "fitted.yaml"),
}
Place = Callable[[], Generator[tuple[Path, tuple[str, ...]], None, None]]


def _filled(folder: Path) -> None:
    write_shop(folder)
    days = [datetime.date(2025, 11, 3) + datetime.timedelta(weeks=i // 5, days=i % 5) for i in range(15)]
    rows = [f"{day:%d}-{i},{day} {8 + 3 * i:02}:00,{day + datetime.timedelta(days=4)},flag,{5 + i}\n"
            for day in days for i in range(3)]  # fmt: skip
    (folder / "past.csv").write_text("".join(["order_id,received,due,product,pieces\n", *rows]), encoding="utf-8")
    columns = ", ".join(f"{name}: {name}" for name in ("order_id", "received", "due", "product", "pieces"))
    (folder / "past.map.yaml").write_text(f"table: orders\ncolumns: {{{columns}}}\n", encoding="utf-8")
    (folder / "faster.yaml").write_text(_WHAT_IF, encoding="utf-8")
    (folder / "old.json").write_text("what was there before", encoding="utf-8")


@contextmanager
def full_disk() -> Generator[tuple[Path, tuple[str, ...]], None, None]:
    """A disk of its own without a byte to spare; needs the right to mount one, else PermissionError."""
    folder = Path(tempfile.mkdtemp())
    try:
        mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "none", folder], capture_output=True)
        if mounted.returncode:
            raise PermissionError(mounted.stderr.decode())
        try:
            _filled(folder)
            with (folder / "filler").open("wb", buffering=0) as filler, _until_full():
                while True:
                    filler.write(b"0" * 512)
            yield folder, ()
        finally:
            subprocess.run(["umount", folder], check=True)
    finally:
        folder.rmdir()


@contextmanager
def _until_full() -> Iterator[None]:
    try:
        yield
    except OSError as fault:
        if fault.strerror != "No space left on device":
            raise


@contextmanager
def read_only_folder() -> Generator[tuple[Path, tuple[str, ...]], None, None]:
    """A folder without the right to write; the administrator's right to write everywhere is laid down."""
    folder = Path(tempfile.mkdtemp())
    try:
        _filled(folder)
        folder.chmod(0o555)
        without = ("setpriv", "--bounding-set", "-dac_override,-dac_read_search", "--inh-caps", "-all")
        yield folder, without if os.geteuid() == 0 else ()
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)


def refused(kind: str, place: Place, why: str) -> Ordeal:
    """Every command that writes, in a place that takes nothing."""
    bad: list[str] = []
    with place() as (folder, before):  # type: ignore[attr-defined]
        there = contents(folder)
        for arguments in WRITING.values():
            wrong = went_wrong(shopsim(folder, *arguments, before=before), 2, f"cannot be written: {why}")
            bad += [wrong] if wrong else []
            if contents(folder) != there:
                bad.append(f"{arguments[0]}: files are not what they were: {sorted(contents(folder))}")
    return Ordeal("place", kind, len(WRITING), tuple(bad))


def answered(kind: str, place: Place) -> Ordeal:
    """A study whose replications cannot be kept there: it is answered all the same, and says so."""
    with place() as (folder, before):  # type: ignore[attr-defined]
        done = shopsim(folder, "compare", "tiny.yaml", "faster.yaml", *_FEW, before=before)
    fine = done.returncode in (0, 3) and "cannot keep replications here" in done.stderr and done.stdout
    return Ordeal("place", f"{kind}, a study", 1, () if fine else (done.stderr[-500:],))
