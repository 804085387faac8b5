"""`python tests/benchmarks/run.py [--quick]`: the speed goals in one table, goal, found, met.

A compiled engine that is in use is what is measured; SHOPSIM_COMPILED=0 measures the source.

Definitions. *Bare*: timeouts a second of one SimPy process that does nothing else. *Row of work*: a stretch of work by
hands or a printed share of a bundle, i.e. one row of `operations` or `prints`. *Piece-operation*: one piece through one
step (a bundle of eight sewn is eight), or one finished task of hands in the print room. With bundles of one piece the
two counts are nearly the same. All times are processor seconds.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from time import perf_counter
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT))

from shopsim.compiled import files  # noqa: E402  # found only now
from tests.benchmarks.measuring import alternated, fresh, medians  # noqa: E402
from tests.benchmarks.two_workers import efficiencies  # noqa: E402


class Finding(NamedTuple):
    """One line of the table."""

    what: str
    goal: str
    found: str
    met: bool | None = None


def operations_over_bare(rounds: int) -> Iterator[Finding]:
    """Operations a second over bare timeouts a second, the whole log written."""
    bundles, singles, tandem = alternated(
        rounds,
        {"trial": "speed", "shop": "year"},
        {"trial": "speed", "shop": "year", "bundle_pieces": 1},
        {"trial": "speed", "shop": "tandem"},
    )
    size = f"{bundles['orders']:.0f} orders, {bundles['rows']:.0f} rows, {bundles['pieces']:.0f} piece-operations"
    yield Finding(f"one year ({size}), s", "", f"{bundles['s']:.2f}")
    yield _at_least("piece-operations/s over bare", bundles["pieces_ratio"], 0.20, "0.20, no less than 0.15")
    yield Finding("rows of work/s over bare", "", f"{bundles['rows_ratio']:.3f}")
    yield Finding("bundles of one piece: rows/s over bare", "", f"{singles['rows_ratio']:.3f}")
    yield Finding("M/M/3 tandem, no printers: rows/s over bare", "", f"{tandem['rows_ratio']:.3f}")


def against_the_textbook(rounds: int) -> Iterator[Finding]:
    """Times faster than the same plain shop in plain SimPy."""
    cases = (("1x, a year", 4, {"weeks": 52}), ("10x, 13 weeks", 5, {"weeks": 13, "times": 10}),
             ("sewing overloaded 1.3, 26 weeks", 20, {"weeks": 26, "load": 1.55}))  # fmt: skip
    for name, goal, arguments in cases:
        results = medians([fresh("against_textbook", **arguments) for _ in range(rounds)])
        yield _at_least(f"times faster than the textbook shop, {name}", results["times"], goal, f"{goal}")
        apart = abs(results["ours_flow_min"] / results["textbook_flow_min"] - 1)
        yield Finding("   mean flow times apart", "<= 0.1 %", f"{apart:.1e}", apart <= 1e-3)


def growth(rounds: int) -> Iterator[Finding]:
    """How time grows with the horizon and with the shop."""
    year, years, shop = alternated(
        rounds,
        {"trial": "speed", "shop": "year"},
        {"trial": "speed", "shop": "year", "years": 10},
        {"trial": "speed", "shop": "year", "times": 10},
    )
    yield _at_most("10 years over 1 year", years["in_bare"] / year["in_bare"], 11.5)
    yield _at_most("shop and demand x10 over x1", shop["in_bare"] / year["in_bare"], 12)


def overload(rounds: int) -> Iterator[Finding]:
    """Time of a row of work with tens of thousands of pieces in line, over the same shop nearly without lines."""
    calm, heavy = alternated(
        rounds,
        {"trial": "speed", "shop": "plain", "times": 2},
        {"trial": "speed", "shop": "plain", "times": 2, "load": 3.0},
    )
    name = f"time a row with {heavy['inside']:.0f} pieces in line over {calm['inside']:.0f}"
    yield _at_most(name, heavy["bare_a_row"] / calm["bare_a_row"], 1.3)


def memory(rounds: int) -> Iterator[Finding]:
    """Memory a further simulated year takes."""
    one, three = alternated(rounds, {"trial": "memory", "years": 1}, {"trial": "memory", "years": 3})
    extra, log = (three["mib"] - one["mib"]) / 2, (three["log_mib"] - one["log_mib"]) / 2
    yield Finding("MiB a further year, log included", "", f"{extra:.1f}")
    yield _at_most("MiB a further year, without the log", extra - log, 6)


def command_line(rounds: int) -> Iterator[Finding]:
    """Cold commands, wall clock."""
    if not (ROOT / "shopsim" / "cli.py").exists():
        yield Finding("cold commands", "", "skipped: shopsim.cli does not exist yet")
        return
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "year.yaml"
        fresh("scenario_file", path=str(path))
        yield _command("shopsim --help, s", 0.06, rounds, "--help")
        yield _command("shopsim run, one year once, s", 0.6, rounds, "run", str(path))


_COMMAND = "import sys; from shopsim.cli import main; sys.exit(main())"


def _command(what: str, goal: float, rounds: int, *arguments: str) -> Finding:
    taken = []
    for _ in range(rounds):
        began = perf_counter()
        done = subprocess.run(
            [sys.executable, "-c", _COMMAND, *arguments], cwd=ROOT, capture_output=True, text=True, check=False
        )
        taken.append(perf_counter() - began)
        # 3 says that the question could not be settled, as one replication cannot.
        if done.returncode not in (0, 3) or not done.stdout:
            last = done.stderr.strip().splitlines()[-1:] or ["no answer"]
            return Finding(what, f"<= {goal}", f"failed: {last[0][:70]}", False)
    return _at_most(what, statistics.median(taken), goal)


def shares(rounds: int) -> Iterator[Finding]:
    """Where a one-year run spends its time."""
    parts = medians([fresh("parts") for _ in range(rounds)])
    whole = sum(parts.values())
    yield Finding("share of time", "", ", ".join(f"{name} {100 * took / whole:.1f} %" for name, took in parts.items()))


def replication_of_a_demo(rounds: int) -> Iterator[Finding]:
    """What a study pays for each replication, in thousands of bare timeouts, and how it is shared out."""
    for demo in ("flag_banner_shop", "frame_fabric_shop", "exhibition_supplier"):
        found = medians([fresh("replication", demo=demo) for _ in range(rounds)])
        yield Finding(f"a replication of {demo}, 1,000 bare timeouts", "", f"{found.pop('bare') / 1000:.0f}")
        whole = sum(found.values())
        yield Finding("   of it", "", ", ".join(f"{name} {100 * took / whole:.0f} %" for name, took in found.items()))


def two_workers(rounds: int) -> Iterator[Finding]:
    """What the engines of studies make of two cores; only on a machine that does nothing else."""
    found = medians([efficiencies(100) for _ in range(rounds)])
    yield _at_least("efficiency of two workers on this machine", found["local"], 0.95, "0.95")
    yield _at_least("efficiency of a cluster of two workers", found["cluster"], 0.9, "0.9")


def _at_least(what: str, found: float, goal: float, text: str) -> Finding:
    return Finding(what, f">= {text}", f"{found:.3g}", found >= goal)


def _at_most(what: str, found: float, goal: float) -> Finding:
    return Finding(what, f"<= {goal:g}", f"{found:.3g}", found <= goal)


SECTIONS = (
    operations_over_bare, against_the_textbook, growth, overload, memory, command_line, shares, replication_of_a_demo,
    two_workers,
)  # fmt: skip


def main() -> None:
    """Print the table, a line as soon as it is known."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--quick", action="store_true", help="one round of each trial instead of three")
    parser.add_argument("sections", nargs="*", metavar="section", help=", ".join(s.__name__ for s in SECTIONS))
    chosen = parser.parse_args()
    names = chosen.sections or [section.__name__ for section in SECTIONS]
    print(f"engine: {'compiled' if files() else 'source'}")
    print(f"{'':78} {'goal':24} {'found':>9}  met")
    for section in SECTIONS:
        if section.__name__ not in names:
            continue
        for line in section(1 if chosen.quick else 3):
            met = {True: "yes", False: "NO", None: ""}[line.met]
            print(f"{line.what:78} {line.goal:24} {line.found:>9}  {met}", flush=True)


if __name__ == "__main__":
    main()
