"""Reports of the demos: small ones for the tests, the real ones into a folder.

`python -m tests.report DIR` writes a report of each demo with its what-ifs; `python -m tests.report --digests` writes
anew what the tests compare with.
"""

from __future__ import annotations

import datetime
from pathlib import Path

from shopsim import load_shop
from shopsim.answers.finished import finished
from shopsim.doors.asked import asked_of
from shopsim.report.contents import Contents
from shopsim.studies.engine import LocalEngine
from shopsim.studies.runner import Runner

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"
NAMES = ("flag_banner_shop", "frame_fabric_shop", "exhibition_supplier")
DIGESTS = Path(__file__).resolve().parent / "digests"


def small_report(name: str) -> Contents:
    """A demo after two runs of it."""
    path = DEMOS / f"{name}.yaml"
    question = asked_of("run --replications 2", str(path))
    answer = finished(question, question.study(Runner(LocalEngine(1))))
    shop = load_shop(path)
    book = shop.scenario.demand.order_book
    books = {book.file: (DEMOS / book.file).read_bytes()} if book else {}
    return Contents(shop, path.name, path.read_text(encoding="utf-8"), (answer,), datetime.date(2026, 11, 29), books)
