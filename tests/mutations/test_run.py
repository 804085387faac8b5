"""What counts as noticed: a test that fails, on a small tree of its own."""

from pathlib import Path

import pytest

from tests.mutations.run import run_tests

GOOD = "def test_first():\n    assert 1 + 1 == 2\n\n\n"


@pytest.mark.parametrize(
    ("code", "failed", "objection"),
    [
        (GOOD, "", ""),
        (GOOD + "def test_sum():\n    assert 1 + 1 == 3\n", "tests/test_it.py::test_sum", ""),
        (GOOD + "def test_sum():\n    raise KeyError('x: y')\n", "tests/test_it.py::test_sum", ""),
        (
            "import pytest\n\n\n@pytest.fixture\ndef two():\n    1 / 0\n\n\ndef test_sum(two):\n    assert two == 2\n",
            "tests/test_it.py::test_sum",
            "",
        ),
        (GOOD + "def test_sum():\n    assert sun() == 2\n", "tests/test_it.py::test_sum", "NameError"),
        (GOOD + "def test_sum():\n    from math import nothing\n", "tests/test_it.py::test_sum", "ImportError"),
        ("from math import nothing\n" + GOOD, "tests.test_it", "the tests could not be imported"),
    ],
)
def test_first_failure(tmp_path: Path, code: str, failed: str, objection: str) -> None:
    (tmp_path / "tests").mkdir()
    (tmp_path / "tests/test_it.py").write_text(code, encoding="utf-8")
    found = run_tests(tmp_path, ["tests"])
    assert (found.failed, found.objection) == (failed, objection)
    assert found.noticed == (failed != "" and objection == "")
