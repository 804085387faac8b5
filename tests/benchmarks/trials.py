"""One trial a process: `python -m tests.benchmarks.trials NAME '{"argument": 1}'` prints its numbers as JSON."""

from __future__ import annotations

import gc
import json
import statistics
import sys
from typing import Any

from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.order_table import OrderMaker
from shopsim.floor.record import KIND, RunLog
from shopsim.floor.run import Floor, simulate
from shopsim.measures.audit import require_balanced
from shopsim.measures.facts import Facts
from shopsim.shop.scenario import Scenario
from shopsim.shop.shop_file import load_shop
from shopsim.studies.replication import numbers_from, one_replication
from tests.benchmarks import shops
from tests.benchmarks.measuring import ROOT, bare_per_s, beside_bare, resident_mib, seconds
from tests.benchmarks.textbook import TextbookShop, orders_of

SHOPS = {"year": shops.year_shop, "plain": shops.plain_shop, "tandem": shops.tandem_shop}


def rows_of_work(log: RunLog) -> int:
    """Stretches of work at stations and by hands, and printed shares of bundles: what the engine really moved."""
    return len(log.table("operations")) + len(log.table("prints"))


def piece_operations(log: RunLog) -> int:
    """Pieces finished at each step, pieces printed, and each finished task of hands in the print room as one."""
    ended = log.table("operations")[log.column("operations", "last") == 1]
    on_route = (ended[:, 8] >= 0) & (ended[:, 2] != KIND["bought_in"])
    return int(ended[on_route, 9].sum() + log.column("prints", "pieces").sum() + (~on_route).sum())


def speed(shop: str, **arguments: Any) -> dict[str, float]:
    """Speed of one run, as ratios to the bare kernel."""
    scenario = SHOPS[shop](**arguments)
    simulate(SHOPS[shop](**{**arguments, **_SHORT[shop]}))
    took, bare, log = beside_bare(lambda: simulate(scenario))
    rows, pieces = rows_of_work(log), piece_operations(log)
    waiting = log.leftover.pieces_inside
    return {
        "s": took, "in_bare": took * bare, "rows": rows, "pieces": pieces, "rows_ratio": rows / took / bare,
        "pieces_ratio": pieces / took / bare, "us_a_row": took / rows * 1e6, "bare_a_row": took * bare / rows,
        "inside": waiting, "orders": len(log.table("lines")) and int(log.column("lines", "order").max()) + 1,
    }  # fmt: skip


# A first short run imports, compiles and fills caches outside the timing.
_SHORT: dict[str, dict[str, Any]] = {"year": {"years": 0.02}, "plain": {"weeks": 1}, "tandem": {"weeks": 0.1}}


def against_textbook(**arguments: Any) -> dict[str, float]:
    """The same orders and minutes on shopsim and in the textbook shop: seconds and mean flow time of both."""
    scenario = shops.plain_shop(**arguments)
    orders = orders_of(scenario)
    ours, theirs = [], []
    for _ in range(3):
        took, log = seconds(lambda: simulate(scenario))
        ours.append(took)
        shop = TextbookShop(scenario, orders)
        took, flows = seconds(shop.run)
        theirs.append(took)
    complete = log.column("orders", "complete")
    flow = (complete - log.column("orders", "received"))[complete >= 0]
    return {
        "times": statistics.median(theirs) / statistics.median(ours), "ours_s": statistics.median(ours),
        "textbook_s": statistics.median(theirs), "ours_flow_min": float(flow.mean()),
        "textbook_flow_min": statistics.fmean(flows), "ours_orders": len(flow), "textbook_orders": len(flows),
    }  # fmt: skip


def memory(years: float) -> dict[str, float]:
    """Memory a run adds to the process, and the part of it that is the log."""
    scenario = shops.year_shop(years)
    simulate(shops.year_shop(0.02))
    before = resident_mib()
    log = simulate(scenario)
    return {"mib": resident_mib() - before, "log_mib": sum(len(c) * 8 for c in log.columns.values()) / 2**20}


def parts() -> dict[str, float]:
    """Seconds of the parts of a one-year run."""
    scenario = shops.year_shop()
    simulate(shops.year_shop(0.02))
    gc.disable()
    table, _ = seconds(lambda: OrderMaker(scenario, (), ReplicationDraws(scenario.study.seed, 0)).make())
    set_up, floor = seconds(lambda: Floor(scenario, (), 0))
    running, _ = seconds(lambda: floor.env.run(until=scenario.horizon_min))
    closing, _ = seconds(floor.close)
    return {"orders table": table, "setting up": set_up - table, "running": running, "closing": closing}


def replication(demo: str) -> dict[str, float]:
    """Seconds of the parts of one replication of a demo as studies run it, and bare timeouts in the time of all."""
    shop = load_shop(ROOT / "demo_scenarios" / f"{demo}.yaml")
    # The first one imports, reads tables and fills caches.
    one_replication(shop.scenario, shop.order_lines)

    def one() -> dict[str, float]:
        # As `simulate` does.
        gc.disable()
        set_up, floor = seconds(lambda: Floor(shop.scenario, shop.order_lines, 0))
        running, _ = seconds(lambda: floor.env.run(until=shop.scenario.horizon_min))
        gc.enable()
        floor.close()
        facts = Facts(floor.log, shop.scenario)
        audited, _ = seconds(lambda: require_balanced(facts))
        numbers, _ = seconds(lambda: numbers_from(facts))
        return {"setting up": set_up, "running": running, "audit": audited, "numbers": numbers}

    took, bare, parts = beside_bare(one)
    return {**parts, "bare": took * bare}


def scenario_file(path: str) -> dict[str, float]:
    """Write the one-year shop as a scenario file, one replication."""
    from pathlib import Path

    from shopsim.shop.scenario_dump import dump_scenario

    values = shops.year_shop().model_dump(mode="json", exclude_unset=True)
    values["study"]["replications"] = 1
    Path(path).write_text(dump_scenario(Scenario.model_validate(values, strict=False)), encoding="utf-8")
    return {"bare": bare_per_s()}


TRIALS = {call.__name__: call for call in (speed, against_textbook, memory, parts, replication, scenario_file)}


if __name__ == "__main__":
    print(json.dumps(TRIALS[sys.argv[1]](**json.loads(sys.argv[2]))))
