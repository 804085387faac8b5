"""Tidy tables of web, remakes, cost and constraint over the window, for pages and files."""

from __future__ import annotations

import numpy as np
import pandas as pd

from shopsim.floor.record import KINDS, METRE_CAUSES, REMAKE_CAUSES, RunLog
from shopsim.measures.active_periods import in_shop_time, shop_hours
from shopsim.measures.bottleneck import mean_active_min, momentary_constraints
from shopsim.measures.costs import COST_CATEGORIES, costs_from, dispatched_m2
from shopsim.measures.facts import Facts
from shopsim.measures.iso_terms import ratio
from shopsim.measures.waste import used_rows
from shopsim.shop.scenario import Scenario

PIECES, GAPS_AND_EDGES = "pieces", "gaps_and_edges"


def web_table(log: RunLog, scenario: Scenario) -> pd.DataFrame:
    """Web used in the window by fabric, printer and cause: `m`, `m2` and the share of all m2 used.

    The cause `printed` is told apart into `pieces` (the pieces' own area; its metres are that area over the roll width)
    and `gaps_and_edges` (the rest of the printed web), so that the rows add up to the web used.
    """
    return web_table_from(Facts(log, scenario))


def web_table_from(facts: Facts) -> pd.DataFrame:
    """As `web_table`, from facts at hand."""
    log, scenario = facts.log, facts.scenario
    rows = used_rows(facts)
    names = ("fabric", "printer", "cause", "metres", "m2", "pieces_m2")
    frame = pd.DataFrame({name: facts.column("metres", name)[rows] for name in names})
    sums = frame.groupby(["fabric", "printer", "cause"], as_index=False).sum()
    widths = np.array([fabric.roll_width_m for fabric in scenario.fabrics])
    lines: list[tuple[str, str, str, float, float]] = []
    for fabric, printer, cause, metres, m2, inner_m2 in sums.itertuples(index=False):
        where = (log.fabrics[int(fabric)], log.printers[int(printer)] if printer >= 0 else "")
        name = METRE_CAUSES[int(cause)]
        if name == "printed":
            inner_m = inner_m2 / widths[int(fabric)]
            lines += [(*where, PIECES, inner_m, inner_m2), (*where, GAPS_AND_EDGES, metres - inner_m, m2 - inner_m2)]
        else:
            lines.append((*where, name, metres, m2))
    table = pd.DataFrame(lines, columns=["fabric", "printer", "cause", "m", "m2"])
    table["share"] = table["m2"] / table["m2"].sum() if len(table) else table["m2"]
    return table


def remake_table(log: RunLog, scenario: Scenario) -> pd.DataFrame:
    """Pieces found to be made again in the window, by product, cause and the step that found them: pieces and m2."""
    facts = Facts(log, scenario)
    rows = facts.window.holds(facts.column("remakes", "at"))
    frame = pd.DataFrame({
        "product": [log.products[i] for i in facts.code("remakes", "product")[rows]],
        "cause": [REMAKE_CAUSES[i] for i in facts.code("remakes", "cause")[rows]],
        "found_at": [KINDS[i] for i in facts.code("remakes", "found_at")[rows]],
        "pieces": 1,
        "m2": facts.column("remakes", "m2")[rows],
    })  # fmt: skip
    return frame.groupby(["product", "cause", "found_at"], as_index=False).sum()


def cost_table(log: RunLog, scenario: Scenario) -> pd.DataFrame:
    """Cost by `category`: `amount` over the window, `per_week`, `per_m2` dispatched (NaN if none), `share` of the cost,
    and `meaning`."""
    facts = Facts(log, scenario)
    amounts = costs_from(facts)
    m2 = dispatched_m2(facts)
    rows = [
        (name, amounts[name], amounts[name] / facts.window.weeks, ratio(amounts[name], m2),
         ratio(amounts[name], amounts["cost"]), meaning)
        for name, meaning in COST_CATEGORIES.items()
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=["category", "amount", "per_week", "per_m2", "share", "meaning"])


def active_table(log: RunLog, scenario: Scenario) -> pd.DataFrame:
    """By `kind` and `id`: `periods`, their mean length in shop minutes, and the sole, shifting and total share."""
    facts = Facts(log, scenario)
    found = in_shop_time(facts)
    active = {name: periods for name, (_, periods) in found.items()}
    shares = momentary_constraints(active, shop_hours(facts).total_min or float("nan"))
    rows = [
        (kind, name, len(periods.starts), mean_active_min(periods), shares.sole[name], shares.shifting[name],
         shares.total[name])
        for name, (kind, periods) in found.items()
    ]  # fmt: skip
    return pd.DataFrame(rows, columns=["kind", "id", "periods", "mean_active_min", "sole", "shifting", "total"])
