"""`shopsim promise` on a shop in which nothing is random: sentence, page, JSON, exit codes; bad input in words."""

from __future__ import annotations

import contextlib
import json
from pathlib import Path

import pytest
from openpyxl import load_workbook

from shopsim.cli import main
from shopsim.shop.today_file import today_schema
from tests.doors.tiny import SHOP, write_shop

Output = pytest.CaptureFixture[str]
# Tuesday 07:00. A's 20 flags wait for sewing, 3 min each, and are due today; D's 200 are printed and due tomorrow. The
# sewer has 450 minutes a day.
MORNING = """\
now: 2026-01-06 07:00
orders:
  - order: A
    received: 2026-01-05 07:00
    due: 2026-01-06
    lines: [{product: flag, pieces: 20, where: [{at: work, pieces: 20}]}]
  - order: D
    received: 2026-01-05 10:00
    due: 2026-01-07
    lines: [{product: flag, pieces: 200, where: [{at: printed, pieces: 200}]}]
printers:
  - {printer: p1, fabric: knit, metres_left: 250}
"""
ALWAYS = ("--workers", "1", "--no-store", "--replications", "20")


def asked(folder: Path, *more: str, morning: str = MORNING, shop: str = SHOP) -> list[str]:
    path = write_shop(folder, shop)
    told = folder / "morning.yaml"
    told.write_text(morning, encoding="utf-8")
    return ["promise", str(path), "--today", str(told), *ALWAYS, *more]


def test_the_morning_list(tmp_path: Path, capsys: Output) -> None:
    # Sewing: A 07:00-08:00, D 08:00-12:00, 12:30-15:00 (390 min), Wednesday 07:00-10:30 (210 min); packed one bundle
    # at once, 200 min: 10:30-13:50. D leaves on Wednesday at 15:00, as due.
    assert main(asked(tmp_path)) == 0
    out, err = capsys.readouterr()
    text = " ".join(out.split())
    assert text.startswith(
        "Both open orders leave by their dates with 80 % or more. No further order comes in, so chances beyond a few "
        "days are too good: the shop's file has no forecast. 20 futures of what is told of 2026-01-06 07:00; to come: "
        "nothing. "
    )
    assert "A Tue 06 Jan 100 % 83 to 100 Tue 06 Jan Tue 06 Jan Tue 06 Jan" in text
    assert "D Wed 07 Jan 100 % 83 to 100 Wed 07 Jan Wed 07 Jan Wed 07 Jan" in text
    assert "20 replications in " in err


ONE = """\
now: 2026-01-06 07:00
orders:
  - {order: A, received: 2026-01-05 07:00, due: 2026-01-06, lines: [{product: flag, pieces: 1}]}
"""


@pytest.mark.parametrize(
    ("old", "new", "sentence"),
    [
        ("", "", "The open order leaves by its date with 80 % or more."),
        ("pieces: 1", "pieces: 300", "The open order is at risk, below 80 %; least likely A (due Tue 06 Jan, 0 %"),
        ("due: 2026-01-06", "due: 2026-01-05", "The open order is at risk, below 80 %, late already."),
        ("  - {order: A, received: 2026-01-05 07:00, due: 2026-01-06, lines: [{product: flag, pieces: 1}]}",
         "  []", "No order is open."),
    ],
)  # fmt: skip
def test_one_order_is_told_as_one(tmp_path: Path, capsys: Output, old: str, new: str, sentence: str) -> None:
    main([*asked(tmp_path, morning=ONE.replace(old, new)), "--json", "-"])
    assert json.loads(capsys.readouterr().out)["sentence"].startswith(sentence)


def test_one_of_many_is_at_risk_and_one_piece_leaves(tmp_path: Path, capsys: Output) -> None:
    # C comes after D, whose 200 pieces are under the needle until Wednesday, and is due on Tuesday.
    more = MORNING.replace("  - order: A", ONE.splitlines()[2].replace("order: A", "order: C") + "\n  - order: A")
    more = more.replace("pieces: 1}", "pieces: 150}")
    assert main([*asked(tmp_path, "--request", "flag=1", morning=more), "--json", "-"]) == 0
    told = json.loads(capsys.readouterr().out)["sentence"]
    assert told.startswith("1 piece of flag leaves by ")
    assert " 1 of 3 open orders is at risk, below 80 %; least likely C (due Tue 06 Jan, 0 %" in told


