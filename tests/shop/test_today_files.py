"""Files of a morning: read strictly against their scenario, faults with their places; and from a status column."""

from __future__ import annotations

import datetime
import importlib.util
import json
import re
from pathlib import Path
from types import ModuleType

import pytest

from shopsim.errors import TodayError
from shopsim.shop import today_book
from shopsim.shop.exports.mapping import parse_mapping
from shopsim.shop.exports.reading import Reading, read_export
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_dump import scenario_values
from shopsim.shop.scenario_file import load_scenario
from shopsim.shop.shop_file import load_shop
from shopsim.shop.today_book import TodayBook, today_from_book, today_from_reading
from shopsim.shop.today_checks import check_today
from shopsim.shop.today_file import dump_today, load_today, parse_today, require_fits, today_schema
from shopsim.shop.today_model import Today
from shopsim.shop.today_words import calenders_of, words_of
from shopsim.shop.what_if import apply, differences, load_what_if

DEMOS = Path(__file__).resolve().parents[2] / "demo_scenarios"
MORNING = DEMOS / "mornings" / "frame_fabric_2026_09_22.yaml"
NOW = Today(now=datetime.datetime(2026, 9, 22, 7, 0))
HEAD = """\
now: 2026-09-22 07:00
orders:
  - order: A
    received: 2026-09-14 08:18
    due: 2026-09-23
    lines:
      - {product: front_frame, pieces: 12, width_m: 3, height_m: 2.5, where: [WHERE]}
"""


@pytest.fixture(scope="module")
def frames() -> Scenario:
    return load_scenario(DEMOS / "frame_fabric_shop.yaml")


def faults(text: str, scenario: Scenario) -> list[str]:
    with pytest.raises(TodayError) as caught:
        parse_today(text, "m.yaml", scenario)
    return [str(problem) for problem in caught.value.problems]


def test_the_demo_morning_is_what_its_script_writes(frames: Scenario) -> None:
    spec = importlib.util.spec_from_file_location("morning", DEMOS / "make_frame_fabric_morning.py")
    assert spec is not None and spec.loader is not None
    module: ModuleType = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert MORNING.read_text(encoding="utf-8") == module.morning_text()
    today, warnings = load_today(MORNING, frames)
    assert (len(today.orders), warnings) == (88, [])
    # Nobody knows when customers will answer.
    waiting = [order for order in today.orders if order.stage == "approval"]
    assert len(waiting) == 10
    assert all(order.asked and order.asked <= today.now and order.expected is None for order in waiting)
    assert parse_today(dump_today(today), "again", frames)[0] == today


def test_the_what_ifs_beside_the_mornings_are_sound(frames: Scenario) -> None:
    base = load_shop(DEMOS / "frame_fabric_shop.yaml")
    for name in ("forecast", "saturday_sewing"):
        what_if = load_what_if(str(MORNING.parent / f"frame_fabric_{name}.yaml"), str(DEMOS / "frame_fabric_shop.yaml"))
        changed = apply(base, what_if)
        assert differences(base.scenario, changed.scenario)
        assert check_today(load_today(MORNING, frames)[0], changed.scenario) == []


def test_the_schema_beside_the_demos_is_that_of_the_models() -> None:
    assert json.loads((DEMOS / "today.schema.json").read_text(encoding="utf-8")) == today_schema()


