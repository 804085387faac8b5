"""Values from the shop's own records on the page of the orders: shown beside the present ones, taken, taken back."""

from __future__ import annotations

import csv
import io
from typing import Any

from streamlit.testing.v1 import AppTest

from app import state
from shopsim.cli import main
from shopsim.shop.order_rows import cell_text
from shopsim.shop.scenario_dump import dump_scenario
from shopsim.shop.scenario_file import load_scenario
from tests.app.visit import said, visit
from tests.evidence.matching_shop import happened, model_of

SEED, WEEKS = 4, 8


def as_csv(rows: list[dict[str, Any]]) -> bytes:
    names = list(dict.fromkeys(name for row in rows for name in row))
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerows([names, *([cell_text(row.get(name)) for name in names] for row in rows)])
    return text.getvalue().encode()


def run(at: AppTest) -> AppTest:
    at.run()
    assert not at.exception, at.exception[0].value
    return at


def test_what_records_tell_is_shown_taken_and_taken_back(tmp_path) -> None:
    record = happened(SEED, WEEKS)
    draft = state.drafts().new({"shop.yaml": dump_scenario(model_of(SEED, "sewing 20 % slower")).encode()})
    before = draft.text()
    at = visit("orders", draft)
    assert "Values for the file" not in said(at)
    at.file_uploader(key="fit.orders").upload("orders.csv", as_csv(record.orders))
    run(at)
    at.file_uploader(key="fit.work_log").upload("work log.csv", as_csv(record.work_log))
    run(at)
    told = said(at)
    # Files in our own columns need no mapping.
    assert f"{len(record.orders)} of {len(record.orders)} rows can be used as order lines" in told
    assert "| What | In the file now | Found | Interval | From |" in told
    rate = next(line for line in told.splitlines() if line.startswith("| orders a week |"))
    assert rate.split(" | ")[1] == "30"
    sewers = next(line for line in told.splitlines() if line.startswith("| efficiency of sewers at sewing, % |"))
    # The minutes on record are those of the true shop, a sixth shorter than the file says: 80 % would be 96 %.
    assert sewers.split(" | ")[1] == "80"
    assert 93 < float(sewers.split(" | ")[2]) < 99
    assert "month index: less than a year on record" in told
    assert draft.text() == before
    at.button(key="fit.take").click()
    run(at)
    taken = load_scenario(draft.path)
    assert 93 < taken.by_id("crews")["sewers"].efficiency_pct < 99
    assert "# from data: efficiency of sewers at sewing" in draft.text()
    # The command line fits the same.
    (tmp_path / "shop.yaml").write_text(before, encoding="utf-8")
    for name, rows in (("orders", record.orders), ("work_log", record.work_log)):
        (tmp_path / f"{name}.csv").write_bytes(as_csv(rows))
    files = ["--orders", str(tmp_path / "orders.csv"), "--work-log", str(tmp_path / "work_log.csv")]
    assert main(["fit", str(tmp_path / "shop.yaml"), *files, "--out", str(tmp_path / "fitted.yaml")]) == 0
    assert load_scenario(tmp_path / "fitted.yaml") == taken
    at.button(key="orders.undo").click()
    run(at)
    assert draft.text() == before


def test_too_few_weeks_are_told() -> None:
    draft = state.drafts().new({"shop.yaml": dump_scenario(model_of(SEED, "true")).encode()})
    at = visit("orders", draft)
    at.file_uploader(key="fit.orders").upload("orders.csv", as_csv(happened(SEED, WEEKS).orders[:12]))
    run(at)
    assert "the order history must cover at least two whole weeks" in said(at)
    assert not [button for button in at.button if button.key == "fit.take"]


def test_time_stamps_are_shown_as_work() -> None:
    draft = state.drafts().new({"shop.yaml": dump_scenario(model_of(SEED, "true")).encode()})
    at = visit("orders", draft)
    rows = [f"A{i},sewing,2026-01-05 {8 + i}:{minute},{moment}" for i in range(3) for minute, moment in
            (("00", "start"), ("50", "end"))]  # fmt: skip
    at.file_uploader(key="fit.time_stamps").upload("stamps.csv", "\n".join(["order_id,step,at,moment", *rows]).encode())
    run(at)
    assert "6 time stamps make 3 rows of work" in said(at)