def test_a_request_its_ways_and_whom_it_makes_late(tmp_path: Path, capsys: Output) -> None:
    # As asked it is planned for Wednesday, the wanted day, like D: 50 flags, warm-up until 07:20, off the printer at
    # 08:13. D is one bundle and has begun at 08:00, so the request is sewn on Wednesday from 10:30 on.
    assert main([*asked(tmp_path, "--request", "flag=50", "--by", "2026-01-07"), "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    ways = {way["name"]: way for way in found["request"]["ways"]}
    assert list(ways) == ["as asked", "rush order"]
    # 50 x 3 = 150 min: 10:30-12:00, 12:30-13:30; packed after D, 13:50-14:40: it leaves on Wednesday.
    assert ways["as asked"]["leaves"]["wanted"] == {"date": "2026-01-07", "low": "2026-01-07", "high": "2026-01-07"}
    assert ways["as asked"]["chance_by_wanted"]["mean"] == 1.0
    assert ways["as asked"]["late"] == []
    assert ways["as asked"]["with_customer"]["date"] == "2026-01-08"
    assert found["request"]["best"] == "as asked"
    assert "By Wed 07 Jan it leaves with 100 % (95 % interval 83 to 100). It needs nothing more." in found["sentence"]
    assert (found["replications"], found["now"], found["settled"]) == (20, "2026-01-06 07:00", True)


def test_overtime_and_work_bought_in_where_the_house_allows_it(tmp_path: Path, capsys: Output) -> None:
    # Wanted on Tuesday. Overtime of an hour does not do it: D's bundle is on the table until 15:00 and beyond. Bought
    # in, the request is off the printer at 07:20 + 50 min + 3 = 08:13 and back a working day later, too late too.
    rules = (
        "policies:\n  overtime: [{crews: [sewer], when_queue_h: 100, minutes: 60}]\n"
        "  bought_in: [{at: sewing_table, when_queue_h: 1000, back_after_days: 1, price_per_piece: 4}]\n"
    )
    shop = SHOP.replace("policies:\n", rules)
    assert main([*asked(tmp_path, "--request", "flag=50", shop=shop), "--json", "-"]) == 0
    found = json.loads(capsys.readouterr().out)
    ways = {way["name"]: way for way in found["request"]["ways"]}
    assert list(ways) == ["as asked", "rush order", "overtime", "sewing_table bought in"]
    # 50 flags at 4, and nothing else changes.
    assert ways["sewing_table bought in"]["cost_more"]["mean"] == pytest.approx(200.0)
    # The sewer stays 60 min on each of four days of the window that the week has left: 20 x 1.3 an hour.
    paid = ways["overtime"]["cost_more"]["mean"]
    assert paid == pytest.approx(20 * 1.3 * round(paid / 26))
    assert paid >= 26


CHECKED = SHOP.replace("dispatch: {", "dispatch: {order_check_at: bench, order_check_min: 6, ")


@pytest.mark.parametrize("others", [False, True])
@pytest.mark.parametrize("stage", ["complete", "order_check"])
def test_orders_that_are_done_wait_for_nobody_else_s_work(
    tmp_path: Path, capsys: Output, stage: str, others: bool
) -> None:
    # E is done: it leaves with Tuesday's collection, its check of 6 minutes made. With others in the shop it has none
    # of their stretches: F waits for the printer's warm-up.
    done = (
        f"  - {{order: E, received: 2026-01-05 07:00, due: 2026-01-06, stage: {stage},\n"
        "     lines: [{product: flag, pieces: 3}]}\n"
    )
    head, rest = MORNING.split("  - order: A\n")
    to_print = done.replace("E", "F").replace(stage, "released")
    morning = head + done + (to_print + "  - order: A\n" + rest if others else "")
    assert main([*asked(tmp_path, morning=morning, shop=CHECKED), "--json", "-"]) == 0
    order = json.loads(capsys.readouterr().out)["orders"][0]
    assert (order["order"], order["chance"]["mean"], order["leaves"]["80"]["date"]) == ("E", 1.0, "2026-01-06")
    assert order["waits_for"] is None


def test_a_request_nobody_can_promise_is_not_settled(tmp_path: Path, capsys: Output) -> None:
    command = asked(tmp_path, "--request", "flag=5", "--chance", "99")
    assert main(command) == 3
    assert (
        "No date can be told by which 5 pieces of flag leave with 99 %: 20 futures are too few, 99 are needed."
        in " ".join(capsys.readouterr().out.split())
    )


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (("--by", "2026-01-09"), "--by: goes with --request"),
        (("--rush",), "--rush: goes with --request"),
        (("--request", "flags=3"), "--request: product: the scenario has no product 'flags'; did you mean 'flag'?"),
        (("--request", "flag=3", "--by", "2026-01-05"), "--request: due: must not be before the order was received"),
        (("--now", "2026-01-06 07:00"), "--now: goes with --orders alone: FILE tells its time"),
        (("--orders", "orders.csv"), "orders: has 2 orders: leave `orders` out where they come from --orders"),
        (("--map", "map.yaml"), "--map: goes with --orders"),
    ],
)
def test_bad_command_lines_are_told(tmp_path: Path, capsys: Output, more: tuple[str, ...], message: str) -> None:
    assert main(asked(tmp_path, *more)) == 2
    assert message in capsys.readouterr().err


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ((), "--today: give --today FILE, or --orders BOOK and --now TIME"),
        (("--orders", "book.csv"), "--now: is missing: at which time is the order book as it is?"),
        (("--now", "7 o'clock"), "must be a time like '2026-09-16 07:00', found \"7 o'clock\""),
        (("--chance", "100"), "must be a percentage from 1 to 99.9, found '100'"),
        (("--request", "flag=0"), "must be like banner=12 or frame=12@3.0x2.5, found 'flag=0'"),
        (("--request", "flag=3@0x1"), "sizes must be greater than 0, found 'flag=3@0x1'"),
    ],
)
def test_what_a_morning_cannot_do_without(tmp_path: Path, capsys: Output, given: tuple[str, ...], message: str) -> None:
    schema = tmp_path / "schema.json"
    with contextlib.suppress(SystemExit):  # as argparse does for values
        assert main(["promise", str(write_shop(tmp_path)), "--schema", str(schema), *ALWAYS, *given]) == 2
        # The schema needs no morning.
        assert json.loads(schema.read_text(encoding="utf-8")) == today_schema()
    assert message in capsys.readouterr().err


