"""Reports of the demos: small ones for the tests, the real ones into a folder.

`python -m tests.report DIR` writes a report of each demo with its what-ifs; `python -m tests.report --digests` writes
anew what the tests compare with.
"""

from __future__ import annotations

import datetime
from dataclasses import replace
from pathlib import Path

from shopsim import load_shop
from shopsim.answers.as_we_are import AsWeAre
from shopsim.answers.finished import finished
from shopsim.report.contents import Contents
from shopsim.shop.changes import Change
from shopsim.shop.scenario_edit import edit_scenario
from shopsim.shop.scenario_file import parse_scenario
from shopsim.studies.engine import LocalEngine
from shopsim.studies.runner import Runner

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"
NAMES = ("flag_banner_shop", "frame_fabric_shop", "exhibition_supplier")
WEEKS = 4
DIGESTS = Path(__file__).resolve().parent / "digests"


def small_report(name: str) -> Contents:
    """A demo after two runs of a few weeks."""
    path = DEMOS / f"{name}.yaml"
    text = edit_scenario(path.read_text(encoding="utf-8"), [Change("set", "study.weeks", WEEKS)], path.name)
    shop = replace(load_shop(path), scenario=parse_scenario(text, path.name))
    question = AsWeAre(scenario=path.name, shop=shop, count=2)
    answer = finished(question, question.study(Runner(LocalEngine(1))))
    book = shop.scenario.demand.order_book
    books = {book.file: (DEMOS / book.file).read_bytes()} if book else {}
    return Contents(shop, path.name, text, (answer,), datetime.date(2026, 11, 29), books)
