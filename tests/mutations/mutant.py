"""One deliberate fault: a place in the code, what stands there, what to put there, and the tests that must notice."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]


def case(number: str) -> str:
    """The test of one published case."""
    return f"published/test_cases.py::test_case_is_found_as_published[{number}]"


class Mutant(NamedTuple):
    """`name` says in plain words what is wrong, `file` is a path under `shopsim/` in which `before` stands once.

    `tests` are test files under `tests/`, or single tests of them (`file.py::test`).
    """

    name: str
    file: str
    before: str
    after: str
    tests: tuple[str, ...]

    @property
    def path(self) -> str:
        """The file from the top of the tree."""
        return f"shopsim/{self.file}"

    @property
    def test_paths(self) -> list[str]:
        """The tests from the top of the tree."""
        return [f"tests/{name}" for name in self.tests]

    def text(self, root: Path = ROOT) -> str:
        """The whole file with the fault in it. Raises ValueError unless `before` stands there exactly once."""
        text = (root / self.path).read_text(encoding="utf-8")
        found = text.count(self.before)
        if found != 1:
            raise ValueError(f"{self.name}: {self.before!r} must stand once in {self.path}, found {found} times")
        return text.replace(self.before, self.after)
