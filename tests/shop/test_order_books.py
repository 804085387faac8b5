"""Order books that are sound: forms of cells, spreadsheets, formulas, and the way out and back."""

import datetime
from pathlib import Path

import pytest
from openpyxl import Workbook

from shopsim.errors import OrderBookError, ScenarioError
from shopsim.shop.order_book import OrderLine, load_order_book, write_order_book
from shopsim.shop.scenario import Scenario
from shopsim.shop.scenario_file import load_scenario
from shopsim.shop.shop_file import load_shop

HERE = Path(__file__).parent
MORNING = datetime.datetime(2026, 1, 5, 9, 30)
FRIDAY = datetime.date(2026, 1, 9)
PLAIN = OrderLine(order_id="A1", received=MORNING, due=FRIDAY, product="banner", pieces=3)


@pytest.fixture(scope="module")
def scenario() -> Scenario:
    return load_scenario(HERE / "book_shop.yaml")


@pytest.mark.parametrize(
    "text",
    [
        "order_id,received,due,product,pieces\nA1,2026-01-05 09:30,2026-01-09,banner,3\n",
        "\ufefforder_id;received;due;product;pieces\r\nA1;2026-01-05T09:30;2026-01-09;banner;3\r\n",
        "pieces,product,due,received,order_id\n\n 3 , banner ,2026-01-09,2026-01-05 09:30:00,'A1\n,,,,\n",
        'order_id,received,due,product,pieces,rush,repeat,width_m\n"A1",2026-01-05 09:30,2026-01-09,banner,3,no,NO,\n',
    ],
)
def test_forms_of_the_same_row(text: str, tmp_path: Path, scenario: Scenario) -> None:
    path = tmp_path / "orders.csv"
    path.write_bytes(text.encode())
    assert load_order_book(path, scenario) == (PLAIN,)


def test_a_semicolon_file_may_have_decimal_commas(tmp_path: Path, scenario: Scenario) -> None:
    path = tmp_path / "orders.csv"
    path.write_text(
        "order_id;received;due;product;pieces;width_m;height_m\nA1;2026-01-05 09:30;2026-01-09;cloth;3;2,5;1\n",
        encoding="utf-8",
    )
    (line,) = load_order_book(path, scenario)
    assert (line.width_m, line.height_m) == (2.5, 1.0)


def test_products_whose_minutes_are_given_need_no_size(tmp_path: Path, scenario: Scenario) -> None:
    path = tmp_path / "orders.csv"
    write_order_book(path, [PLAIN.model_copy(update={"product": "repair"})])
    assert load_order_book(path, scenario)[0].product == "repair"


def test_a_workbook_with_dates_numbers_and_truth_values(tmp_path: Path, scenario: Scenario) -> None:
    path = tmp_path / "orders.xlsx"
    book = Workbook()
    book.active.append(["order_id", "received", "due", "product", "pieces", "rush", "approved", None])
    due = datetime.datetime(2026, 1, 9)
    book.active.append([4711, MORNING, due, "banner", 3.0, True, "2026-01-05 11:00"])
    book.active.append(["4711", MORNING, FRIDAY, "banner", "2", "yes", datetime.datetime(2026, 1, 5, 11)])
    book.save(path)
    approved = datetime.datetime(2026, 1, 5, 11)
    first = PLAIN.model_copy(update={"order_id": "4711", "rush": True, "approved": approved})
    assert load_order_book(path, scenario) == (first, first.model_copy(update={"pieces": 2}))


def test_text_that_looks_like_a_formula_is_written_as_text(tmp_path: Path, scenario: Scenario) -> None:
    path = tmp_path / "orders.csv"
    lines = tuple(PLAIN.model_copy(update={"order_id": name}) for name in ("=1+1", "+49", "-7", "@x", "'q", "A=1"))
    write_order_book(path, lines)
    ids = [row.split(",")[0] for row in path.read_text(encoding="utf-8").splitlines()[1:]]
    assert ids == ["'=1+1", "'+49", "'-7", "'@x", "''q", "A=1"]
    assert load_order_book(path, scenario) == lines


