"""`shopsim run --until`: the exact state of the simulated shop, kept and gone on from, or what could be told of it."""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from shopsim.clock import stamp
from shopsim.doors.folders import check_free
from shopsim.doors.records import write_records
from shopsim.doors.writing import TO_STDOUT, say, write_file, write_json
from shopsim.errors import InputError, Problem, SnapshotError
from shopsim.floor.order_table import minute_of_moment
from shopsim.floor.read_today import morning_at
from shopsim.floor.record import DISPATCHED, RunLog
from shopsim.floor.snapshot import Restart, Snapshot, joined, run_until
from shopsim.floor.snapshot.file import read_snapshot, write_snapshot
from shopsim.shop.shop_file import Shop
from shopsim.shop.today_file import dump_today

# What belongs to many replications, or to other questions.
_NOT_WITH_STATES = ("replications", "week", "cluster", "store")


def run(arguments: argparse.Namespace, shop: Shop, changes: Mapping[str, float]) -> int:
    """Keep a state, or go on from one. Raises InputError for what does not fit together and for bad files."""
    for name in _NOT_WITH_STATES:
        if getattr(arguments, name) is not None:
            raise _misfit(f"--{name}", "has no meaning for a single state")
    if arguments.from_state:
        if arguments.until or arguments.save_state or arguments.save_morning:
            message = "goes on to the end of the study; leave out --until, --save-state and --save-morning"
            raise _misfit("--from-state", message)
        _go_on(arguments, shop, changes)
    else:
        _keep(arguments, shop)
    return 0


def _misfit(option: str, message: str) -> InputError:
    return InputError([Problem("", None, None, option, message)])


def _keep(arguments: argparse.Namespace, shop: Shop) -> None:
    if not (arguments.until and (arguments.save_state or arguments.save_morning)):
        raise _misfit("--until and --save-state or --save-morning", "belong together")
    if arguments.out or arguments.json:
        raise _misfit("--until", "writes a state or morning alone; leave out --out and --json")
    scenario, starts = shop.scenario, shop.scenario.shop.starts
    until = minute_of_moment(arguments.until, starts)
    if not 0 <= until < scenario.horizon_min:
        ends = stamp(scenario.horizon_min, starts)
        found = f"{arguments.until:%Y-%m-%d %H:%M}"
        raise _misfit("--until", f"must lie from {stamp(0, starts)} to before {ends}, found {found}")
    replication = arguments.replication or 0
    when = f"the shop on {stamp(until, starts)} in replication {replication}"
    if arguments.save_state:
        _, state = run_until(scenario, shop.order_lines, until, replication)
        write_snapshot(Path(arguments.save_state), state)
        inside = len(state.state["parts"]["floor"]["open_orders"])
        say(f"{arguments.save_state}: {when}, {_counted(inside)} in it.")
    if arguments.save_morning:
        told = morning_at(scenario, shop.order_lines, until, replication)
        write_file(arguments.save_morning, dump_today(told))
        say(f"{arguments.save_morning}: what could be told of {when}, {_counted(len(told.orders))} open.")


def _go_on(arguments: argparse.Namespace, shop: Shop, changes: Mapping[str, float]) -> None:
    if arguments.out:
        check_free(arguments.out)
    start, before, log = gone_on(Path(arguments.from_state), shop, arguments.replication)
    found = _becomes(log, start)
    if arguments.out:
        write_records(arguments.out, Path(arguments.scenario), shop, changes, joined(before, log))
    if arguments.json:
        write_json(_document(found, shop, arguments.scenario, start, log), arguments.json)
    if arguments.json != TO_STDOUT:
        say(_sentence(found, shop, start, log))


def gone_on(path: Path, shop: Shop, replication: int | None) -> tuple[Snapshot, RunLog, RunLog]:
    """The state in a file, the records that led to it, and those from it on.

    Raises SnapshotError for a file that holds no state of this shop, or one that this shop does not come to.
    """
    start = read_snapshot(path)
    try:
        restart = Restart(shop.scenario, shop.order_lines, start)
        # Records before the state are not in it: the same replication gives them again, and the state itself.
        before, own = run_until(shop.scenario, shop.order_lines, start.minute, start.replication)
        restart.require_is(own)
        return start, before, restart.run(replication)
    except SnapshotError as fault:
        raise SnapshotError([_in_file(problem, path) for problem in fault.problems]) from None


def _in_file(problem: Problem, path: Path) -> Problem:
    where = f"state.{problem.path}" if problem.path else ""
    return Problem(str(path), None, None, where, problem.message)


@dataclass(frozen=True, slots=True)
class _Orders:
    """Orders in the shop when the state was taken, or received since: how many, sent out, sent out by their date."""

    count: int
    out: int
    on_time: int


def _becomes(log: RunLog, start: Snapshot) -> tuple[_Orders, _Orders]:
    before = log.column("orders", "received") < start.minute
    out = log.column("orders", "ending") == DISPATCHED
    on_time = out & (log.column("orders", "dispatched") <= log.column("orders", "due"))
    inside, later = (
        _Orders(int(which.sum()), int((which & out).sum()), int((which & on_time).sum())) for which in (before, ~before)
    )
    return inside, later


def _sentence(found: tuple[_Orders, _Orders], shop: Shop, start: Snapshot, log: RunLog) -> str:
    inside, later = found
    starts = shop.scenario.shop.starts
    same = log.replication == start.replication
    draws = "as it was going to be" if same else f"with the draws of replication {log.replication} from there on"
    return (
        f"In the shop on {stamp(start.minute, starts)}: {_counted(inside.count)}, of which {inside.out} leave by "
        f"{stamp(log.horizon_min, starts)}, {inside.on_time} on time. Received later: {_counted(later.count)}, of "
        f"which {later.out} leave, {later.on_time} on time. One run, {draws}: no chance can be told from it."
    )


def _document(
    found: tuple[_Orders, _Orders], shop: Shop, scenario: str, start: Snapshot, log: RunLog
) -> dict[str, Any]:
    inside, later = ({"orders": each.count, "out": each.out, "on_time": each.on_time} for each in found)
    return {
        "scenario": scenario, "scenario_hash": shop.scenario.content_hash, "seed": start.seed,
        "state_at": stamp(start.minute, shop.scenario.shop.starts), "state_replication": start.replication,
        "replication": log.replication, "in_the_shop": inside, "received_later": later,
    }  # fmt: skip


def _counted(orders: int) -> str:
    return "1 order" if orders == 1 else f"{orders} orders"
