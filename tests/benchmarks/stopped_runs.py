"""`python -m tests.benchmarks.stopped_runs`: one line a varied shop, for runs that are stopped and gone on with."""

from __future__ import annotations

from hashlib import sha256

from shopsim.floor.run import simulate
from shopsim.floor.snapshot import Restart, run_until
from shopsim.shop.scenario import Scenario
from tests.benchmarks.shops import offline_shop, varied_shops


def interrupted_shop() -> Scenario:
    """The offline shop with a place at which rush work interrupts."""
    values = offline_shop().model_dump(mode="json")
    for centre in values["work_centres"]:
        if centre["id"] in ("sewing", "finishing"):
            centre["interrupted_by"] = "more_urgent"
    return Scenario.model_validate(values, strict=False)


def main() -> None:
    """Print the name, the hash of what follows a stop, and that of another future."""
    shops = {name: varied_shops()[name] for name in ("offline", "nights", "booked")}
    for name, (scenario, lines) in {**shops, "interrupts": (interrupted_shop(), ())}.items():
        start = Restart(scenario, lines, run_until(scenario, lines, 20_000.0)[1])
        whole, own, other = simulate(scenario, lines), start.run(), start.run(3)
        hashes = [sha256(log.fingerprint()).hexdigest()[:24] for log in (whole, own, other)]
        print(f"{name:10} {len(whole.table('interruptions')):6} {' '.join(hashes)}")


if __name__ == "__main__":
    main()
