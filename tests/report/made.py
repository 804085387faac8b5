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


LONG_NAME = "Längster" * 14 + "Name"
"""A name of one word, as long as names may be."""
SHOP_OF_LONG_NAMES = SHOP.replace("name: Tiny shop", f"name: {LONG_NAME}").replace("name: Sewer", f"name: {LONG_NAME}")


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
    return _answers(folder, write_all(folder), asked)


@cache
def contents_of_long_names() -> Contents:
    """A report of all kinds of question in which shop, crew and what-ifs have the longest names there may be."""
    folder = Path(mkdtemp())
    path = write_all(folder, SHOP_OF_LONG_NAMES)
    for number, (name, text) in enumerate((("faster", FASTER), ("second", SECOND))):
        first, *rest = text.splitlines(keepends=True)
        named = f"name: {LONG_NAME}{number}\n{''.join(rest)}"
        assert first.startswith("name: ")
        (folder / "what_ifs" / f"{name}.yaml").write_text(named, encoding="utf-8")
    return _contents(path, _answers(folder, path, ASKED))


def _answers(folder: Path, path: Path, asked: tuple[str, ...]) -> tuple[Finished, ...]:
    found = []
    for text in asked:
        question = asked_of(text.replace("what_ifs/", f"{folder}/what_ifs/"), str(path))
        found.append(finished(question, question.study(Runner(LocalEngine(1)))))
    return tuple(found)


@cache
def contents(*asked: str) -> Contents:
    """A report of the answers to these questions; of all kinds without any."""
    return _contents(write_all(Path(mkdtemp())), answers(*(asked or ASKED)))


def _contents(path: Path, found: tuple[Finished, ...]) -> Contents:
    return Contents(
        load_shop(path), path.name, path.read_text(encoding="utf-8"), found,
        datetime.date(2026, 11, 29), {"orders.csv": ORDERS.encode()}, Effort(20, 5, 3, 12.4, 0.123),
    )  # fmt: skip
