"""`shopsim kept`: finished replications kept on this machine, listed or thrown away."""

from __future__ import annotations

import argparse
import datetime
from dataclasses import asdict
from pathlib import Path

from shopsim.answers.keeping import default_store
from shopsim.doors.writing import TO_STDOUT, console, write_json
from shopsim.studies.code_version import code_version
from shopsim.studies.store import Kept, Store
from shopsim.terminal.tables import print_table, print_text


def run(arguments: argparse.Namespace) -> None:
    """Prune if asked to, then show what is kept. Raises StoreError for a file that is no store."""
    path = Path(arguments.store or default_store())
    if not path.exists():
        listed: list[Kept] = []
        gone = 0
    else:
        with Store(path) as store:
            gone = store.prune(arguments.prune_days, arguments.prune_other_versions)
            listed = store.listed()
    if arguments.json:
        write_json({"file": str(path), "gone": gone, "kept": [asdict(kept) for kept in listed]}, arguments.json)
    if arguments.json != TO_STDOUT:
        _show(path, gone, listed)


def _show(path: Path, gone: int, listed: list[Kept]) -> None:
    out = console()
    count = sum(kept.replications for kept in listed)
    thrown = f" {gone:,} were thrown away." if gone else ""
    shops = f"{len(listed)} shop{'s' if len(listed) != 1 else ''}"
    print_text(out, f"{count:,} replications of {shops} are kept in {path}.{thrown}")
    if listed:
        by_name: dict[tuple[str, str, int], list[Kept]] = {}
        for kept in listed:
            by_name.setdefault((kept.name, kept.program, kept.seed), []).append(kept)
        rows = [_row(alike) for alike in by_name.values()]
        print_table(
            out, "Kept", ("shop and option", "number", "program", "seed", "runs", "last"), rows,
            "The number stands for all values of the shop; the option is what a study called it first. Shops that bear "
            "one name, as the points of a study do, stand in one line.", texts=(1, 2),
        )  # fmt: skip


def _row(alike: list[Kept]) -> tuple[str, ...]:
    """A line of the table: one shop, or all those that one study gave one name."""
    first = alike[0]
    last = datetime.datetime.fromtimestamp(max(kept.last_kept_at for kept in alike))
    return (
        first.name or "-",
        first.option[:12] if len(alike) == 1 else f"{len(alike)} shops",
        "this" if first.program == code_version() else first.program,
        str(first.seed),
        f"{sum(kept.replications for kept in alike):,}",
        last.isoformat(" ", "minutes"),
    )
