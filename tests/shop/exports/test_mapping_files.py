"""Mapping files: strict, every fault with its place; proposals that leave open what the values do not settle."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopsim.errors import ExportError, MappingError
from shopsim.shop.exports.mapping import dump_mapping, load_mapping, parse_mapping
from shopsim.shop.exports.reading import read_export
from shopsim.shop.exports.suggestion import suggest_mapping

UGLY = Path(__file__).parent / "ugly"


@pytest.mark.parametrize("path", sorted(UGLY.glob("*.map.yaml")), ids=lambda path: path.name)
def test_a_mapping_written_and_read_is_the_same(path: Path) -> None:
    mapping = load_mapping(path)
    assert parse_mapping(dump_mapping(mapping), "again") == mapping


def test_every_fault_of_a_mapping_has_its_place() -> None:
    text = """\
table: orders
colums: {}
columns:
  order_id: Order
  widht_m: {heading: W, unit: cm}
  width_m: {heading: W, unit: parsec}
  approved: {heading: Proof, clock: "25:00"}
"""
    with pytest.raises(MappingError) as told:
        parse_mapping(text, "map.yaml")
    assert str(told.value) == (
        "map.yaml:2:1: colums: unknown key 'colums'; did you mean 'columns'? allowed: table, sheets, header, "
        "decimal_mark, date_order, serials_from, columns, default_sizes, duplicates, leave_out, note"
    )
    with pytest.raises(MappingError) as told:
        parse_mapping(text.replace("colums: {}\n", ""), "map.yaml")
    assert str(told.value) == (
        "map.yaml:2:1: columns: the table orders needs received, due, product, pieces\n"
        "map.yaml:4:3: columns.widht_m: the table orders has no such column; did you mean 'width_m'? known: order_id, "
        "received, due, product, pieces, width_m, height_m, size, rush, repeat, approved, cancelled, priority, "
        "shipped, status, pieces_done\n"
        "map.yaml:5:25: columns.width_m.unit: 'parsec' is no unit here; known: m, mtr, metre, metres, meter, meters, "
        "lfm, cm, mm, in, inch, inches, \", ft, feet, '\n"
        "map.yaml:6:30: columns.approved.clock: must be a clock time from 00:00 to 23:59, found '25:00'"
    )


def test_a_file_without_the_headings_says_which_are_nearest(tmp_path: Path) -> None:
    export = tmp_path / "export.csv"
    export.write_text("Ordr,Received,Due,Item,Qty\nA1,2026-01-05,2026-01-12,flag,1\n", encoding="utf-8")
    with pytest.raises(ExportError) as told:
        read_export(export, load_mapping(UGLY / "02_title_and_totals.map.yaml"))
    assert str(told.value) == (
        f"{export}:1: no row holds all headings of the mapping; nearest is this one: no column 'Order'; did you mean "
        "'Ordr'? there are: Ordr, Received, Due, Item, Qty"
    )


def test_an_unclosed_quote_is_refused_not_swallowed(tmp_path: Path) -> None:
    export = tmp_path / "export.csv"
    rows = "".join(f"A{i},2026-01-05,2026-01-12,flag,1\n" for i in range(40))
    export.write_text('Order,Received,Due,Item,Qty\nA,2026-01-05,2026-01-12,"flag,1\n' + rows, encoding="utf-8")
    with pytest.raises(ExportError) as told:
        read_export(export, load_mapping(UGLY / "02_title_and_totals.map.yaml"))
    assert str(told.value) == f"{export}:2: a quote that begins in this row is not closed"


def test_a_proposal_for_a_german_order_list(tmp_path: Path) -> None:
    export = tmp_path / "liste.csv"
    export.write_text(
        "Auftragsliste\nAuftrags-Nr.;Datum;Uhrzeit;Liefertermin;Artikel;Menge;Breite (cm);Höhe (cm);Bemerkung\n"
        "4711;25.01.2026;08:15;02.02.2026;Beachflag;2;85;200,5;eilt\n",
        encoding="utf-8",
    )
    found = suggest_mapping(export, products={"beach_flag": "Beach flag", "banner": "Banner"})
    assert dump_mapping(found.mapping) == (
        'table: orders\ndecimal_mark: ","\ncolumns:\n'
        "  order_id: Auftrags-Nr.\n  received: [Datum, Uhrzeit]\n  due: Liefertermin\n"
        "  product: {heading: Artikel, values: {Beachflag: beach_flag}}\n  pieces: Menge\n"
        '  width_m: {heading: Breite (cm), unit: cm}\n  height_m: {heading: "Höhe (cm)", unit: cm}\n'
    )
    assert found.doubts == ()
    reading = read_export(export, found.mapping)
    assert (reading.counts.accepted, reading.unread) == (1, ("Bemerkung",))


def test_a_proposal_leaves_open_what_the_values_do_not_settle(tmp_path: Path) -> None:
    export = tmp_path / "list.csv"
    export.write_text(
        "Order,Received,Due,Item,Qty,Width,Height\nA1,03/04/2026,05/04/2026,Moon banner,2,1.500,1.500\n",
        encoding="utf-8",
    )
    found = suggest_mapping(export, products={"flag": "Flag"})
    assert (found.mapping.date_order, found.mapping.decimal_mark) == (None, None)
    assert found.doubts == (
        "width_m: numbers without a unit in 'Width'; give `unit`",
        "height_m: numbers without a unit in 'Height'; give `unit`",
        "products without an id of ours, translate them under `values`: 'Moon banner'",
        "numbers like 1.500 could be 1.5 or 1500; give `decimal_mark`",
        "every date could have its day or its month first; give `date_order`",
    )


def test_a_proposal_names_statuses_that_are_not_known(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    rows = [("A1", "In production"), ("A2", "Waiting for glue"), ("A3", "frame fit"), ("A4", "Waiting for glue")]
    path.write_text("Order no;Order date;Due date;Item;Qty;Status\n" + "".join(
        f"{number};2026-01-05;2026-01-12;flag;1;{status}\n" for number, status in rows), encoding="utf-8")  # fmt: skip
    doubts = suggest_mapping(path, "orders", {"flag": ""}).doubts
    assert "texts of status that are not known, translate them under `values`: 'Waiting for glue'" in doubts


@pytest.mark.parametrize(
    ("first", "second", "order", "doubt"),
    [
        ("25/01/2026", "03/02/2026", "day_first", None),
        ("01/25/2026", "02/03/2026", "month_first", None),
        ("25/01/2026", "02/13/2026", None,
         "dates stand with the day first and with the month first; give `date_order` or mend the export"),
        ("25.01.2026", "2026-02-03", None, None),
    ],
)  # fmt: skip
def test_a_proposal_for_dates_of_which_one_tells(
    tmp_path: Path, first: str, second: str, order: str | None, doubt: str | None
) -> None:
    path = tmp_path / "list.csv"
    path.write_text(f"Order no;Order date;Due date;Item;Qty\nA1;{first};{second};flag;1\n", encoding="utf-8")
    found = suggest_mapping(path, "orders", {"flag": ""})
    assert found.mapping.date_order == order
    assert found.doubts == (() if doubt is None else (doubt,))


def test_a_proposal_takes_width_and_height_before_a_size_and_needs_no_product(tmp_path: Path) -> None:
    path = tmp_path / "list.csv"
    path.write_text(
        "Order no;Order date;Due date;Qty;Width cm;Height cm;Size\nA1;2026-01-05;2026-01-12;1;85;200;85 x 200 cm\n",
        encoding="utf-8",
    )
    found = suggest_mapping(path, "orders", {"flag": ""})
    assert list(found.mapping.columns) == ["order_id", "received", "due", "pieces", "width_m", "height_m"]
    assert found.doubts == ("no column found for product",)