def test_a_way_that_the_morning_does_not_fit_is_named(tmp_path: Path, capsys: Output) -> None:
    way = tmp_path / "way.yaml"
    way.write_text(
        "name: full\nbase: tiny.yaml\nchanges: [{set: policies.orders_at_once, to: {most: 1, when_full: wait}}]\n",
        "utf-8",
    )
    assert main(asked(tmp_path, "--request", "flag=3", "--way", str(way))) == 2
    assert "full: orders: 2 orders have a place, but policies.orders_at_once allows 1" in capsys.readouterr().err


def test_faults_of_a_morning_have_their_place(tmp_path: Path, capsys: Output) -> None:
    assert main(asked(tmp_path, morning=MORNING.replace("at: work, pieces: 20", "at: sew, pieces: 30"))) == 2
    err = capsys.readouterr().err
    assert "morning.yaml:6:13: orders[0].lines[0]: `where` tells of 30 pieces, the line has 20" in err


def test_a_morning_from_the_order_book(tmp_path: Path, capsys: Output) -> None:
    path = write_shop(tmp_path)
    book = tmp_path / "book.csv"
    book.write_text(
        "order_id,received,due,product,pieces,status,pieces_done\n"
        "A,2026-01-05 07:00,2026-01-06,flag,20,sewing_table,5\n"
        "S,2026-01-05 07:00,2026-01-06,flag,20,shipped,\n"
        "C,2026-01-05 07:00,2026-01-06,flag,20,cancelled,\n"
        "L,2026-01-06 09:00,2026-01-09,flag,20,,\n"
        "N,2026-01-05 10:00,2026-01-09,flag,20,,\n",
        encoding="utf-8",
    )
    command = ["promise", str(path), "--orders", str(book), "--now", "2026-01-06 07:00", *ALWAYS, "--json", "-"]
    assert main(command) == 0
    found = json.loads(capsys.readouterr().out)
    assert [order["order"] for order in found["orders"]] == ["A", "N"]
    (note,) = found["notes"]
    assert note == (
        "Of the book's orders 1 shipped and left out, 1 cancelled and left out, 1 received later and no open orders "
        "yet, 1 without a status, taken as not started."
    )
    assert main([*command[:-2], "--map", "none.yaml"]) == 2
    assert "none.yaml: there is no such file" in capsys.readouterr().err


