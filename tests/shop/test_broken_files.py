"""Each broken file of the collection gives exactly the messages written down for it in `broken_messages.txt`.

Files too large or too nasty to keep are made on the spot.
"""

import zipfile
from pathlib import Path

import pytest
from openpyxl import Workbook

from shopsim.errors import InputError, OrderBookError, ScenarioError
from shopsim.shop.order_book import load_order_book
from shopsim.shop.scenario_file import load_scenario
from shopsim.shop.shop_file import load_shop

HERE = Path(__file__).parent
BROKEN = HERE / "broken"


def expected_messages() -> dict[str, list[str]]:
    messages: dict[str, list[str]] = {}
    for line in (HERE / "broken_messages.txt").read_text(encoding="utf-8").splitlines():
        messages.setdefault(line.split(":", 1)[0], []).append(line)
    return messages


MESSAGES = expected_messages()


def test_the_collection_is_complete() -> None:
    assert sorted(MESSAGES) == sorted(file.name for file in BROKEN.iterdir())


def read(name: str) -> None:
    if name.endswith(".csv"):
        load_order_book(name, load_scenario(HERE / "book_shop.yaml"))
    else:
        load_shop(name)


@pytest.mark.parametrize("name", MESSAGES)
def test_a_broken_file_gives_its_messages(name: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(BROKEN)
    with pytest.raises(InputError) as caught:
        read(name)
    assert str(caught.value).splitlines() == MESSAGES[name]
    assert isinstance(caught.value, OrderBookError if name.endswith(".csv") else ScenarioError)


@pytest.mark.parametrize("name", ["small_shop.yaml", "book_shop.yaml"])
def test_the_files_they_were_made_from_are_sound(name: str) -> None:
    load_scenario(HERE / name)


def complaint(path: Path) -> str:
    with pytest.raises(ScenarioError) as caught:
        load_scenario(path)
    return str(caught.value).replace(str(path), path.name)


def test_a_file_of_50_mb_is_refused_unread(tmp_path: Path) -> None:
    path = tmp_path / "huge.yaml"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    assert complaint(path) == "huge.yaml: must be at most 2 MB, found 50.0 MB"


def test_an_alias_bomb_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bomb.yaml"
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 9)}]" for i in range(1, 9)]
    path.write_text("\n".join(lines), encoding="utf-8")
    assert complaint(path) == "bomb.yaml:1:5: anchors and aliases (& and *) are not allowed; write the value out"


def test_a_binary_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "picture.yaml"
    path.write_bytes(bytes(range(256)) * 10)
    assert complaint(path) == "picture.yaml: is a binary file, not text"


def test_a_very_deep_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "deep.yaml"
    path.write_text("a: " + "[" * 1_000_000, encoding="utf-8")
    assert complaint(path) == "deep.yaml:1:43: nested deeper than 40 levels"


@pytest.mark.parametrize("end", ["\n", "\r"])
def test_a_file_of_very_many_lines_is_refused(tmp_path: Path, end: str) -> None:
    path = tmp_path / "long.yaml"
    path.write_bytes(f"a{end}".encode() * 999_999)
    assert complaint(path) == "long.yaml: must have at most 50,000 lines, found 999,999"


def test_places_that_hold_no_file_are_refused(tmp_path: Path) -> None:
    assert complaint(tmp_path / "none.yaml") == "none.yaml: there is no such file"
    assert complaint(tmp_path).endswith(": is a folder, not a file")
    assert complaint(Path("/dev/null")).endswith(": is not a plain file")
    assert complaint(Path("a\0b")).endswith(": cannot be read: embedded null byte")


def book_complaint(path: Path) -> str:
    with pytest.raises(OrderBookError) as caught:
        load_order_book(path, load_scenario(HERE / "book_shop.yaml"))
    return str(caught.value).replace(str(path), path.name)


def test_a_zip_bomb_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "bomb.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as parts:
        for number in range(3):
            parts.writestr(f"xl/worksheets/sheet{number}.xml", b" " * 100_000_000)
    assert path.stat().st_size < 1_000_000
    assert book_complaint(path) == "bomb.xlsx: unzips to more than 200 MB"


def test_what_only_looks_like_a_workbook_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "text.xlsx"
    path.write_text("order_id,received\n", encoding="utf-8")
    assert book_complaint(path) == "text.xlsx: is not an XLSX workbook"
    with zipfile.ZipFile(path, "w") as parts:
        parts.writestr("hello.txt", "hello")
    assert book_complaint(path).startswith("text.xlsx: cannot be read as a workbook: ")


def test_faults_of_a_workbook_carry_their_row(tmp_path: Path) -> None:
    path = tmp_path / "orders.xlsx"
    book = Workbook()
    book.active.append(["order_id", "received", "due", "product", "pieces"])
    book.active.append(["A1", "2026-01-05 09:00", "2026-01-09", "banner", -3])
    book.active.append([None] * 5)
    book.active.append(["A2", "yesterday", True, "banner", 2.5])
    book.save(path)
    assert book_complaint(path).splitlines() == [
        "orders.xlsx:2: column pieces: must be a whole number of at least 1, found -3",
        "orders.xlsx:4: column received: must be a time like 2026-01-05 09:30, found 'yesterday'",
        "orders.xlsx:4: column due: must be a date like 2026-01-05, found true",
        "orders.xlsx:4: column pieces: must be a whole number of at least 1, found 2.5",
    ]


def test_a_book_of_too_many_rows_or_bytes_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "orders.csv"
    row = "A{},2026-01-05 09:00,2026-01-09,banner,1\n"
    header = "order_id,received,due,product,pieces\n"
    path.write_text(header + "".join(row.format(i) for i in range(200_001)), encoding="utf-8")
    assert book_complaint(path) == "orders.csv:200002: an order book holds at most 200000 rows"
    with path.open("wb") as file:
        file.truncate(21_000_000)
    assert book_complaint(path) == "orders.csv: must be at most 20 MB, found 21.0 MB"
