"""All cases of `shopsim verify` in the order of their ids, and how they are run."""

from __future__ import annotations

import warnings
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from importlib import import_module
from pkgutil import iter_modules
from types import ModuleType

import shopsim.published
from shopsim.published.case import Case, Finding, Skipped
from shopsim.published.simulated import other_draws


def _rooms() -> Iterator[ModuleType]:
    """Every module of this package: those that hold cases have a tuple `CASES`."""
    for found in iter_modules(shopsim.published.__path__):
        if found.name != __name__.rpartition(".")[2]:
            yield import_module(f"shopsim.published.{found.name}")


_ALL: list[Case] = [case for room in _rooms() for case in getattr(room, "CASES", ())]
CASES: tuple[Case, ...] = tuple(sorted(_ALL, key=lambda case: case.id))

_NOT_OURS = (
    "their instances come from public repositories and are not part of the project; its tests run them where the files "
    "lie beside it"
)
_SECOND_ENGINE = (
    "they need a second queueing engine, which is installed for the project's tests; `tests/published/"
    "test_other_engine.py` has them, `-m long` runs all three"
)
_CIW = "G. I. Palmer, V. A. Knight et al., Journal of Simulation 13 (2019) 68-82 (from memory)"
# Ids that no case was ever given, or that were taken back; ids are not given again.
UNUSED_IDS = ("X-28", "X-29", "X-30", "X-51", "X-58", "X-75")
SKIPPED: tuple[Skipped, ...] = (
    Skipped(
        "C-07", "Changeovers as an asymmetric tour: br17, optimum 39", "G. Reinelt, TSPLIB, 1991 (open data)", _NOT_OURS
    ),
    Skipped(
        "D-01",
        "Nesting: 16 rectangles, width 20, optimum 20",
        "E. Hopper & B. C. H. Turton, 2001 (open data)",
        _NOT_OURS,
    ),
    Skipped(
        "D-02",
        "Nesting: 25 rectangles, width 40, optimum 15",
        "E. Hopper & B. C. H. Turton, 2001 (open data)",
        _NOT_OURS,
    ),
    Skipped(
        "D-03",
        "Nesting: 10 rectangles, width 40, optimum 40",
        "E. K. Burke, G. Kendall & G. Whitwell, 2004 (open data)",
        _NOT_OURS,
    ),
    Skipped("X-61", "An open network of places in a second engine", _CIW, _SECOND_ENGINE),
    Skipped("X-62", "The same with shifts and urgency in a second engine", _CIW, _SECOND_ENGINE),
    Skipped("X-63", "The same with places that fail in a second engine", _CIW, _SECOND_ENGINE),
)

OnDone = Callable[[int, int], None]


def judged(case: Case, full: bool) -> list[Finding]:
    """What this installation finds for a case.

    Of a hundred means one lies outside its 99 % interval though nothing is wrong, and there are hundreds here. If that
    is all that is amiss with a case it is run once more on other draws, and of the values that lay outside the second
    ones stand, with the first beside them: one in ten thousand lies outside both times by chance. A fault that one run
    would show with even odds is shown with one in four, a gross one as before.
    """
    found = list(case.find(full))
    if all(each.within or each.missed for each in found) and any(each.missed for each in found):
        with other_draws():
            second = list(case.find(full))
        found = [
            replace(new, at_first=old.found) if old.missed and new.found != old.found else old
            for old, new in zip(found, second, strict=True)
        ]
    return found


def run_cases(
    cases: Sequence[Case], full: bool, workers: int = 1, on_done: OnDone | None = None
) -> Iterator[tuple[Case, list[Finding]]]:
    """Each case with its findings, the longest first, in the order in which they are finished."""
    longest_first = sorted(cases, key=lambda case: -case.seconds)
    for done, (case_id, found) in enumerate(_all(longest_first, full, workers), start=1):
        if on_done is not None:
            on_done(done, len(cases))
        yield next(case for case in cases if case.id == case_id), found


def _found(case_id: str, full: bool) -> tuple[str, list[Finding]]:
    return case_id, judged({case.id: case for case in CASES}[case_id], full)


def _all(cases: Sequence[Case], full: bool, workers: int) -> Iterator[tuple[str, list[Finding]]]:
    if workers == 1:
        for case in cases:
            yield _found(case.id, full)
        return
    from joblib import Parallel, delayed, parallel_config

    # A worker that has grown is replaced between two cases, of which nobody needs to hear.
    warnings.filterwarnings("ignore", "A worker stopped while some jobs were given")
    with parallel_config(backend="loky", inner_max_num_threads=1):
        jobs = (delayed(_found)(case.id, full) for case in cases)
        yield from Parallel(n_jobs=workers, return_as="generator_unordered", batch_size=1)(jobs)