@pytest.mark.parametrize(
    ("where", "message"),
    [
        ("{at: sewing, pieces: 3}", "where[0].at: 'front_frame' has no such step; did you mean 'sew'? known: print, "),
        ("{at: sew, pieces: 13}", "m.yaml:7:9: orders[0].lines[0]: `where` tells of 13 pieces, the line has 12"),
        ("{at: printing, pieces: 3}", "where[0].printer: is missing: which printer is printing them?"),
        ("{at: cut, pieces: 3, printer: printer_1}", "goes with `printing` and `printed`, found cut"),
        ("{at: print, pieces: 3, in_work: true}", "nobody works at 'print'; it goes with a step at a work centre"),
        ("{at: sew, pieces: 3, minutes_left: 4}", "`minutes_left` and `pieces_left` go with `in_work: true`"),
        ("{at: sew, pieces: 3, in_work: true, outside_until: 2026-09-25 12:00}", "in work here or outside, not both"),
        ("{at: sew, pieces: 3, outside_until: 2026-09-21 12:00}", "must not be before now, 2026-09-22 07:00:00"),
        ("{at: sew, pieces: 3, until: 2026-09-25 12:00}", "goes with a rest, found sew"),
        ("{at: cut, pieces: 3, since: 2026-09-25 12:00}", "must not be after now, 2026-09-22 07:00:00"),
        ("{at: cut, pieces: 3, since: 2026-09-21}", "must be a time like 2026-01-05 09:30, found 2026-09-21"),
        ("{at: sew, pieces: 3, in_work: true, minutes_left: 4, pieces_left: 2}",
         "give either `minutes_left` or `pieces_left`"),
        ("{at: sew, pieces: 3, in_work: true, pieces_left: 4}", "`pieces_left` must be at most 3, the pieces in work"),
        ("{at: printed, pieces: 3, printer: printer_3}",
         "where[0].printer: may not print 'front_frame'; did you mean 'printer_"),
        ("{at: printed, pieces: 3, outside_until: 2026-09-25 12:00}",
         "goes with `print` or a step at a work centre, found printed"),
    ],
)  # fmt: skip
def test_places_that_cannot_be(frames: Scenario, where: str, message: str) -> None:
    assert any(message in fault for fault in faults(HEAD.replace("WHERE", where), frames))


def test_all_other_faults_at_once(frames: Scenario) -> None:
    text = HEAD.replace("[WHERE]", "[{at: pack, pieces: 1, in_work: true}, {at: pack, pieces: 1, in_work: true}]") + (
        "  - {order: A, received: 2026-09-23 08:00, due: 2026-09-29, lines: [{product: tent, pieces: 1}]}\n"
        "  - {order: B, received: 2026-09-21 08:00, due: 2026-09-20, stage: approval, asked: 2026-09-24 08:00,\n"
        "     lots: {satin: 1}, lines: [{product: front_frame, pieces: 1}]}\n"
        "printers:\n"
        "  - {printer: printer_3}\n"
        "  - {printer: printer_1, fabric: silk, metres_left: 3, mode: draft}\n"
        "  - {printer: printer_1, down_until: 2026-09-22 06:59, last_printed: 2026-09-22 07:01}\n"
        "down: [{place: packing_tables, seats: 2, until: 2026-09-22 09:00}, {place: attic, until: 2026-09-21 09:00}]\n"
        "cloth: [{fabric: block_out, full_rolls: 1}, {fabric: block_out, full_rolls: 2},\n"
        "        {fabric: silk, full_rolls: 1}]\n"
        "absent: [{crew: sewers, people: 3}, {crew: nobody}, {crew: packers, back: 2026-09-22}]\n"
        "overtime: [{crew: nobody, on: 2026-09-22, minutes: 60}, {crew: sewers, on: 2026-09-01, minutes: 60},\n"
        "           {crew: sewers, on: 2026-09-01, minutes: 30}]\n"
    )
    told = "\n".join(faults(text, frames))
    for message in (
        "orders[1].order: the order 'A' stands here twice",
        "orders[1].received: must not be after now, 2026-09-22 07:00:00, found 2026-09-23 08:00:00: it is no open",
        "orders[1].lines[0].product: the scenario has no product 'tent'",
        "orders[2].due: must not be before the order was received, found 2026-09-20",
        "orders[2].asked: must not be after now, 2026-09-22 07:00:00, found 2026-09-24 08:00:00",
        "orders[2].lots.satin: there is no fabric 'satin'",
        "orders[2].lines[0].width_m: is empty, but 'front_frame' has no single size",
        "printers[0].printer: unknown; did you mean 'printer_",
        "printers[1].fabric: unknown; known: display_knit, light_knit, block_out",
        "printers[1].mode: unknown; known: fast, front, dense",
        "printers[2].printer: 'printer_1' stands here twice; tell all of it in one place",
        "printers[2].down_until: must not be before now, 2026-09-22 07:00:00, found 2026-09-22 06:59:00",
        "printers[2].last_printed: must not be after now, 2026-09-22 07:00:00, found 2026-09-22 07:01:00",
        "down[1].until: must not be before now, 2026-09-22 07:00:00, found 2026-09-21 09:00:00",
        "overtime[2].crew: 'sewers' stands here twice for 2026-09-01",
        "orders: packing_tables has 3 seats, but 2 pieces of work are told to be on them and 2 to be down",
        "down[1].place: unknown; known:",
        "cloth[1].fabric: lot 0 of 'block_out' is counted twice",
        "cloth[2].fabric: unknown;",
        "absent[0].people: sewers has 2 people",
        "absent[1].crew: unknown;",
        "absent[2].back: must be after today, found 2026-09-22",
        "overtime[0].crew: unknown;",
        "overtime[1].on: must not be before today, found 2026-09-01",
    ):
        assert message in told, message


