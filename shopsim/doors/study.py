"""What the doors of all studies share: the options of their command lines, and a runner made from them."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Generator, Mapping, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from pathlib import Path

from shopsim.cautions import Caution, cautions
from shopsim.doors.progress import StudyProgress
from shopsim.errors import InputError, Problem, StoreError
from shopsim.shop.rough_cut import rough_cut
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import WhatIf, apply, load_what_if
from shopsim.studies.engine import Engine, LocalEngine
from shopsim.studies.option import Option
from shopsim.studies.runner import Runner
from shopsim.studies.store import Store

# Exit code of a study that could not tell.
NOT_SETTLED = 3
# Joins several what-ifs into one option.
_JOIN = "+"


def study_shop(arguments: argparse.Namespace) -> Shop:
    """The shop of the command line, with what it puts in place of the file's own values under `study`.

    Raises InputError with every fault of the files.
    """
    names = {"seed": "seed", "weeks": "weeks", "confidence": "confidence_pct"}
    asked = {name: getattr(arguments, given, None) for given, name in names.items()}
    changes = {name: value for name, value in asked.items() if value is not None}
    shop = load_shop(arguments.scenario)
    if not changes:
        return shop
    values = scenario_values(shop.scenario)
    values["study"] = {**values.get("study", {}), **changes}
    return replace(shop, scenario=check_values(values, arguments.scenario))


def with_what_ifs(base: Shop, scenario: str, names: Sequence[str]) -> dict[str, Shop]:
    """A changed shop for each what-if of the command line, by its name; `a.yaml+b.yaml` is one option with both.

    Raises InputError with every fault of the files, and for two options of one name.
    """
    options: dict[str, Shop] = {}
    for given in names:
        shop, what_ifs = base, what_ifs_of(given, scenario)
        for what_if in what_ifs:
            shop = apply(shop, what_if)
        title = title_of(what_ifs)
        if title in options:
            raise InputError([Problem(given, None, None, "", f"a second option named {title!r}")])
        options[title] = shop
    return options


def what_ifs_of(given: str, scenario: str) -> list[WhatIf]:
    """The what-ifs of one option of the command line. Raises InputError with every fault of the first broken file."""
    return [load_what_if(name, scenario) for name in given.split(_JOIN)]


def title_of(what_ifs: Sequence[WhatIf]) -> str:
    """What an option is called."""
    return " + ".join(what_if.name for what_if in what_ifs)


def notes_of(base: Shop, scenario: str, names: Sequence[str], options: Mapping[str, Shop]) -> dict[str, list[str]]:
    """For each option what its files note, and the cautions that its shop adds to those of the base."""
    known = {(each.row, each.where) for each in _cautions(base)}
    notes: dict[str, list[str]] = {}
    for given in names:
        what_ifs = what_ifs_of(given, scenario)
        title = title_of(what_ifs)
        said = [what_if.note for what_if in what_ifs if what_if.note]
        new = [each for each in _cautions(options[title]) if (each.row, each.where) not in known]
        notes[title] = said + [f"{each.row} {each.hazard}: {each.where}. {each.advice}" for each in new]
    return notes


def _cautions(shop: Shop) -> list[Caution]:
    return cautions(shop.scenario, rough_cut(shop.scenario, shop.order_lines))


def option_of(name: str, shop: Shop) -> Option:
    """A shop as a study takes it."""
    return Option(name, shop.scenario, shop.order_lines)


def default_store() -> Path:
    """Where replications are kept unless told otherwise: the user's folder for state (XDG Base Directory)."""
    home = os.environ.get("XDG_STATE_HOME") or Path.home() / ".local" / "state"
    return Path(home) / "shopsim" / "replications.sqlite"


@contextmanager
def study_runner(arguments: argparse.Namespace) -> Generator[Runner, None, None]:
    """A runner as the command line asks for it, with progress on standard error.

    Raises InputError for a store that cannot be used and EngineError for a cluster that does not answer.
    """
    with ExitStack() as stack:
        engine = _engine(arguments, stack)
        store = _store(arguments, stack)
        progress = stack.enter_context(StudyProgress())
        yield Runner(engine, store, progress.show)


def _engine(arguments: argparse.Namespace, stack: ExitStack) -> Engine:
    if not arguments.cluster:
        if arguments.tls:
            raise InputError([Problem("", None, None, "--tls", "goes with --cluster")])
        return LocalEngine(arguments.workers)
    from shopsim.studies.cluster import ClusterEngine, TlsFiles

    tls = TlsFiles(*arguments.tls) if arguments.tls else None
    return stack.enter_context(ClusterEngine(arguments.cluster, tls))


def _store(arguments: argparse.Namespace, stack: ExitStack) -> Store | None:
    if arguments.no_store:
        return None
    try:
        return stack.enter_context(Store(arguments.store or default_store()))
    except StoreError as fault:
        if arguments.store:
            raise InputError([Problem("", None, None, "--store", str(fault))]) from None
        sys.stderr.write(f"note: {fault}; this study is not kept\n")
        return None
