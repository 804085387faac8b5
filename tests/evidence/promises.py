"""Promises kept: `python -m tests.evidence.promises --studies 25 --first 0 --out FILE`, `--shop frames` for one shop.

`python -c "from tests.evidence import promises; print(promises.summary())"` says what the results kept here say, and
`picture_page()` gives the reliability picture.

Each study is a morning of one of two demo shops whose orders are forecast, so that no future is known beforehand. A
true shop of its own luck is run to that morning, its readable state is read off it and written to the text of a file;
from what that file says, futures with other luck are simulated; then the true shop runs on. A row tells of an open
order and a collection day after the morning: in how many futures it had left by then, and whether it truly had (1).
Only days in doubt are kept: those by which some futures had it out and others had not, and the order's due day.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

from shopsim.clock import MINUTES_PER_DAY, MINUTES_PER_WEEK, date_of
from shopsim.floor.order_table import collection_times
from shopsim.floor.read_today import read_today
from shopsim.floor.record import COLUMNS, DISPATCHED, RunLog
from shopsim.floor.run import Floor
from shopsim.floor.start_from_today import simulate_from
from shopsim.shop.changes import Change
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import load_shop
from shopsim.shop.today_file import dump_today, parse_today
from shopsim.shop.today_start import Start
from shopsim.shop.what_if import WhatIf, apply, load_what_if
from tests.evidence.slices import HERE, ROOT, append, arguments, read

RESULTS = HERE / "promises.csv"
HEADING = ("morning", "shop", "futures", "order", "days_on", "is_due", "out_in", "out")
DEMOS = ROOT / "demo_scenarios"
FRAMES, FLAGS = "frames", "flags"
_FILES = {FRAMES: "frame_fabric_shop.yaml", FLAGS: "flag_banner_shop.yaml"}
FUTURES = 50
DAYS_ON = 15
_TRUTHS, _FUTURES = 7_001, 7_002
_AFTER_WEEKS = 6
_FIRST_WEEK, _WEEKS = 3, 6
Row = Mapping[str, str]


@cache
def shop(name: str) -> Scenario:
    """A demo with forecast orders, with weeks enough for what follows."""
    path = DEMOS / _FILES[name]
    made = load_shop(path)
    if name == FRAMES:
        made = apply(made, load_what_if(str(DEMOS / "mornings" / "frame_fabric_forecast.yaml"), str(path)))
    weeks = _FIRST_WEEK + _WEEKS + _AFTER_WEEKS
    longer = WhatIf("longer", (Change("set", "study.weeks", weeks), Change("set", "study.opening", "empty")), name)
    return apply(made, longer).scenario


def of_seed(scenario: Scenario, seed: int) -> Scenario:
    """The same shop with other luck."""
    return scenario.model_copy(update={"study": scenario.study.model_copy(update={"seed": seed})})


def minute_of_morning(study: int, scenario: Scenario) -> float:
    """Before the shop opens; every fourth study in the middle of the day's work. Weekdays of six weeks in turn."""
    days = [
        day for day in range(_FIRST_WEEK * 7, (_FIRST_WEEK + _WEEKS) * 7)
        if day % 7 < 5 and day not in scenario.closed_days
    ]  # fmt: skip
    clock_min = 11 * 60 + 7 if study % 4 == 3 else 5 * 60
    return float(days[study * 11 % len(days)] * MINUTES_PER_DAY + clock_min)


def left(log: RunLog) -> dict[int, float]:
    """When each order left, by its number."""
    number, out, ending = (COLUMNS["orders"].index(name) for name in ("order", "dispatched", "ending"))
    return {int(row[number]): float(row[out]) for row in log.table("orders") if row[ending] == DISPATCHED}


def morning(study: int, name: str, futures: int = FUTURES) -> Iterator[tuple[object, ...]]:
    """The rows of one morning. Orders that the customer cancels later are no broken promises, and left out."""
    base = shop(name)
    now = minute_of_morning(study, base)
    floor = Floor(of_seed(base, _TRUTHS), (), study)
    floor.env.run(until=now)
    numbers = list(floor.open_orders)
    told, _ = parse_today(dump_today(read_today(floor)), "morning", base)
    floor.env.run(until=now + _AFTER_WEEKS * MINUTES_PER_WEEK)
    truth = left(floor.log)
    outs = [left(simulate_from(of_seed(base, _FUTURES), (), study * 1_000 + k, Start(told))) for k in range(futures)]
    days = [each for each in collection_times(base) if each >= now][:DAYS_ON]
    for order, number in enumerate(numbers):
        if number not in truth and number not in floor.open_orders:
            continue
        for ahead, at in enumerate(days):
            is_due = date_of(at, base.shop.starts) == told.orders[order].due
            out_in = sum(out.get(order, at + 1) <= at for out in outs)
            if is_due or 0 < out_in < futures:
                true = truth.get(number, at + 1) <= at
                yield study, name, futures, number, ahead, int(is_due), out_in, int(true)


