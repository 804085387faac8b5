"""`python -m tests.hardening`: everything that goes wrong in a shop's office, tried so often, and what came of it.

`--files 10000` spoiled demo files by reader, `--kills 20` studies and `--servers 10` servers killed at random moments,
`--soak 200` studies in a row; hostile files, disks, clocks and two programs at one study besides. Ends with 1 if
anything came to a bad end, which is told in full.
"""

from __future__ import annotations

import argparse
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator
from functools import partial

from tests.evidence.kills import COUNT, local
from tests.hardening.clocks import clock_set_back, surroundings
from tests.hardening.disks import answered, full_disk, read_only_folder, refused
from tests.hardening.hostile import hostile_files
from tests.hardening.many import outcomes
from tests.hardening.ordeal import Ordeal
from tests.hardening.servers import servers_killed
from tests.hardening.sharing import two_at_once
from tests.hardening.soak import soak


def main() -> int:
    """Run and tell; 1 if anything came to a bad end."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name, usual in (("files", 10_000), ("first", 0), ("workers", 2), ("kills", 20), ("servers", 10), ("pairs", 10),
                        ("soak", 200)):  # fmt: skip
        parser.add_argument(f"--{name}", type=int, default=usual, metavar="N")
    asked = parser.parse_args()
    bad = _files(asked.files, asked.first, asked.workers) if asked.files else 0
    _say(f"\n{'':12}{'':44}{'tried':>6}{'bad':>5}\n")
    for ordeal in _ordeals(asked):
        _say(f"{ordeal.kind:12} {ordeal.name:43}{ordeal.tried:>6}{len(ordeal.bad):>5}  {ordeal.told}\n")
        _say("".join(f"  {wrong}\n" for wrong in ordeal.bad))
        bad += len(ordeal.bad)
    return int(bad > 0)


def _ordeals(asked: argparse.Namespace) -> Iterator[Ordeal]:
    yield from hostile_files()
    places = (("read-only folder", read_only_folder, "Permission denied"),
              ("full disk", full_disk, "No space left on device"))  # fmt: skip
    for name, place, why in places:
        yield refused(name, place, why)
        yield answered(name, place)
    yield surroundings()
    yield clock_set_back()
    often = (("pairs", two_at_once), ("kills", studies_killed), ("servers", partial(servers_killed, 0)), ("soak", soak))
    yield from (ordeal(getattr(asked, name)) for name, ordeal in often if getattr(asked, name))


def studies_killed(count: int) -> Ordeal:
    """Whole studies killed and gone on with: nothing that was kept is lost or run twice, the table is the same."""
    lost, bad = 0, []
    for _, number, after_s, kept, run_again, same in local(0, count):
        lost += max(0, COUNT - int(str(kept)) - int(str(run_again)))
        if not same or int(str(kept)) + int(str(run_again)) != COUNT:
            bad.append(f"study {number}, killed after {after_s} s: {kept} kept, {run_again} run again")
    return Ordeal("study", "killed, gone on with", count, tuple(bad), f"{lost} replications lost")


def _files(files: int, first: int, workers: int) -> int:
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    slowest: dict[str, float] = defaultdict(float)
    bad = 0
    for outcome in outcomes(files, first, workers):
        counts[outcome.kind][outcome.became] += 1
        slowest[outcome.kind] = max(slowest[outcome.kind], outcome.seconds)
        if not outcome.good:
            bad += 1
            _say(f"{outcome.kind} {outcome.number}: {outcome.became}\n{outcome.told}\n")
    _say(f"{'spoiled file':13}{'tried':>8}{'refused':>9}{'read':>7}{'run':>7}{'bad':>5}{'slowest, s':>12}\n")
    for kind, found in counts.items():
        good = [found[name] for name in ("refused", "read", "run")]
        cells = "".join(f"{count:>{width},}" for count, width in zip(good, (9, 7, 7), strict=True))
        tried = found.total()
        _say(f"{kind:13}{tried:>8,}{cells}{tried - sum(good):>5}{slowest[kind]:>12.1f}\n")
    return bad


def _say(text: str) -> None:
    sys.stdout.write(text)
    sys.stdout.flush()


if __name__ == "__main__":
    raise SystemExit(main())
