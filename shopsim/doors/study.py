"""What the doors of all studies share: the options of their command lines, and a runner made from them."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Generator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import replace

from rich.console import Console

from shopsim.answers.keeping import default_store
from shopsim.answers.question import Changed, Found, Question, all_changed
from shopsim.doors.progress import StudyProgress
from shopsim.doors.writing import TO_STDOUT, console, note, require_writable, write_json
from shopsim.errors import InputError, Problem, StoreError
from shopsim.measures.measure_names import UNITS, base_name
from shopsim.shop.plain_messages import did_you_mean
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import check_values
from shopsim.shop.shop_file import Shop, load_shop
from shopsim.shop.what_if import load_what_if
from shopsim.studies.engine import Engine, LocalEngine
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


def several_replications(arguments: argparse.Namespace, shop: Shop) -> int:
    """How many replications a question takes that needs an interval. Raises InputError for one."""
    count: int = arguments.replications or shop.scenario.study.replications
    if count < 2:
        said = "" if arguments.replications else f" in {arguments.scenario}"
        message = f"must be at least 2, because one gives no interval, found {count}{said}"
        raise InputError([Problem("", None, None, "--replications", message)])
    return count


def require_measure(name: str) -> None:
    """Raises InputError unless `run --json` gives a measure of that name."""
    if base_name(name) not in UNITS:
        message = f"there is no measure {name!r}{did_you_mean(name, UNITS) or ';'} see `run --json`"
        raise InputError([Problem("", None, None, "--measure", message)])


def with_what_ifs(base: Shop, scenario: str, names: Sequence[str]) -> tuple[Changed, ...]:
    """A changed shop for each what-if of the command line; `a.yaml+b.yaml` is one option with both.

    Raises InputError with every fault of the files, and for two options of one name.
    """
    return all_changed(base, [[load_what_if(name, scenario) for name in given.split(_JOIN)] for given in names])


def tell(
    arguments: argparse.Namespace,
    question: Question[Found],
    before: Callable[[], None] | None = None,
    after: Callable[[Console], None] | None = None,
) -> int:
    """Study a question and show or write its answer; returns 3 if it could not be settled.

    `before` writes further files, `after` goes on with the page that is shown.

    Raises as `study_runner` and the study.
    """
    if arguments.json and arguments.json != TO_STDOUT:
        require_writable(arguments.json)
    with study_runner(arguments) as runner:
        found = question.study(runner)
    # Files first: whoever reads the page may stop reading before its end.
    if before is not None:
        before()
    if arguments.json:
        write_json(question.document(found), arguments.json)
    if arguments.json != TO_STDOUT:
        out = console()
        question.show(out, found)
        if after is not None:
            after(out)
    return 0 if question.settled(found) else NOT_SETTLED


@contextmanager
def study_runner(arguments: argparse.Namespace) -> Generator[Runner, None, None]:
    """A runner as the command line asks for it, with progress on standard error.

    Raises InputError for a store that cannot be used and EngineError for a cluster that does not answer.
    """
    with ExitStack() as stack:
        engine = _engine(arguments, stack)
        store = _store(arguments, stack)
        progress = stack.enter_context(StudyProgress())
        runner = Runner(engine, store, progress.show)
        yield runner
    if runner.not_kept:
        note(f"note: {runner.not_kept}; the replications that followed are not kept")


def _engine(arguments: argparse.Namespace, stack: ExitStack) -> Engine:
    if not arguments.cluster:
        if arguments.tls:
            raise InputError([Problem("", None, None, "--tls", "goes with --cluster")])
        return LocalEngine(arguments.workers)
    from shopsim.studies.cluster import ClusterEngine, TlsFiles, is_open

    if is_open(arguments.cluster):
        note(
            f"warning: {arguments.cluster}: what goes to this cluster and back is neither encrypted nor authenticated, "
            "and whoever reaches it can run any program there; use a tls:// address with --tls"
        )
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
        note(f"note: {fault}; this study is not kept")
        return None