def studies(first: int, count: int, name: str | None = None) -> Iterator[tuple[object, ...]]:
    """Mornings of one shop; without a name of the flag shop, every fifth of the frame-fabric shop."""
    for study in range(first, first + count):
        yield from morning(study, name or (FRAMES if study % 5 == 4 else FLAGS))


class Kept(NamedTuple):
    """Orders and days of which the same was told: how many mornings and of them, the mean chance told, the share that
    came true and its standard error.

    Orders of one morning share its luck: the error is that of a ratio over mornings (W. G. Cochran, Sampling
    Techniques, 3rd ed., Wiley, 1977, section 6.4; from memory).
    """

    mornings: int
    of: int
    told: float
    share: float
    error: float


def kept(rows: Iterable[Row]) -> Kept:
    """What became of the chances told in these rows, from two mornings on."""
    groups: dict[tuple[str, str], list[Row]] = {}
    for row in rows:
        groups.setdefault((row["shop"], row["morning"]), []).append(row)
    sizes = [(sum(int(row["out"]) for row in each), len(each)) for each in groups.values()]
    n, k = sum(of for _, of in sizes), len(groups)
    share = sum(hits for hits, _ in sizes) / n
    squares = sum((hits - share * of) ** 2 for hits, of in sizes)
    told = sum(told_of(row) for each in groups.values() for row in each) / n
    return Kept(k, n, told, share, math.sqrt(k / (k - 1) * squares) / n)


def told_of(row: Row) -> float:
    """The chance told."""
    return int(row["out_in"]) / int(row["futures"])


def rows_of(name: str | None = None, due_alone: bool = False, path: Path = RESULTS) -> list[Row]:
    """The results of one shop, or of both; of due days alone, if wanted."""
    return [row for row in read(path) if name in (None, row["shop"]) and (not due_alone or row["is_due"] == "1")]


def at_80(rows: Iterable[Row]) -> Kept:
    """Those promised at 80 % (75 to 85)."""
    return kept(row for row in rows if 0.75 <= told_of(row) < 0.85)


def dates_at_80(rows: Iterable[Row]) -> Kept:
    """Days that `promise` tells as the date at 80 %, where not all futures agree on them: the first by which k of n
    futures have the order out, k / (n + 1) at least 0.8."""
    first: dict[tuple[str, str, str], Row] = {}
    for row in rows:
        if int(row["out_in"]) >= math.ceil(0.8 * (int(row["futures"]) + 1) - 1e-9):
            key = row["shop"], row["morning"], row["order"]
            first[key] = min(row, first.get(key, row), key=lambda each: int(each["days_on"]))
    return kept(row for row in first.values() if int(row["out_in"]) < int(row["futures"]))


def by_tenth(rows: Iterable[Row]) -> list[Kept]:
    """By tenth of the chance told."""
    groups: dict[int, list[Row]] = {}
    for row in rows:
        groups.setdefault(min(9, int(told_of(row) * 10)), []).append(row)
    return [kept(each) for _, each in sorted(groups.items())]


def summary(path: Path = RESULTS) -> str:
    """What the results say."""
    lines = []
    for name in (None, FLAGS, FRAMES):
        rows = rows_of(name, path=path)
        found, due, dates = at_80(rows), at_80(rows_of(name, True, path)), dates_at_80(rows)
        mornings = len({(row["shop"], row["morning"]) for row in rows})
        lines.append(
            f"{name or 'both'}: {mornings} mornings; promised at 80 % (75 to 85): {_words(found)}; on due days "
            f"{_words(due)}; dates at 80 %: told {dates.told:.1%}, {_words(dates)}"
        )
    lines += [f"told {each.told:.0%}: {each.share:.0%} of {each.of} came true" for each in by_tenth(rows_of(path=path))]
    return "\n".join(lines)


def _words(found: Kept) -> str:
    return f"{found.share:.1%} of {found.of} kept (standard error {found.error:.1%})"


def picture_page(path: Path = RESULTS) -> str:
    """The reliability picture as a page of its own."""
    import pandas as pd
    import plotly.offline

    from shopsim.pictures.fits import reliability, reliability_in_words

    rows = [(each.told, each.share, each.of) for each in by_tenth(rows_of(path=path))]
    table = pd.DataFrame(rows, columns=["told", "happened", "orders"])
    plot = plotly.offline.plot(reliability(table), output_type="div", include_plotlyjs="inline")
    return f"<!doctype html><meta charset=utf-8><title>Promises</title>{plot}<p>{reliability_in_words(table)}</p>\n"


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 200, (FLAGS, FRAMES))
    append(asked.out, HEADING, studies(asked.first, asked.studies, asked.shop))