@pytest.mark.parametrize(
    ("order", "message"),
    [
        ("stage: complete, asked: 2026-09-20 08:00", "`asked` and `expected` go with `stage: approval`"),
        ("stage: approval, asked: 2026-09-20 08:00, expected: 2026-09-23 08:00", "give either `asked` or `expected`"),
        ("stage: order_check", "`where` goes with `stage: released`, found order_check"),
    ],
)
def test_stages_that_cannot_be(frames: Scenario, order: str, message: str) -> None:
    text = HEAD.replace("WHERE", "{at: sew, pieces: 3}").replace("due: 2026-09-23", f"due: 2026-09-23\n    {order}")
    text = re.sub(r", (asked|expected)", r"\n    \1", text)
    assert faults(text, frames) == [f"m.yaml:3:5: orders[0]: {message}"]


def test_a_printer_prints_one_cloth_in_one_mode_and_has_a_whole_roll(frames: Scenario) -> None:
    two = HEAD.replace("WHERE", "{at: printing, pieces: 3, printer: printer_2}") + (
        "      - {product: back_frame, pieces: 2, width_m: 3, height_m: 2,"
        " where: [{at: printing, pieces: 1, printer: printer_2}]}\n"
    )
    assert faults(two, frames) == [
        "m.yaml:8:101: orders[0].lines[1].where[0].printer: printer_2 prints one cloth in one mode at a time"
    ]
    assert faults(HEAD.replace("[WHERE]", "[]") + "printers: [{printer: printer_1, metres_left: 3}]\n", frames) == [
        "m.yaml:8:12: printers[0]: give both `fabric` and `metres_left` of the roll, or neither"
    ]


def test_more_orders_than_the_shop_has_places_for(frames: Scenario) -> None:
    one = "  - {order: X, received: 2026-09-14 08:18, due: 2026-09-29, stage: STAGE, lines: [{product: front_frame, "
    one += "pieces: 1, width_m: 2, height_m: 2}]}\n"
    text = HEAD.replace("[WHERE]", "[]") + "".join(
        one.replace("X", name).replace("STAGE", stage)
        for name, stage in (("B", "approval"), ("C", "order_check"), ("D", "complete"))
    )
    for when_full, counted in (("wait", 2), ("turn_away", 3)):
        limit = {"policies": {"orders_at_once": {"most": 1, "when_full": when_full}}}
        full = Scenario.model_validate(scenario_values(frames) | limit)
        assert faults(text, full) == [
            f"m.yaml:2:1: orders: {counted} orders have a place, but policies.orders_at_once allows 1"
        ]


