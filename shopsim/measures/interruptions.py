"""What the record of interruptions says of each operation: was its piece put aside before, and when is it next."""

from __future__ import annotations

import numpy as np

from shopsim.measures.facts import Facts
from shopsim.measures.intervals import Bools, Floats, Ints


def after_interruption(facts: Facts) -> Bools:
    """Which operations go on with a piece that was put aside for more urgent work, and so take a seat anew."""
    stretch, put_aside, _ = _numbered(facts)
    return np.asarray(np.isin(stretch - 1, put_aside))


def put_aside_at(facts: Facts) -> Floats:
    """When the piece of each operation is put aside next; infinity if never again."""
    stretch, put_aside, steps = _numbered(facts)
    order = np.argsort(put_aside)
    put_aside = np.append(put_aside[order], -1)
    at = np.append(facts.column("interruptions", "at")[order], np.inf)
    following = np.searchsorted(put_aside[:-1], stretch)
    same_task = put_aside[following] // steps == stretch // steps
    return np.where(same_task, at[following], np.inf)


def _numbered(facts: Facts) -> tuple[Ints, Ints, int]:
    """Task and part as one number, of operations and of interruptions, and how far apart tasks are."""
    steps = int(facts.column("operations", "part").max(initial=0)) + 2
    of_operations, of_interruptions = (
        facts.code(table, "task") * steps + facts.code(table, "part") for table in ("operations", "interruptions")
    )
    return of_operations, of_interruptions, steps
