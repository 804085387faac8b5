"""Promises kept: `python -m tests.evidence.promises --studies 25 --first 0 --out FILE`.

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
from collections.abc import Iterator
from functools import cache
from pathlib import Path

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


def studies(first: int, count: int) -> Iterator[tuple[object, ...]]:
    """Mornings of the flag shop, every fifth of the frame-fabric shop."""
    for study in range(first, first + count):
        yield from morning(study, FRAMES if study % 5 == 4 else FLAGS)


def told_and_found(path: Path = RESULTS, tenths: int = 10) -> list[tuple[float, int, int]]:
    """By tenth of the chance told: its mean, orders and days it was told of, and how many of them came true."""
    groups: dict[int, list[tuple[float, int]]] = {}
    for row in read(path):
        told = int(row["out_in"]) / int(row["futures"])
        groups.setdefault(min(tenths - 1, int(told * tenths)), []).append((told, int(row["out"])))
    return [
        (sum(told for told, _ in each) / len(each), len(each), sum(out for _, out in each))
        for _, each in sorted(groups.items())
    ]


def at_80(path: Path = RESULTS) -> tuple[int, int, float]:
    """Orders and days promised at 80 % (told 75 to 85 %), how many came true, and the standard error of their share.

    Orders of one morning share its luck: the error is that of a ratio over mornings (W. G. Cochran, Sampling
    Techniques, 3rd ed., Wiley, 1977, section 6.4; from memory).
    """
    mornings: dict[str, tuple[int, int]] = {}
    for row in read(path):
        if 0.75 <= int(row["out_in"]) / int(row["futures"]) < 0.85:
            hits, n = mornings.get(row["morning"], (0, 0))
            mornings[row["morning"]] = hits + int(row["out"]), n + 1
    hits, n = (sum(column) for column in zip(*mornings.values(), strict=True))
    k, share = len(mornings), hits / n
    squares = sum((hit - share * of) ** 2 for hit, of in mornings.values())
    return n, hits, math.sqrt(k / (k - 1) * squares) / n


def summary(path: Path = RESULTS) -> str:
    """What the results say."""
    n, hits, error = at_80(path)
    count = len({row["morning"] for row in read(path)})
    lines = [f"told {told:.0%}: {out} of {of} came true, {out / of:.0%}" for told, of, out in told_and_found(path)]
    first = (
        f"{count} mornings; promised at 80 % (75 to 85): {hits} of {n} kept, {hits / n:.1%}, standard error {error:.1%}"
    )
    return "\n".join([first, *lines])


def picture_page(path: Path = RESULTS) -> str:
    """The reliability picture as a page of its own."""
    import pandas as pd
    import plotly.offline

    from shopsim.pictures.fits import reliability, reliability_in_words

    rows = [(told, out / of, of) for told, of, out in told_and_found(path)]
    table = pd.DataFrame(rows, columns=["told", "happened", "orders"])
    plot = plotly.offline.plot(reliability(table), output_type="div", include_plotlyjs="inline")
    return f"<!doctype html><meta charset=utf-8><title>Promises</title>{plot}<p>{reliability_in_words(table)}</p>\n"


if __name__ == "__main__":
    asked = arguments(__doc__ or "", 200)
    append(asked.out, HEADING, studies(asked.first, asked.studies))