ROWS = """\
order_id,received,due,product,pieces,status
A,2026-01-05 07:00,2026-01-06,flag,20,work
B,2026-01-05 07:00,2026-01-06,flag,40,polish
T,2026-01-05 07:00,2026-01-06,tent,1,print
U,2026-01-05 07:00,2026-01-06,tent,2,print
"""
MAP = """\
table: orders
columns: {order_id: order_id, received: received, due: due, product: product, pieces: pieces, status: status}
"""


@pytest.mark.parametrize(
    ("mapped", "status"), [(False, "'flag' has no step 'polish'"), (True, "'polish' is not known")]
)
def test_rows_left_out_are_counted_and_named_whatever_the_list(
    tmp_path: Path, capsys: Output, mapped: bool, status: str
) -> None:
    path = write_shop(tmp_path)
    book, mapping = tmp_path / "book.csv", tmp_path / "map.yaml"
    book.write_text(ROWS, encoding="utf-8")
    mapping.write_text(MAP, encoding="utf-8")
    how = ["--map", str(mapping)] if mapped else []
    command = ["promise", str(path), "--orders", str(book), "--now", "2026-01-06 07:00", *how, *ALWAYS, "--json", "-"]
    assert main(command) == 0
    found = json.loads(capsys.readouterr().out)
    assert (
        found["sentence"]
        .split(" No further order comes in,")[0]
        .endswith(
            " 3 rows of the order book are left out and in none of these dates: product: the scenario has no product "
            f"'tent' (2); status: {status} (1)."
        )
    )
    assert [note.split(";")[0] for note in found["notes"]] == [
        "Left out: product: the scenario has no product 'tent'", f"Left out: status: {status}",
    ]  # fmt: skip
    assert found["notes"][0].endswith("known: flag (2 rows, first line 4).")
    assert [order["order"] for order in found["orders"]] == ["A"]


def test_a_book_beside_what_else_is_told_of_the_morning(tmp_path: Path, capsys: Output) -> None:
    # The sewer is away until Thursday: A, at the sewing table, leaves then.
    path = write_shop(tmp_path)
    book, told = tmp_path / "book.csv", tmp_path / "morning.yaml"
    book.write_text("\n".join(ROWS.splitlines()[:2]), encoding="utf-8")
    told.write_text("now: 2026-01-06 07:00\nabsent: [{crew: sewer, back: 2026-01-08}]\n", encoding="utf-8")
    command = ["promise", str(path), "--today", str(told), "--orders", str(book), *ALWAYS, "--json", "-"]
    assert main(command) == 0
    found = json.loads(capsys.readouterr().out)
    assert (found["now"], found["orders"][0]["leaves"]["80"]["date"]) == ("2026-01-06 07:00", "2026-01-08")


def test_a_report_holds_the_promises_and_can_be_asked_again(
    tmp_path: Path, capsys: Output, monkeypatch: pytest.MonkeyPatch
) -> None:
    _, path, *_ = asked(tmp_path)
    faster = tmp_path / "faster.yaml"
    faster.write_text(
        "name: Faster\nbase: tiny.yaml\nchanges:\n  - {set: crews.sewer.efficiency_pct, to: 110}\n", encoding="utf-8"
    )
    text = f"promise --today {tmp_path}/morning.yaml --what-if {faster} --request flag=50 --replications 20"
    quiet = ["--workers", "1", "--no-store"]
    given = ["--out", str(tmp_path / "out"), "--no-pdf", "--no-records", "--json", "-"]
    assert main(["report", path, "--ask", text, *given, *quiet]) == 0
    (told,) = json.loads(capsys.readouterr().out)["answers"]
    page = (tmp_path / "out" / "report.html").read_text(encoding="utf-8")
    assert "Promises start from the morning of 2026-01-06" in page
    (_, *rows) = load_workbook(tmp_path / "out" / "workbook.xlsx")["Promises"].iter_rows(values_only=True)
    assert [row[:4] for row in rows] == [(1, "A", "2026-01-06", 1), (1, "D", "2026-01-07", 1)]
    monkeypatch.chdir(tmp_path / "out" / "files")
    assert main([*told["command"][1:], *quiet, "--json", "-"]) == 0
    assert json.loads(capsys.readouterr().out) == {**told["answer"], "scenario": "tiny.yaml"}
