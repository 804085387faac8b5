"""Exports that overlap: nothing counts twice, the last file is right."""

from __future__ import annotations

from pathlib import Path

from shopsim.shop.exports.own_files import mapping_of_own_file
from shopsim.shop.exports.reading import Reading, read_export
from shopsim.shop.exports.several_files import reject_overlaps

HEAD = "order_id,received,due,product,pieces,shipped\n"
LOG = "place,person,start,end,pieces\n"


def read(folder: Path, name: str, text: str, table: str = "orders") -> Reading:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return read_export(path, mapping_of_own_file(table, path))


def test_an_order_in_two_exports_goes_by_the_last(tmp_path: Path) -> None:
    may = read(tmp_path, "may.csv", HEAD + "A1,2026-05-04 09:00,2026-05-12,flag,1,2026-05-11 16:00\n"
                                           "A2,2026-05-28 09:00,2026-06-05,flag,2,\n")  # fmt: skip
    june = read(tmp_path, "june.csv", HEAD + "A2,2026-05-28 09:00,2026-06-05,flag,2,2026-06-04 16:00\n"
                                             "A3,2026-06-02 09:00,2026-06-12,pole,1,\n")  # fmt: skip
    reject_overlaps([may, june])
    rows = [row.values for reading in (may, june) for row in reading.usable]
    assert [(row["order_id"], "shipped" in row) for row in rows] == [("A1", True), ("A2", True), ("A3", False)]
    assert may.rows[1].reasons == [f"stands in {tmp_path / 'june.csv'} too, which is given later"]
    assert (may.counts.rejected, june.counts.rejected) == (1, 0)


def test_a_log_given_twice_counts_once(tmp_path: Path) -> None:
    text = LOG + "sewing,Kraft 1,2026-05-04 09:00,2026-05-04 09:30,2\nsewing,,2026-05-04 09:00,2026-05-04 09:40,2\n"
    one, other = (read(tmp_path, f"{name}.csv", text, "work_log") for name in ("one", "other"))
    reject_overlaps([one, other])
    assert (len(one.usable), len(other.usable)) == (0, 2)
    # Without a name another time is other work.
    third = read(tmp_path, "third.csv", LOG + "sewing,,2026-05-04 09:00,2026-05-04 09:50,2\n", "work_log")
    reject_overlaps([other, third])
    assert (len(other.usable), len(third.usable)) == (2, 1)