def test_a_morning_must_fit_the_shop_that_a_what_if_makes(frames: Scenario) -> None:
    today, _ = parse_today(HEAD.replace("WHERE", "{at: sew, pieces: 12}"), "m.yaml", frames)
    later = Scenario.model_validate(
        scenario_values(frames) | {"shop": {"name": "x", "starts": datetime.date(2026, 10, 5)}}
    )
    with pytest.raises(TodayError) as caught:
        require_fits(today, later, "later start")
    assert str(caught.value) == (
        "later start: now: must not be before the scenario starts, 2026-10-05, found 2026-09-22 07:00:00"
    )


def test_slips_are_told_and_stop_nothing(frames: Scenario) -> None:
    text = HEAD.replace("[WHERE]", "[]").replace("due: 2026-09-23", "due: 2026-09-18") + (
        "printers: [{printer: printer_1, fabric: display_knit, metres_left: 1000}]\n"
        "cloth: [{fabric: display_knit, full_rolls: 3, remnants_m: [400], arriving: [{rolls: 2, on: 2026-09-21}]}]\n"
    )
    text = text.replace("received: 2026-09-14", "received: 2026-05-24").replace(
        "printers: [", "printers: [{printer: printer_2, down_until: 2026-11-21 07:01}, "
    )
    _, warnings = parse_today(text, "m.yaml", frames)
    assert [str(warning) for warning in warnings] == [
        "m.yaml:4:5: orders[0].received: received more than 120 days ago: is it really still open?",
        "m.yaml:5:5: orders[0].due: was due 2026-09-18, before today: it is late already",
        "m.yaml:8:33: printers[0].down_until: down for more than 60 days",
        "m.yaml:8:107: printers[1].metres_left: more than a full roll of 100 m",
        "m.yaml:9:47: cloth[0].remnants_m: a begun roll has less than 100 m",
        "m.yaml:9:88: cloth[0].arriving[0].on: 2026-09-21 is over: rolls that are not here yet come now",
    ]


def test_the_words_of_a_route(frames: Scenario) -> None:
    exhibition = load_scenario(DEMOS / "exhibition_supplier.yaml")
    offline = [product for product in exhibition.products if calenders_of(exhibition, product)]
    assert all("calender" in words_of(exhibition, product) for product in offline)
    assert words_of(frames, frames.products[2]) == [
        "print", "printing", "printed", "cut", "sew", "eyelets", "inspect", "pack", "done",
    ]  # fmt: skip


BOOK = """\
order_id,received,due,product,pieces,width_m,height_m,rush,repeat,approved,cancelled,status,pieces_done
A,2026-09-14 08:18,2026-09-23,front_frame,12,3,2.5,no,yes,,,sew,5
A,2026-09-14 08:18,2026-09-23,back_frame,2,2,2,no,yes,,,silicone_seats,
B,2026-09-21 09:00,2026-09-29,front_frame,3,2,2,yes,no,2026-09-23 10:00,,,
C,2026-09-20 09:00,2026-09-29,front_frame,3,2,2,no,no,,,approval,
D,2026-09-18 09:00,2026-09-22,eyelet_banner,2,2,1,no,yes,,,complete,
E,2026-09-18 09:00,2026-09-22,eyelet_banner,2,2,1,no,yes,,,shipped,
F,2026-09-18 09:00,2026-09-22,eyelet_banner,2,2,1,no,yes,,2026-09-19 09:00,print,
G,2026-09-22 09:00,2026-09-29,eyelet_banner,2,2,1,no,yes,,,,
H,2026-09-21 09:00,2026-09-29,eyelet_banner,4,2,1,no,yes,,,printed,
"""


