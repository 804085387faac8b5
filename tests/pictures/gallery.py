"""Every picture of the frame-fabric demo on a page, light and dark: `python -m tests.pictures.gallery DIR`.

Runs short studies (a few minutes the first time; what is finished is kept in DIR), writes
DIR/gallery_light.html and DIR/gallery_dark.html, each picture with its words, and tells the size of each figure.
"""

from __future__ import annotations

import html
import json
import math
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd
import plotly.graph_objects as go
import plotly.offline

from shopsim.answers.drawn import of_sensitivity
from shopsim.cli import main
from shopsim.clock import MINUTES_PER_DAY
from shopsim.measures.by_hour import constraint_by_weekday, waiting_by_hour
from shopsim.measures.day_bars import day_bars
from shopsim.measures.plan_view import plan_view as plan_tables
from shopsim.pictures import answer_tables, run_tables
from shopsim.pictures.constraint import constraint_by_weekday as constraint_picture
from shopsim.pictures.constraint import constraint_by_weekday_in_words
from shopsim.pictures.cost_and_dates import (
    crew_frontier,
    crew_frontier_in_words,
    shift_patterns,
    shift_patterns_in_words,
)
from shopsim.pictures.differences import differences, differences_in_words
from shopsim.pictures.fits import quantiles_against, quantiles_against_in_words, reliability, reliability_in_words
from shopsim.pictures.forecast import forecast, forecast_in_words
from shopsim.pictures.gantt import gantt, gantt_in_words
from shopsim.pictures.growth import on_time_against_demand, on_time_against_demand_in_words
from shopsim.pictures.in_shop import orders_in_shop, orders_in_shop_in_words, settling, settling_in_words
from shopsim.pictures.lead_time import lead_time_curve, lead_time_curve_in_words
from shopsim.pictures.load import load_against_capacity, load_against_capacity_in_words
from shopsim.pictures.payback import npv_spread, npv_spread_in_words, payback_spread, payback_spread_in_words
from shopsim.pictures.plan_view import plan_view, plan_view_in_words
from shopsim.pictures.queue_by_hour import queue_by_hour, queue_by_hour_in_words
from shopsim.pictures.style import CONFIG, DARK_INK, DARK_PAPER, LIGHT_INK, LIGHT_PAPER, dressed
from shopsim.pictures.time_split import time_split, time_split_in_words
from shopsim.pictures.tornado import tornado, tornado_in_words
from shopsim.pictures.waste import waste_by_cause, waste_by_cause_in_words
from shopsim.pictures.why_late import why_late, why_late_in_words
from shopsim.shop.load_rows import load_rows
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.studies.replicate import replicate
from shopsim.studies.replication import one_log

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"
SCENARIO = DEMOS / "frame_fabric_shop.yaml"
Shown = tuple[go.Figure, str]


def what_if(name: str) -> str:
    return str(DEMOS / "what_ifs" / f"frame_fabric_{name}.yaml")


def answer(folder: Path, name: str, *arguments: str) -> dict[str, Any]:
    """The JSON answer of a command, kept in the folder."""
    path = folder / f"{name}.json"
    if not path.exists():
        main([name, str(SCENARIO), *arguments, "--store", str(folder / "store.sqlite"), "--json", str(path)])
    found: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return found


def as_it_stands(shop: Shop) -> Iterator[Shown]:
    found = replicate(shop.scenario, shop.order_lines, 5, workers=2)
    log = one_log(shop.scenario, shop.order_lines)
    split = run_tables.split_table(found)
    for kind in ("printer", "place", "crew", "person"):
        yield time_split(split, kind), time_split_in_words(split, kind)
    lead, promise = run_tables.lead_table(found), run_tables.usual_promise(found)
    yield lead_time_curve(lead, promise), lead_time_curve_in_words(lead, promise)
    inside = run_tables.in_shop_table(found)
    yield orders_in_shop(inside, shop.scenario.shop.starts), orders_in_shop_in_words(inside, shop.scenario.shop.starts)
    late = run_tables.why_late_table(found)
    yield why_late(late), why_late_in_words(late)
    waste = run_tables.waste_table(found)
    yield waste_by_cause(waste), waste_by_cause_in_words(waste)
    load = run_tables.load_table(load_rows(shop.scenario, shop.order_lines))
    yield load_against_capacity(load), load_against_capacity_in_words(load)
    queue = waiting_by_hour(log, shop.scenario)
    yield queue_by_hour(queue), queue_by_hour_in_words(queue)
    held = constraint_by_weekday(log, shop.scenario)
    yield constraint_picture(held), constraint_by_weekday_in_words(held)
    tuesday = log.warm_up_min + 15 * MINUTES_PER_DAY
    bars = day_bars(log, shop.scenario, tuesday, tuesday + MINUTES_PER_DAY)
    for kind in ("printer", "place", "person"):
        yield gantt(bars, kind, shop.scenario.shop.starts), gantt_in_words(bars, kind, shop.scenario.shop.starts)
    plan = plan_tables(log, shop.scenario, tuesday + 360, tuesday + 1320)
    yield plan_view(*plan, shop.scenario.shop.starts), plan_view_in_words(*plan, shop.scenario.shop.starts)


