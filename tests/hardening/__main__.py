"""`python -m tests.hardening --files 10000 --workers 2`: spoiled demo files by reader, and every bad end in full."""

from __future__ import annotations

import argparse
import sys
from collections import Counter, defaultdict

from tests.hardening.many import outcomes


def main() -> int:
    """Run and tell; 1 if any file came to a bad end."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--files", type=int, default=10_000)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--workers", type=int, default=2)
    asked = parser.parse_args()
    counts: dict[str, Counter[str]] = defaultdict(Counter)
    slowest: dict[str, float] = defaultdict(float)
    bad = 0
    for outcome in outcomes(asked.files, asked.first, asked.workers):
        counts[outcome.kind][outcome.became] += 1
        slowest[outcome.kind] = max(slowest[outcome.kind], outcome.seconds)
        if not outcome.good:
            bad += 1
            sys.stdout.write(f"{outcome.kind} {outcome.number}: {outcome.became}\n{outcome.told}\n")
            sys.stdout.flush()
    sys.stdout.write(f"{'':12}{'tried':>8}{'refused':>9}{'read':>7}{'run':>7}{'bad':>5}{'slowest, s':>12}\n")
    for kind, found in counts.items():
        good = [found[name] for name in ("refused", "read", "run")]
        cells = "".join(f"{count:>{width},}" for count, width in zip(good, (9, 7, 7), strict=True))
        tried = found.total()
        sys.stdout.write(f"{kind:12}{tried:>8,}{cells}{tried - sum(good):>5}{slowest[kind]:>12.1f}\n")
    return int(bad > 0)


if __name__ == "__main__":
    raise SystemExit(main())