def test_a_cell_of_two_lines_does_not_shift_the_lines_of_later_faults(tmp_path: Path, scenario: Scenario) -> None:
    path = tmp_path / "orders.csv"
    path.write_text(
        "order_id,received,due,product,pieces\n"
        '"A\n1",2026-01-05 09:30,2026-01-09,banner,3\n'
        "A2,2026-01-05 09:30,2026-01-09,banner,0\n",
        encoding="utf-8",
    )
    with pytest.raises(OrderBookError) as caught:
        load_order_book(path, scenario)
    assert [(one.line, one.path) for one in caught.value.problems] == [(2, "column order_id"), (4, "column pieces")]


def test_a_shop_holds_its_scenario_and_its_orders(tmp_path: Path) -> None:
    path = tmp_path / "shop.yaml"
    path.write_bytes((HERE / "book_shop.yaml").read_bytes())
    write_order_book(tmp_path / "orders.csv", [PLAIN])
    shop = load_shop(path)
    assert shop.order_lines == (PLAIN,)
    assert shop.scenario == load_scenario(path)
    (warning,) = shop.warnings
    assert warning.message.startswith("the last order of the book is received on 2026-01-05; the study goes on")
    assert load_shop(HERE / "small_shop.yaml").order_lines == ()


def test_a_link_out_of_the_folder_is_refused(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    folder.mkdir()
    path = folder / "shop.yaml"
    path.write_bytes((HERE / "book_shop.yaml").read_bytes())
    write_order_book(tmp_path / "orders.csv", [PLAIN])
    (folder / "orders.csv").symlink_to(tmp_path / "orders.csv")
    with pytest.raises(ScenarioError) as caught:
        load_shop(path)
    message = str(caught.value).replace(str(path), "shop.yaml")
    assert message == "shop.yaml:45:16: demand.order_book.file: must lie in the scenario's folder"


def _shop_with_book(folder: Path, *received: str) -> Path:
    path = folder / "shop.yaml"
    path.write_text((HERE / "book_shop.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    rows = [f"A{i},{day} 09:30,2027-12-31,banner,3" for i, day in enumerate(received)]
    (folder / "orders.csv").write_text("\n".join(["order_id,received,due,product,pieces", *rows, ""]), encoding="utf-8")
    return path


def test_orders_received_after_the_study_are_told_not_dropped_in_silence(tmp_path: Path) -> None:
    """2 weeks of warm-up and 13 of study from Monday 2026-01-05 end with Sunday 2026-04-19."""
    shop = load_shop(_shop_with_book(tmp_path, "2026-01-05", "2026-04-19", "2026-04-21", "2026-04-20"))
    (warning,) = shop.warnings
    assert (warning.line, warning.path) == (45, "demand.order_book.file")
    assert warning.message == (
        "left out, because received after the study ends on 2026-04-19: 2 of the book's order lines, the first of them "
        "in order A3 of 2026-04-20"
    )


def test_weeks_without_any_new_order_are_told(tmp_path: Path) -> None:
    """From Sunday 2026-03-22 to the end of Sunday 2026-04-19 it is four weeks and a day."""
    assert load_shop(_shop_with_book(tmp_path, "2026-01-05", "2026-03-23")).warnings == ()
    (warning,) = load_shop(_shop_with_book(tmp_path, "2026-01-05", "2026-03-22")).warnings
    assert warning.message == (
        "the last order of the book is received on 2026-03-22; the study goes on to 2026-04-19, 4 weeks in which "
        "nothing new comes in, so averages a week are too low"
    )


def test_a_book_with_nothing_inside_the_study_is_refused(tmp_path: Path) -> None:
    with pytest.raises(ScenarioError) as late:
        load_shop(_shop_with_book(tmp_path, "2027-01-05", "2027-01-06"))
    assert late.value.problems[0].message == "all 2 order lines are received after the study ends on 2026-04-19"
    with pytest.raises(ScenarioError) as empty:
        load_shop(_shop_with_book(tmp_path))
    assert empty.value.problems[0].message == "this order book has no orders, and nothing else is asked of the shop"