def orders_to_come() -> Iterator[Shown]:
    demand = load_shop(DEMOS / "flag_banner_shop.yaml").scenario.demand.forecast
    assert demand is not None
    for over in ("year", "week", "day"):
        table = run_tables.forecast_table(demand, over)
        yield forecast(table, over), forecast_in_words(table, over)


def studies(folder: Path, currency: str) -> Iterator[Shown]:
    few = ("--replications", "5")
    compared = answer(folder, "compare", what_if("one_more_sewer"), what_if("third_printer"),
                      what_if("cross_trained_packers"), *few)  # fmt: skip
    table = answer_tables.difference_table(compared, "on_time_share")
    yield (
        differences(table, "orders on time", "points", 100),
        differences_in_words(table, "orders on time", "points", 100),
    )
    crew = answer(folder, "crew", "--crew", "sewers=2..5", "--at-most", "12")
    table = answer_tables.crew_table(crew, {})
    yield crew_frontier(table, crew["target"], currency), crew_frontier_in_words(table, crew["target"], currency)
    shifts = answer(folder, "shifts", what_if("early_late"), what_if("four_tens"), *few)
    table = answer_tables.pattern_table(shifts)
    yield shift_patterns(table, 0.95, currency), shift_patterns_in_words(table, 0.95, currency)
    growth = answer(folder, "growth", what_if("one_more_sewer"), "--at-most", "6", "--demand", "80,100,120,140", *few)
    tables = answer_tables.growth_tables(growth)
    yield on_time_against_demand(*tables, growth["target"]), on_time_against_demand_in_words(*tables, growth["target"])
    payback = answer(folder, "payback", what_if("one_more_sewer"), *few)
    table = answer_tables.payback_tornado_table(payback, currency)
    now, words = payback["npv_cu"]["mean"], f"net present value, {currency}"
    yield tornado(table, words, now), tornado_in_words(table, words, now)
    unsure = ("--range", "crews.sewers.efficiency_pct=65..85", "--range", "crews.packers.efficiency_pct=65..85")
    effects = answer(folder, "sensitivity", *unsure, "--method", "morris", "--trajectories", "4")
    yield from ((go.Figure(each.figure), each.words) for each in of_sensitivity(effects))
    warm_up = answer(folder, "warm-up", *few)
    table = answer_tables.settling_table(warm_up)
    yield settling(table, warm_up["warm_up_weeks"]), settling_in_words(table, warm_up["warm_up_weeks"])


def invented(currency: str) -> Iterator[Shown]:
    """Pictures whose studies take too long here, or are still to come."""
    draws = np.random.default_rng(1)
    years = draws.gamma(9, 0.4, 300)
    worth = pd.DataFrame({"npv_cu": draws.normal(21_000, 19_000, 300)})
    paid = pd.DataFrame({"payback_years": np.where(years > 5, math.inf, years)})
    yield npv_spread(worth, currency), npv_spread_in_words(worth, currency)
    yield payback_spread(paid), payback_spread_in_words(paid)
    fitted = np.sort(draws.gamma(4, 2, 120))
    table = pd.DataFrame({"fitted": fitted, "measured": np.sort(fitted * draws.normal(1.02, 0.06, 120))})
    yield quantiles_against(table, "sewing a keder edge", "min"), quantiles_against_in_words(table, "keder edge", "min")
    told = [0.2, 0.5, 0.8, 0.95]
    table = pd.DataFrame({
        "told": told, "happened": [0.26, 0.47, 0.74, 0.93], "orders": [12, 30, 55, 140],
        "low": [0.08, 0.30, 0.61, 0.88], "high": [0.51, 0.65, 0.85, 0.97],
    })  # fmt: skip
    yield reliability(table), reliability_in_words(table)


def page(shown: list[Shown], dark: bool) -> str:
    paper, ink = (DARK_PAPER, DARK_INK) if dark else (LIGHT_PAPER, LIGHT_INK)
    parts = [
        f"{dressed(figure, dark).to_html(full_html=False, include_plotlyjs=False, config=CONFIG, auto_play=False)}"
        f"<p>{html.escape(words)}</p>"
        for figure, words in shown
    ]
    return (
        '<!doctype html><html lang="en"><head><meta charset="utf-8"><title>Pictures</title>'
        '<meta name="viewport" content="width=device-width">'
        f"<style>body{{background:{paper};color:{ink};font-family:sans-serif;margin:8px}}</style>"
        f"<script>{plotly.offline.get_plotlyjs()}</script></head><body>{''.join(parts)}</body></html>"
    )


def run(folder: Path) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    shop = load_shop(SCENARIO)
    currency = shop.scenario.money.currency
    shown = [*as_it_stands(shop), *orders_to_come(), *studies(folder, currency), *invented(currency)]
    for figure, words in shown:
        sys.stdout.write(f"{len(figure.to_json()) / 1000:7.0f} kB  {figure.layout.title.text}\n    {words}\n")
    for name, dark in (("light", False), ("dark", True)):
        (folder / f"gallery_{name}.html").write_text(page(shown, dark), encoding="utf-8")


if __name__ == "__main__":
    run(Path(sys.argv[1]))