def book(folder: Path, text: str = BOOK) -> Path:
    path = folder / "book.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_book_with_a_status_column(tmp_path: Path, frames: Scenario) -> None:
    found = today_from_book(book(tmp_path), frames, NOW)
    told = {order.order: order for order in found.today.orders}
    assert list(told) == ["A", "B", "C", "D", "H"]
    # Five are through sewing and wait for the gauge frame; all of the second line wait for its places.
    assert [[(part.at, part.pieces) for part in line.where] for line in told["A"].lines] == [
        [("frame_fit", 5), ("sew", 7)], [("sew", 2)],
    ]  # fmt: skip
    assert (told["B"].stage, told["B"].expected, told["B"].rush) == (
        "approval", datetime.datetime(2026, 9, 23, 10, 0), True,
    )  # fmt: skip
    assert (told["C"].stage, told["C"].expected, told["D"].stage) == ("approval", None, "complete")
    assert [(part.at, part.pieces) for part in told["H"].lines[0].where] == [("cut", 4)]
    assert (found.shipped, found.cancelled, found.later, found.without_status) == (1, 1, 1, 1)


def states(folder: Path, scenario: Scenario, *lines: str) -> TodayBook:
    """A book of front frames: each line an order, a status and perhaps further cells by column."""
    head = "order_id,received,due,product,pieces,width_m,height_m,status,pieces_done,shipped\n"
    rows = []
    for line in lines:
        name, status, *more = line.split()
        rows.append(f"{name},2026-09-14 08:18,2026-09-23,front_frame,12,3,2.5,{status},{','.join((*more, '', '')[:2])}")
    return today_from_book(book(folder, head + "\n".join(rows) + "\n"), scenario, NOW)


def test_the_lines_of_an_order_are_its_state_together(tmp_path: Path, frames: Scenario) -> None:
    found = states(
        tmp_path, frames,
        "A complete", "A print", "B pack", "B approval", "C cancelled", "C sew", "D shipped", "D cut", "E complete",
        "E shipped", "F order_check", "F complete", "G cancelled", "G cancelled", "H shipped", "H cancelled",
        "I received", "I complete", "J approval", "J approval",
    )  # fmt: skip
    told = {order.order: order for order in found.today.orders}
    where = {
        name: [[(part.at, part.pieces) for part in line.where] for line in order.lines] for name, order in told.items()
    }
    assert {name: (order.stage, len(order.lines)) for name, order in told.items()} == {
        "A": ("released", 2), "B": ("approval", 2), "C": ("released", 1), "D": ("released", 2), "E": ("complete", 2),
        "F": ("order_check", 2), "I": ("received", 1), "J": ("approval", 2),
    }  # fmt: skip
    # Twelve are done, twelve still to print; the cancelled line is in nobody's way; what is shipped is done.
    assert where["A"] == [[("done", 12)], [("print", 12)]]
    assert (where["C"], where["D"]) == ([[("sew", 12)]], [[("done", 12)], [("cut", 12)]])
    # G is cancelled as a whole; of H what was not cancelled has left.
    assert (found.cancelled, found.shipped, found.mixed) == (1, 1, ("B",))
    assert found.today.note == (
        "Of the book's orders 1 shipped and left out, 1 cancelled and left out. An order is held as one: 1 with lines "
        "further on than those that wait for the customer (B) wait as a whole, and what has been done on these lines "
        "counts as not done."
    )


def test_pieces_done_of_a_line_that_is_open_or_printing(tmp_path: Path, frames: Scenario) -> None:
    found = states(tmp_path, frames, "A open 5", "B printing 5", "C printing")
    assert {order.order: [(part.at, part.pieces) for part in order.lines[0].where] for order in found.today.orders} == {
        "A": [("cut", 5), ("print", 7)], "B": [("cut", 5), ("print", 7)], "C": [("print", 12)],
    }  # fmt: skip


