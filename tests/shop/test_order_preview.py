"""Order books before they are taken."""

from pathlib import Path

from shopsim.shop.order_book import load_order_book, order_book_text
from shopsim.shop.order_preview import Rejected, first_rows, preview_order_book
from shopsim.shop.scenario_file import load_scenario

DEMOS = Path(__file__).parents[2] / "demo_scenarios"
FRAME = load_scenario(DEMOS / "frame_fabric_shop.yaml")
BOOK = DEMOS / "frame_fabric_orders.csv"

BAD = b"""order_id,received,due,product,pieces,width_m,height_m
A1,2026-08-03 09:00,2026-08-10,front_frame,2,2,1
A1,2026-08-03 09:00,2026-08-10,front_fame,2,2,1
A2,2026-08-04,2026-08-01,front_frame,0,2,1
A3,2026-08-05 10:00,2026-08-12,back_frame,3,1.5,1
A4,2026-08-11 10:00,2026-08-19,back_frame,1,1.5,1
"""
FAME = (
    "product: the scenario has no product 'front_fame'; did you mean 'front_frame'? known: front_frame, back_frame, "
    "eyelet_banner, pocket_banner, block_out_wall"
)


def test_a_sound_book_is_previewed_as_it_would_be_read() -> None:
    found = preview_order_book(BOOK.read_bytes(), "orders.csv", FRAME)
    assert found.sound
    assert found.lines == load_order_book(BOOK, FRAME)
    assert sum(lines for _, lines, _ in found.by_product()) == len(found.lines)
    assert sum(orders for _, orders in found.by_week()) == found.orders
    assert found.by_week()[0][0] == "2026-08-03"


def test_all_faults_are_told_and_whole_orders_left_out() -> None:
    found = preview_order_book(BAD, "C:\\tmp\\bad.csv", FRAME)
    assert not found.sound
    assert found.rejected == (
        Rejected(3, "A1", (FAME,)),
        Rejected(4, "A2", ("received: must be a time like 2026-01-05 09:30, found '2026-08-04'",
                           "pieces: must be a whole number of at least 1, found '0'")),
    )  # fmt: skip
    assert [line.order_id for line in found.lines] == ["A3", "A4"]
    assert (found.orders, found.rejected_rows, found.left_out) == (2, 2, 1)
    assert found.by_week() == [("2026-08-03", 1), ("2026-08-10", 1)]
    assert found.by_product() == [("back_frame", 2, 4)]


def test_what_is_left_is_a_book_of_its_own(tmp_path: Path) -> None:
    found = preview_order_book(BAD, "bad.csv", FRAME)
    (tmp_path / "kept.csv").write_text(order_book_text(found.lines), encoding="utf-8")
    assert load_order_book(tmp_path / "kept.csv", FRAME) == found.lines


def test_a_file_that_is_no_book_says_why() -> None:
    assert preview_order_book(b"x", "orders.pdf", FRAME).broken == "must be a .csv or .xlsx file"
    assert preview_order_book(b"not a zip", "orders.xlsx", FRAME).broken == "is not an XLSX workbook"
    columns = preview_order_book(b"order,due\nA1,2026-08-10\n", "orders.csv", FRAME)
    assert columns.broken.startswith("line 1: unknown column 'order'")
    assert not columns.sound
    large = preview_order_book(b"a" * 20_000_001, "orders.csv", FRAME)
    assert large.broken == "must be at most 20 MB, found 20.0 MB"


def test_the_first_rows_show_the_columns_in_use() -> None:
    found = preview_order_book(BAD, "bad.csv", FRAME)
    assert first_rows(found.lines, 1) == [
        {"order_id": "A3", "received": "2026-08-05 10:00", "due": "2026-08-12", "product": "back_frame", "pieces": "3",
         "width_m": "1.5", "height_m": "1"}
    ]  # fmt: skip


def test_more_rejected_rows_than_anybody_reads_are_counted() -> None:
    rows = b"".join(b"A%d,2026-08-03 09:00,2026-08-10,front_frame,0,2,1\n" % n for n in range(300))
    found = preview_order_book(BAD.splitlines(keepends=True)[0] + rows, "bad.csv", FRAME)
    assert (len(found.rejected), found.rejected_rows, found.lines) == (200, 300, ())
