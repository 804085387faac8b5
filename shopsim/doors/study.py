"""What the doors of all studies share: the options of their command lines, and a runner made from them."""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Generator
from contextlib import ExitStack, contextmanager
from pathlib import Path

from shopsim.doors.progress import StudyProgress
from shopsim.errors import InputError, Problem, StoreError
from shopsim.studies.engine import Engine, LocalEngine
from shopsim.studies.runner import Runner
from shopsim.studies.store import Store


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
