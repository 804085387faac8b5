"""What must be exactly equal: the same run again, wherever it runs, and the same orders whatever the shop is like."""

from __future__ import annotations

import multiprocessing
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import pytest

from shopsim.floor.draws import ReplicationDraws
from shopsim.floor.order_table import OrderDraw, OrderMaker
from shopsim.floor.record import COLUMNS, REMAKE_CAUSES, RunLog
from shopsim.floor.run import Floor, simulate
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import check_values
from tests.floor.whole_shop import Values, fingerprint_of, printer, shift, values, whole_shop

ROOT = Path(__file__).parents[2]


# -- the same run again -----------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def digests() -> list[str]:
    return [fingerprint_of(replication) for replication in range(4)]


def test_the_same_seed_gives_the_same_records(digests: list[str]) -> None:
    assert fingerprint_of(0) == digests[0]
    assert len(set(digests)) == 4
    other = values()
    other["study"]["seed"] = 8
    assert simulate(check_values(other, "")).fingerprint() != simulate(whole_shop()).fingerprint()


def test_every_table_has_something_in_it() -> None:
    """Equality of empty tables would prove little."""
    log = simulate(whole_shop())
    empty = {name for name in COLUMNS if not log.columns[name]}
    assert empty <= {"calendered", "overtime", "bought_in", "release_waits", "room_waits", "interruptions"}


def test_a_limited_shop_has_waits_and_repeats_itself() -> None:
    shop = values()
    limit_the_shop(shop)
    log = simulate(check_values(shop, "limited"))
    assert log.columns["release_waits"] and log.columns["room_waits"]
    assert simulate(check_values(shop, "limited")).fingerprint() == log.fingerprint()


@pytest.mark.parametrize("workers", [1, 2])
def test_worker_processes_change_nothing(digests: list[str], workers: int) -> None:
    with ProcessPoolExecutor(workers, mp_context=multiprocessing.get_context("spawn")) as pool:
        assert list(pool.map(fingerprint_of, [3, 0, 2, 1])) == [digests[i] for i in (3, 0, 2, 1)]