def test_a_book_of_more_orders_than_a_morning_holds(
    tmp_path: Path, frames: Scenario, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(today_book, "MOST_ORDERS", 2)
    assert len(states(tmp_path, frames, "A sew", "B sew").today.orders) == 2
    with pytest.raises(TodayError) as caught:
        states(tmp_path, frames, "A sew", "B sew", "C sew")
    assert str(caught.value).endswith("book.csv: must have at most 2 open orders")


def test_a_date_of_shipping_is_of_its_line(tmp_path: Path, frames: Scenario) -> None:
    found = states(
        tmp_path, frames, "A open 0 2026-09-21", "A sew", "B open 0 2026-09-21", "C open 0 2026-09-22", "D open 0 soon",
        "E open 0 2026-09-23",
    )  # fmt: skip
    assert [[[part.at for part in line.where] for line in order.lines] for order in found.today.orders] == [
        [["done"], ["sew"]], [[]],
    ]  # fmt: skip
    assert found.shipped == 2
    (left,) = found.today.left_out
    assert (left.reason, left.first) == ("shipped: must be a date like 2026-01-05, found 'soon'", "line 6")


def test_rows_that_cannot_be_simulated_are_left_out_with_their_reasons(tmp_path: Path, frames: Scenario) -> None:
    text = BOOK.replace(",sew,5", ",polish,") + (
        "T,2026-09-21 09:00,2026-09-29,tent,2,2,1,no,yes,,,print,\n"
        "U,2026-09-21 09:00,2026-09-29,tent,3,2,1,no,yes,,,,\n"
        "V,2026-09-21 09:00,2026-09-29,front_frame,3,2,2,no,yes,,,sew,4\n"
        "W,2026-09-21 09:00,2026-09-29,front_frame,3,2,2,no,yes,,,sew,some\n"
    )
    found = today_from_book(book(tmp_path, text), frames, NOW)
    assert [order.order for order in found.today.orders] == ["A", "B", "C", "D", "H"]
    # Of A the second line is left.
    assert [line.product for line in found.today.orders[0].lines] == ["back_frame"]
    assert [(each.reason.split(";")[0], each.rows, each.first) for each in found.today.left_out] == [
        ("product: the scenario has no product 'tent'", 2, "line 11"),
        ("pieces_done: must be a whole number from 0, found 'some'", 1, "line 14"),
        ("status: 'front_frame' has no step 'polish'", 1, "line 2"),
        ("status: the line has 3 pieces, but 4 are told to be done", 1, "line 13"),
    ]  # fmt: skip


def test_very_many_reasons_are_told_as_one(tmp_path: Path, frames: Scenario) -> None:
    found = states(tmp_path, frames, "A sew", *(f"B{i} {'x' * (i + 1)}" for i in range(30)), "C x")
    assert [(each.rows, each.first) for each in (found.today.left_out[0], found.today.left_out[-1])] == [
        (2, "line 3"), (11, "line 22"),
    ]  # fmt: skip
    assert found.today.left_out[-1].reason == "other reasons"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (BOOK.replace("status", "shipped"), "book.csv:1: has no column `status`, which a morning needs"),
        (BOOK.splitlines()[0] + "\n" + BOOK.splitlines()[1].replace("sew", "polish"), "book.csv: line 2: status: "),
    ],
)
def test_books_that_cannot_be(tmp_path: Path, frames: Scenario, text: str, message: str) -> None:
    with pytest.raises(TodayError) as caught:
        today_from_book(book(tmp_path, text), frames, NOW)
    assert message in str(caught.value)


