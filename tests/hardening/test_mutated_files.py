"""A sample of spoiled demo files; `python -m tests.hardening` tries ten thousand."""

from __future__ import annotations

from collections import Counter

import pytest

from tests.hardening.many import some
from tests.hardening.mutating import mutated
from tests.hardening.trials import FORGED

# Numbers of which some are refused and some accepted, from a place where no others look.
FIRST = 20_000
SAMPLE = {"scenario": 60, "what-if": 40, "order book": 10, "mapping": 20, "export": 20, "morning": 20,
          "ranges": 20, "state": 20, FORGED: 30}  # fmt: skip


@pytest.mark.parametrize("kind", SAMPLE)
def test_spoiled_files_run_or_are_refused(kind: str) -> None:
    found = some(kind, range(FIRST, FIRST + SAMPLE[kind]))
    assert [outcome for outcome in found if not outcome.good] == []
    became = Counter(outcome.became for outcome in found)
    assert became["refused"] > 0
    # A state has a digest, and a forged one is held against the shop it is said to be of: none of them passes.
    passes = kind not in ("state", FORGED)
    assert (became["run"] + became["read"] > 0) == passes


def test_a_trial_can_be_had_again_by_its_number() -> None:
    content = b"key: 1\nother: [2, 3]\n" * 20
    assert [mutated(content, number) for number in range(50)] == [mutated(content, number) for number in range(50)]
    assert sum(mutated(content, number) != content for number in range(50)) >= 45
