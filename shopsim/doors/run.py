"""`shopsim run`: how the shop does as it stands."""

from __future__ import annotations

import argparse
from pathlib import Path

from rich.console import Console

from shopsim.answers.as_we_are import AsWeAre
from shopsim.doors import state
from shopsim.doors.folders import check_free
from shopsim.doors.records import write_records
from shopsim.doors.study import study_shop, tell
from shopsim.errors import InputError, Problem
from shopsim.shop.shop_file import Shop
from shopsim.studies.replication import one_log


def run(arguments: argparse.Namespace) -> int:
    """Simulate a scenario and show or write the answer. Raises InputError for files and folders that do not do."""
    changes = _in_place_of(arguments)
    shop = study_shop(arguments)
    if arguments.until or arguments.save_state or arguments.save_morning or arguments.from_state:
        return state.run(arguments, shop, changes)
    if arguments.out:
        check_free(arguments.out)
    _check_week(shop, arguments.week)

    def records() -> None:
        if arguments.out:
            log = one_log(shop.scenario, shop.order_lines, arguments.replication or 0)
            write_records(arguments.out, Path(arguments.scenario), shop, changes, log)

    def week(out: Console) -> None:
        if arguments.week:
            _show_week(out, shop, arguments)

    return tell(arguments, _asked_of(shop, arguments), records, week)


def question(arguments: argparse.Namespace) -> AsWeAre:
    """What a command line asks. Raises InputError with every fault of the files."""
    return _asked_of(study_shop(arguments), arguments)


def _asked_of(shop: Shop, arguments: argparse.Namespace) -> AsWeAre:
    return AsWeAre(scenario=arguments.scenario, shop=shop, count=arguments.replications)


def _in_place_of(arguments: argparse.Namespace) -> dict[str, float]:
    """What the command line puts in place of the file's own values under `study`."""
    asked = {"seed": arguments.seed, "weeks": arguments.weeks}
    return {name: value for name, value in asked.items() if value is not None}


def _check_week(shop: Shop, week: int | None) -> None:
    weeks = int(shop.scenario.study.weeks)
    if week is not None and week > weeks:
        raise InputError([Problem("", None, None, "--week", f"the study has weeks 1 to {weeks}, found {week}")])


def _show_week(out: Console, shop: Shop, arguments: argparse.Namespace) -> None:
    from shopsim.terminal.gantt import week_gantt

    log = one_log(shop.scenario, shop.order_lines, arguments.replication or 0)
    text = week_gantt(log, shop.scenario, arguments.week, out.width)
    out.print(f"\n{text}", markup=False, soft_wrap=True)
