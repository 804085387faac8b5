"""A store for each test, and the table of published values at the end of the test output."""

from __future__ import annotations

import os

# Tests are about the source: they replace parts of it. A compiled engine on this machine must not stand in for it.
os.environ.setdefault("SHOPSIM_COMPILED", "0")

import pytest
from hypothesis import settings

# The same examples on every machine and in every run: a hunt for new ones is made by hand, with another profile.
settings.register_profile("steady", derandomize=True, database=None, deadline=None)
settings.register_profile("hunt", deadline=None)
settings.load_profile(os.environ.get("SHOPSIM_EXAMPLES", "steady"))


@pytest.fixture(autouse=True)
def no_replications_of_another_test(tmp_path_factory, monkeypatch) -> None:
    """Commands keep finished replications in the user's folder for state: here each test has an empty one."""
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path_factory.mktemp("state")))


def pytest_terminal_summary(terminalreporter) -> None:
    reports = [report for kind in ("passed", "failed") for report in terminalreporter.stats.get(kind, [])]
    measured = [
        value for report in reports for name, value in getattr(report, "user_properties", ()) if name == "measured"
    ]
    if measured:
        terminalreporter.write_sep("-", "measured in the browser")
        for value in measured:
            terminalreporter.write_line(value)
    rows = sorted(
        value for report in reports for name, value in getattr(report, "user_properties", ()) if name == "published"
    )
    if not rows:
        return
    terminalreporter.write_sep("-", "published values")
    terminalreporter.write_line(f"{'case':6} {'what':58} {'expected':>14} {'found':>14} {'std errors':>10}")
    for case, what, expected, found, apart in rows:
        away = "" if apart is None else f"{apart:+.2f}"
        terminalreporter.write_line(f"{case:6} {what[:58]:58} {_text(expected)} {_text(found)} {away:>10}")


def _text(value: float | str) -> str:
    return f"{value[:14]:>14}" if isinstance(value, str) else f"{value:14.6g}"
