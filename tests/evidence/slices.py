"""What the scripts share: a slice of the studies a call, results appended as CSV, and the shop with a known answer."""

from __future__ import annotations

import argparse
import csv
import math
import sys
from collections.abc import Iterable, Sequence
from importlib.resources import files
from pathlib import Path

from scipy import stats

from shopsim.shop.changes import Change, changed_values
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values, parse_scenario
from shopsim.studies.option import Option

HERE = Path(__file__).resolve().parent
ROOT = HERE.parents[1]
PER_H = 3.0


def arguments(description: str, studies: int, shops: Sequence[str] = ()) -> argparse.Namespace:
    """`--studies N` how many, `--first K` from which on (a study's number is its seed), `--out` where to append;
    `--shop` for one of several shops alone."""
    parser = argparse.ArgumentParser(description=description)
    parser.add_argument("--studies", type=int, default=studies)
    parser.add_argument("--first", type=int, default=0)
    parser.add_argument("--out", type=Path)
    if shops:
        parser.add_argument("--shop", choices=shops)
    return parser.parse_args()


def append(path: Path | None, heading: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """Append rows to a CSV as they come, with a heading if it is new; without a path only show them."""
    for row in rows:
        sys.stdout.write(" ".join(str(cell) for cell in row) + "\n")
        sys.stdout.flush()
        if path is not None:
            new = not path.exists()
            with path.open("a", encoding="utf-8", newline="") as file:
                csv.writer(file, lineterminator="\n").writerows([heading, row] if new else [row])


def read(path: Path) -> list[dict[str, str]]:
    """The rows of a CSV."""
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def queue(servers: int, orders_per_h: float, within_h: float, seed: int, **study: float) -> Option:
    """M/M/c, 3 an hour each, first come; an order is on time if it is done `within_h` of its receipt."""
    text = (files("shopsim.published") / "systems" / "m_m_1.yaml").read_text(encoding="utf-8")
    values = scenario_values(parse_scenario(text, "m_m_1.yaml"))
    changes = {
        "demand.forecast.orders_per_week": orders_per_h * 168, "demand.forecast.lead_days": within_h / 24,
        "crews.servers.count": servers, "work_centres.desk.seats": 9, "study.seed": seed,
        **{f"study.{name}": value for name, value in study.items()},
    }  # fmt: skip
    for path, value in changes.items():
        values = changed_values(values, Change("set", path, value))
    return Option(f"{servers} servers", check_values(values, "m_m_c"))


def done_within(servers: int, orders_per_h: float, hours: float) -> float:
    """The share of orders of M/M/c done within some hours of their receipt, in the long run.

    D. Gross, J. F. Shortle, J. M. Thompson, C. M. Harris, Fundamentals of Queueing Theory, 4th ed., Wiley, 2008,
    section 2.3 (from memory): the wait is 0 with one minus Erlang's C, else exponential; the work is exponential.
    """
    load = orders_per_h / PER_H
    top = load**servers / math.factorial(servers) * servers / (servers - load)
    waits = top / (sum(load**k / math.factorial(k) for k in range(servers)) + top)
    spare = servers - 1 - load
    late = math.exp(-PER_H * hours) * (1 + waits * (1 - math.exp(-PER_H * hours * spare)) / spare)
    return 1 - late


def at_least(promised: float, studies: int, bad_luck: float = 0.01) -> int:
    """How many of so many studies are right if each is with the promised chance, but for 1 % of bad luck."""
    return int(stats.binom.ppf(bad_luck, studies, promised))


def rate_between(right: int, studies: int) -> tuple[float, float]:
    """The 99 % interval of the rate at which studies are right (C. J. Clopper, E. S. Pearson, "The use of confidence or
    fiducial limits illustrated in the case of the binomial", Biometrika 26 (1934) 404-413)."""
    found = stats.binomtest(right, studies).proportion_ci(0.99, method="exact")
    return float(found.low), float(found.high)


def rate_text(right: int, studies: int, promised: float) -> str:
    """That interval in words, and whether more is kept than promised."""
    low, high = rate_between(right, studies)
    kept = "more than" if low > promised else "less than" if high < promised else "which may be"
    return f"99 % range of the rate {low:.1%} to {high:.1%}: {kept} the {promised:.0%} promised"