def test_another_softwares_status_words_come_through_the_mapping(tmp_path: Path, frames: Scenario) -> None:
    path = tmp_path / "list.csv"
    path.write_text(
        "Auftrag;Eingang;Termin;Artikel;Menge;Breite;Höhe;Stand;Stück fertig\n"
        "A;14.09.2026 08:18;23.09.2026;front_frame;12;300;250;Näherei;5\n"
        "B;14.09.2026 08:18;23.09.2026;front_frame;2;300;250;Halle 3;\n"
        "C;14.09.2026 08:18;23.09.2026;front_frame;2;300;250;versandt;\n"
        "D;14.09.2026 08:18;23.09.2026;front_frame;40;300;250;irgendwo;\n"
        "E;14.09.2026 08:18;23.09.2026;Zelt;40;300;250;Näherei;\n"
        "F;14.09.2026 08:18;23.09.2026;tent;40;300;250;Näherei;\n",
        encoding="utf-8",
    )
    mapping = parse_mapping(
        "table: orders\ndate_order: day_first\ndecimal_mark: ','\ncolumns:\n  order_id: Auftrag\n  received: Eingang\n"
        "  due: Termin\n  product: Artikel\n  pieces: Menge\n  width_m: {heading: Breite, unit: cm}\n"
        "  height_m: {heading: Höhe, unit: cm}\n  status: {heading: Stand, values: {Halle 3: cut}}\n"
        "  pieces_done: Stück fertig\n",
        "map",
    )
    found = today_from_reading(read_export(path, mapping), frames, NOW)
    assert [[(part.at, part.pieces) for part in order.lines[0].where] for order in found.today.orders] == [
        [("frame_fit", 5), ("sew", 7)], [("cut", 2)],
    ]  # fmt: skip
    assert found.shipped == 1
    assert [(each.reason.split(";")[0], each.rows, each.first) for each in found.today.left_out] == [
        ("status: 'irgendwo' is not known", 1, "line 5"),
        ("product: the scenario has no product 'Zelt'", 1, "line 6"),
        ("product: the scenario has no product 'tent'", 1, "line 7"),
    ]  # fmt: skip


LIST = """\
order_id,received,due,product,pieces,width_m,height_m,status
A,2026-09-14 08:18,2026-09-23,front_frame,12,3,2.5,sew
A,2026-09-14 08:18,2026-09-23,front_frame,2,,,sew
B,2026-09-14 08:18,2026-09-23,front_frame,2,9,9,sew
C,2026-09-14 08:18,2026-09-23,front_frame,2,2,2,cut
"""


def read_list(folder: Path, *columns: str, text: str = LIST) -> Reading:
    names = LIST.splitlines()[0].split(",")
    mapped = "".join(
        f"  {name}: {f'{{heading: {name}, unit: m}}' if name.endswith('_m') else name}\n"
        for name in names
        if name in (columns or names)
    )
    return read_export(book(folder, text), parse_mapping(f"table: orders\ncolumns:\n{mapped}", "map"))


def test_lines_of_a_list_that_the_scenario_cannot_make_leave_the_order_its_others(
    tmp_path: Path, frames: Scenario
) -> None:
    found = today_from_reading(read_list(tmp_path), frames, NOW)
    assert [(order.order, [line.pieces for line in order.lines]) for order in found.today.orders] == [
        ("A", [12]), ("C", [2]),
    ]  # fmt: skip
    assert [(each.reason, each.first) for each in found.today.left_out] == [
        ("width_m: is empty, but 'front_frame' has no single size; give width_m and height_m", "line 3"),
        (
            ("width_m: a piece 9 x 9 m prints 9.069 m wide, but the widest web of 'display_knit' takes 3.060 m; make "
            "it smaller or say `may_split: true`"),
            "line 4",
        ),
    ]  # fmt: skip


def test_lists_that_make_no_morning(tmp_path: Path, frames: Scenario) -> None:
    sizes = ("order_id", "received", "due", "product", "pieces", "width_m", "height_m")
    with pytest.raises(TodayError, match=r"book.csv:1: has no column `status`, which a morning needs"):
        today_from_reading(read_list(tmp_path, *sizes), frames, NOW)
    # The shop opens in August: its orders are not to blame.
    early = read_list(tmp_path, text=LIST.replace("2026-09", "2026-07"))
    with pytest.raises(TodayError, match=r"book.csv: now: must not be before the scenario starts, 2026-08-03, found"):
        today_from_reading(early, frames, Today(now=datetime.datetime(2026, 7, 31, 7, 0)))
