"""One of each ordeal; `python -m tests.hardening` tries them often."""

from __future__ import annotations

import pytest

from tests.hardening.clocks import clock_set_back
from tests.hardening.disks import WRITING, answered, read_only_folder, refused
from tests.hardening.hostile import FILES, hostile_files
from tests.hardening.sharing import two_at_once
from tests.hardening.soak import grown


def test_hostile_files_are_refused_by_every_reader() -> None:
    found = list(hostile_files(few := [name for name in FILES if "million" not in name]))
    assert [(ordeal.name, ordeal.bad) for ordeal in found] == [(name, ()) for name in few]
    assert {ordeal.tried for ordeal in found} == {10}


def test_a_folder_nobody_may_write_in_stays_as_it_was() -> None:
    found = refused("read-only folder", read_only_folder, "Permission denied")
    assert (found.tried, found.bad) == (len(WRITING), ())
    assert answered("read-only folder", read_only_folder).bad == ()


def test_two_programs_at_one_study_share_it() -> None:
    assert two_at_once(1).bad == ()


def test_a_clock_that_is_set_back_changes_nothing() -> None:
    assert clock_set_back().bad == ()


@pytest.mark.parametrize(("early_mb", "late_mb", "told"), [
    (200.0, 211.0, []), (200.0, 213.0, ["memory grew from 200 to 213 MB"]),
])  # fmt: skip
def test_memory_that_grows_is_told(early_mb: float, late_mb: float, told: list[str]) -> None:
    assert grown(early_mb, late_mb, 16, 18) == told
    assert grown(200.0, 200.0, 16, 21) == ["open files grew from 16 to 21"]
