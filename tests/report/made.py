"""Reports to look into: of the shop that can be followed by hand, with names that would like to be more than names."""

from __future__ import annotations

import datetime
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

from shopsim import load_shop
from shopsim.answers.finished import Finished, finished
from shopsim.doors.asked import asked_of
from shopsim.report.contents import Contents, Effort
from shopsim.studies.engine import LocalEngine
from shopsim.studies.runner import Runner
from tests.doors.tiny import ORDERS, SHOP, write_shop

HOSTILE = "<script>alert('a')</script>\u00ad\"&=1+1"
SHOP_OF_NAMES = SHOP.replace("name: Tiny shop", 'name: "<script>alert(\'a\')</script>\\u00AD\\"&=1+1"').replace(
    "name: Sewer", 'name: "=HYPERLINK(1)"'
)
FASTER = """\
name: "=A faster sewer<img src=x onerror=alert(1)>"
note: "@SUM(1) </script><script>alert(2)</script>"
base: ../tiny.yaml
changes:
  - {set: crews.sewer.efficiency_pct, to: 130}
"""
SECOND = """\
name: A second sewer
base: ../tiny.yaml
changes:
  - {set: crews.sewer.count, to: 2}
spends: {once: 1000, life_years: 4}
"""
ASKED = (
    "run --replications 2",
    "compare what_ifs/faster.yaml what_ifs/second.yaml --replications 2",
    "shifts what_ifs/faster.yaml --replications 2",
    "crew --crew sewer=1..2 --target 60",
    "growth --replications 2",
    "payback what_ifs/second.yaml --replications 2",
    "sensitivity --range crews.sewer.efficiency_pct=80..120 --replications 2",
    "warm-up --replications 2",
)


def write_all(folder: Path, shop: str = SHOP_OF_NAMES) -> Path:
    """The shop, its order book and its what-ifs as files; the scenario's path."""
    path = write_shop(folder, shop, ORDERS)
    (folder / "what_ifs").mkdir()
    (folder / "what_ifs" / "faster.yaml").write_text(FASTER, encoding="utf-8")
    (folder / "what_ifs" / "second.yaml").write_text(SECOND, encoding="utf-8")
    return path


@cache
def answers(*asked: str) -> tuple[Finished, ...]:
    """Answers to questions, worked out once for all tests of a process."""
    folder = Path(mkdtemp())
    path = write_all(folder)
    found = []
    for text in asked:
        question = asked_of(text.replace("what_ifs/", f"{folder}/what_ifs/"), str(path))
        found.append(finished(question, question.study(Runner(LocalEngine(1)))))
    return tuple(found)


@cache
def contents(*asked: str) -> Contents:
    """A report of the answers to these questions; of all kinds without any."""
    path = write_all(Path(mkdtemp()))
    return Contents(
        load_shop(path), path.name, path.read_text(encoding="utf-8"), answers(*(asked or ASKED)),
        datetime.date(2026, 11, 29), {"orders.csv": ORDERS.encode()}, Effort(20, 5, 12.4, 0.123),
    )  # fmt: skip
