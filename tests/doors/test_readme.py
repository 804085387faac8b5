"""What the README shows from Python runs as it stands there."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
SNIPPETS = re.findall(r"```python\n(.*?)```", (ROOT / "README.md").read_text(encoding="utf-8"), re.DOTALL)


@pytest.mark.parametrize(("number", "answer"), [
    (0, r"Interval\(mean=0\.\d+, low=0\.\d+, high=[01]\.\d+, half_width=0\.\d+, n=10, left_out=0\)"),
    (1, r"“A faster sewer” (lifts|lowers|cannot be told from|changes nothing).* on-time delivery .*\."),
])  # fmt: skip
def test_snippets_from_python_run(number: int, answer: str) -> None:
    # Its own process: workers start anew there as they do for a user.
    done = subprocess.run(
        [sys.executable, "-c", SNIPPETS[number]], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert re.fullmatch(answer, done.stdout.strip())


def test_every_snippet_is_run() -> None:
    assert len(SNIPPETS) == 2
