"""`shopsim run`: how the shop does as it stands."""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import Any

from shopsim import __version__
from shopsim.doors.records import check_free, write_records
from shopsim.doors.study import study_runner, study_shop
from shopsim.doors.writing import TO_STDOUT, bounds, console, write_json
from shopsim.errors import InputError, Problem
from shopsim.sentences import Answer, as_we_are, opening
from shopsim.shop.shop_file import Shop
from shopsim.studies.option import Option
from shopsim.studies.replicate import Replications
from shopsim.studies.replication import one_log
from shopsim.studies.runner import Ask


def run(arguments: argparse.Namespace) -> None:
    """Simulate a scenario and show or write the answer. Raises InputError for files and folders that do not do."""
    changes = _asked(arguments)
    shop = study_shop(arguments)
    if arguments.out:
        check_free(arguments.out)
    _check_week(shop, arguments.week)
    count = arguments.replications or shop.scenario.study.replications
    with study_runner(arguments) as runner:
        (rows,) = runner.run([Ask(Option("as we are", shop.scenario, shop.order_lines), count)])
    found = Replications(shop.scenario, rows)
    answer = as_we_are(found)
    # Files first: whoever reads the page may stop reading before its end.
    if arguments.out:
        write_records(arguments.out, Path(arguments.scenario), shop, changes, arguments.replication)
    if arguments.json:
        write_json(as_json(arguments.scenario, found, answer), arguments.json)
    if arguments.json != TO_STDOUT:
        _show(shop, found, answer, arguments)


def _asked(arguments: argparse.Namespace) -> dict[str, float]:
    """What the command line puts in place of the file's own values under `study`."""
    asked = {"seed": arguments.seed, "weeks": arguments.weeks}
    return {name: value for name, value in asked.items() if value is not None}


def _check_week(shop: Shop, week: int | None) -> None:
    weeks = int(shop.scenario.study.weeks)
    if week is not None and week > weeks:
        raise InputError([Problem("", None, None, "--week", f"the study has weeks 1 to {weeks}, found {week}")])


def _show(shop: Shop, found: Replications, answer: Answer, arguments: argparse.Namespace) -> None:
    from shopsim.terminal.gantt import week_gantt
    from shopsim.terminal.run_page import print_run

    out = console()
    print_run(out, found, answer)
    if arguments.week:
        log = one_log(shop.scenario, shop.order_lines, arguments.replication)
        text = week_gantt(log, shop.scenario, arguments.week, out.width)
        out.print(f"\n{text}", markup=False, soft_wrap=True)


def as_json(name: str, found: Replications, answer: Answer) -> dict[str, Any]:
    """The answer for programs (design section 6); `name` is the scenario as it was given."""
    from shopsim.measures.measure_names import unit_of

    top = found.constraint()
    study = found.scenario.study
    return {
        "scenario": name,
        "scenario_hash": found.scenario.content_hash,
        "version": __version__,
        "seed": study.seed,
        "replications": len(found.rows),
        "confidence": study.confidence_pct / 100,
        "sentence": answer.sentence,
        "below": answer.below,
        "opening": opening(found.scenario),
        "measures": {
            str(key): {**bounds(found.interval("measures", key)), "unit": unit_of(str(key))}
            for key in found.keys("measures")
        },
        "resources": _resources(found),
        "constraint": {"id": top[0], "share": top[1].mean} if top else None,
    }


def _resources(found: Replications) -> list[dict[str, Any]]:
    states: dict[tuple[str, str], dict[str, float]] = {}
    for kind, name, state in {key: None for row in found.rows for key in row.states}:
        states.setdefault((kind, name), {})[state] = found.interval("states", (kind, name, state)).mean
    return [{"id": name, "kind": kind, "states": shares} for (kind, name), shares in states.items()]