@pytest.mark.parametrize("hash_seed", ["0", "1", "4242"])
def test_the_seed_of_string_hashes_changes_nothing(digests: list[str], hash_seed: str) -> None:
    environment = {**os.environ, "PYTHONHASHSEED": hash_seed, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "tests.floor.whole_shop"]
    done = subprocess.run(command, env=environment, cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == digests[0]


# -- the same orders in another shop ----------------------------------------------------------------------------------


def add_printer(shop: Values) -> None:
    shop["printers"].append(printer("second"))


def add_sewer(shop: Values) -> None:
    shop["crews"][1]["count"] += 1


def add_crew_on_a_shift_of_its_own(shop: Values) -> None:
    shop["shifts"].insert(0, shift("nights", "22:00-06:00"))
    shop["crews"].insert(0, {"id": "night", "count": 2, "skills": {"printing": 3, "sewing": 3}, "shift": "nights",
                             "absence": {"new_spell_pct_per_day": 20.0}})  # fmt: skip


def change_house_rules(shop: Values) -> None:
    shop["policies"].update(
        printing={"gang_min_web_m": 10.0, "gang_longest_wait_h": 3.0, "roll_change": "join", "reprints_first": False},
        overtime=[{"crews": ["sewers"], "when_queue_h": 1.0}],
        bought_in=[{"at": "sewing", "when_queue_h": 4.0}],
        lifts=2,
    )


def change_machines(shop: Values) -> None:
    shop["printers"][0].update(breakdowns=None, minor_stops=None, unattended_running=True)
    shop["work_centres"][1].update(seats=5, stops=None, queue_rule="shortest")
    shop["work_centres"].insert(0, {"id": "spare", "kind": "packing"})


def limit_the_shop(shop: Values) -> None:
    shop["policies"]["orders_at_once"] = {"most": 25, "when_full": "wait"}
    for centre in shop["work_centres"][1:]:
        centre["room_before_bundles"] = 1


WHAT_IFS = [
    add_printer, add_sewer, add_crew_on_a_shift_of_its_own, change_house_rules, change_machines, limit_the_shop,
]  # fmt: skip
WhatIf = Callable[[Values], None]


def changed(what_if: WhatIf) -> Scenario:
    shop = values()
    what_if(shop)
    return check_values(shop, what_if.__name__)


def orders_of(scenario: Scenario) -> list[OrderDraw]:
    return OrderMaker(scenario, (), ReplicationDraws(scenario.study.seed, 2)).make()


@pytest.mark.parametrize("what_if", WHAT_IFS)
def test_a_what_if_meets_the_same_orders(what_if: WhatIf) -> None:
    """Received, due, rush, artwork, cancellation, courier, lines, sizes, rows: all of it, to the last bit."""
    base = orders_of(whole_shop())
    assert len(base) > 100
    assert orders_of(changed(what_if)) == base


@pytest.mark.parametrize("what_if", WHAT_IFS)
def test_a_what_if_meets_the_same_pieces(what_if: WhatIf) -> None:
    """Work of each piece at each step, and its faults, attempt by attempt."""
    base, other = finished(whole_shop()), finished(changed(what_if))
    for plan, again in zip(base.plans, other.plans, strict=True):
        for step, twin in zip(plan.steps, again.steps, strict=True):
            for attempt in range(3):
                factors = [step.minutes(1.0, [piece], attempt) for piece in range(300)]
                # Read the other way round: the order in which a table is used moves nothing.
                assert [twin.minutes(1.0, [piece], attempt) for piece in reversed(range(300))] == factors[::-1]
    shared = base.draws._hits.keys() & other.draws._hits.keys()
    assert {purpose.split("/")[0] for purpose, _ in shared} >= {
        "print fault", "seen at printer", "cut loss", "sewing fault 1", "missed 4", "repairable",
    }  # fmt: skip
    assert {attempt for _, attempt in shared} >= {0, 1}
    for key in shared:
        assert base.draws._hits[key].hits(0, 2000) == other.draws._hits[key].hits(0, 2000)


def finished(scenario: Scenario) -> Floor:
    floor = Floor(scenario, (), 2)
    floor.env.run(until=scenario.horizon_min)
    return floor


def test_the_same_pieces_fail_with_more_sewers() -> None:
    """The tables are used by piece: print faults and cutting losses of each order done in both shops are the same."""
    base, other = values(), values()
    for shop in (base, other):
        # Pieces lost at a stop depend on when the printer stops.
        shop["printers"][0].update(minor_stops=None, breakdowns=None)
    add_sewer(other)
    add_crew_on_a_shift_of_its_own(other)
    logs = [simulate(check_values(shop, "")) for shop in (base, other)]
    done = set.intersection(*({o for o, e in _orders(log) if e == 1} for log in logs))
    faults = [_first_faults(log, done) for log in logs]
    assert sum(faults[0].values()) > 20
    assert faults[0] == faults[1]


def _orders(log: RunLog) -> list[tuple[float, float]]:
    return list(zip(log.column("orders", "received").tolist(), log.column("orders", "ending").tolist(), strict=True))


def _first_faults(log: RunLog, received: set[float]) -> Counter[tuple[float, str]]:
    at = dict(zip(log.column("orders", "order").tolist(), log.column("orders", "received").tolist(), strict=True))
    table = log.table("remakes").tolist()
    faults = ((at[order], REMAKE_CAUSES[int(cause)]) for _, order, _, attempt, cause, *_ in table if attempt == 0)
    return Counter(fault for fault in faults if fault[0] in received and fault[1] != "sewing_fault")


# -- a longer run, another crew ---------------------------------------------------------------------------------------


def test_a_longer_horizon_keeps_what_came_before() -> None:
    """The same orders, and the same work, up to the end of the shorter run."""
    short, long = whole_shop(3), whole_shop(5)
    first = orders_of(short)
    assert orders_of(long)[: len(first)] == first
    logs = [simulate(scenario) for scenario in (short, long)]
    for name, column in (("operations", "start"), ("metres", "at"), ("remakes", "at"), ("bundles", "made")):
        rows = [log.table(name)[log.column(name, column) < short.horizon_min].tolist() for log in logs]
        assert len(rows[0]) > 20
        assert rows[0] == rows[1]


def test_another_crew_moves_nobody_elses_absence_or_pace() -> None:
    base, other = Floor(whole_shop(), (), 0), Floor(changed(add_crew_on_a_shift_of_its_own), (), 0)
    away = [{crew.model.id: crew.absent_days for crew in floor.crews} for floor in (base, other)]
    pace = [{crew.model.id: [p.pace for p in crew.members] for crew in floor.crews} for floor in (base, other)]
    assert any(days for crew in away[0].values() for days in crew)
    for name in away[0]:
        assert away[0][name] == away[1][name]
        assert pace[0][name] == pace[1][name]


def test_one_more_in_a_crew_keeps_the_absences_of_the_others() -> None:
    base, other = Floor(whole_shop(), (), 0), Floor(changed(add_sewer), (), 0)
    assert other.crews[1].absent_days[:2] == base.crews[1].absent_days
    assert [p.pace for p in other.crews[1].members][:2] == [p.pace for p in base.crews[1].members]
