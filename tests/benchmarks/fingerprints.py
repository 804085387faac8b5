"""`python -m tests.benchmarks.fingerprints`: one line a varied shop. Equal lines before and after a change made for
speed mean equal records, to the last bit."""

from __future__ import annotations

from hashlib import sha256

from shopsim.floor.run import simulate
from tests.benchmarks.shops import varied_shops


def main() -> None:
    """Print the name, the number of operation rows and a hash of all records of each shop."""
    for name, (scenario, lines) in varied_shops().items():
        log = simulate(scenario, lines)
        rows = len(log.table("operations"))
        print(f"{name:10} {rows:7} {sha256(log.fingerprint()).hexdigest()[:24]}")


if __name__ == "__main__":
    main()
