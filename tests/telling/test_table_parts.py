"""Tables wider than the terminal: headings of several lines, then a table below; no cell is ever cut."""

from __future__ import annotations

import io
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from tempfile import mkdtemp

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.console import Console

from shopsim.doors.asked import asked_of
from shopsim.studies.engine import LocalEngine
from shopsim.studies.runner import Runner
from shopsim.terminal.tables import Noted, NotePad, print_table, print_text
from tests.report.made import ASKED, write_all

WIDEST = ("88", "12", "1,234,567", "−1,234,567", "12: 1,234,567", "100.0", "all runs alike", "yes ~", "1,234",
          "“3.2 m printer with heat plate, entry class”, 43.5 % or 12 others")  # fmt: skip
CREW_HEADS = ("hemmers night shift", "owner", "pay, CU a week", "left over", "seats to add", "on time, %", "95 %",
              "enough", "runs", "held back most by")  # fmt: skip


def printed(columns: Sequence[str], rows: Sequence[Sequence[str]], width: int = 80, **ways: object) -> str:
    out = io.StringIO()
    print_table(Console(file=out, width=width), "Title", columns, rows, **ways)  # type: ignore[arg-type]
    return out.getvalue()


def lines(text: str) -> list[str]:
    return [line.rstrip() for line in text.splitlines()]


def test_headings_take_several_lines_before_anything_else_gives_way() -> None:
    text = printed(("crew", "pay, CU a week", "left over"), [("1", "3,648", "1,691")], width=20, wraps=())
    assert lines(text) == [
        "", "Title", "       pay,", "       CU a   left", "crew   week   over", "─" * 18, "   1  3,648  1,691",
    ]  # fmt: skip
    wide = printed(("crew", "pay, CU a week", "left over"), [("1", "3,648", "1,691")], width=31, wraps=())
    assert lines(wide)[2] == "crew  pay, CU a week  left over"


def test_a_table_too_wide_goes_on_below_with_its_first_columns() -> None:
    text = printed(("a", "b", "mean", "95 %", "runs"), [("1", "2", "81.5", "81.0 to 82.0", "20")], width=24,
                   wraps=(), keys=2, beside=(3,), note="Noted.")  # fmt: skip
    assert lines(text) == [
        "", "Title",
        "a  b  mean          95 %", "─" * 24, "1  2  81.5  81.0 to 82.0", "",
        "a  b  runs", "─" * 10, "1  2    20", "Noted.",
    ]  # fmt: skip
    # One sign less room, and the interval takes its mean along rather than stand alone.
    narrow = lines(printed(("a", "mean", "95 %"), [("1", "81.5", "81.0 to 82.0")], width=20, wraps=(), beside=(2,)))
    assert narrow[2].split() == ["a", "mean", "95", "%"]


def test_the_widest_crews_are_whole_at_80_columns() -> None:
    text = printed(CREW_HEADS, [WIDEST], texts=(7,), wraps=(9,), keys=2, beside=(6,))
    assert max(map(len, text.splitlines())) <= 80
    for cell in WIDEST[:-1]:
        assert cell in text
    for word in (*" ".join(CREW_HEADS).split(), *WIDEST[-1].split()):
        assert word in text
    assert text.count("88  ") == 2
    assert text.index("100.0  all runs alike") > 0


def test_a_cell_wider_than_the_terminal_is_broken_but_whole() -> None:
    text = printed(("a", "b"), [("1", "9" * 50)], width=30, wraps=())
    assert text.count("9") == 50


@given(st.integers(1, 12).flatmap(lambda n: st.tuples(
    st.lists(st.text("abc de", min_size=1, max_size=16), min_size=n, max_size=n),
    st.lists(st.lists(st.integers(-10**9, 10**9), min_size=n, max_size=n), min_size=1, max_size=3),
    st.sets(st.integers(0, n - 1)), st.sets(st.integers(1, max(1, n - 1))), st.integers(0, 3),
)))  # fmt: skip
def test_no_number_is_lost(drawn: tuple[list[str], list[list[int]], set[int], set[int], int]) -> None:
    heads, rows, wraps, beside, keys = drawn
    cells = [[f"{number:,}" for number in row] for row in rows]
    text = printed(heads, cells, wraps=tuple(wraps), beside=tuple(beside), keys=keys)
    assert max(map(len, text.splitlines())) <= 80
    shown = text.split()
    # Four columns of such numbers side by side always fit; wider chains of intervals may be broken, but whole.
    if len(beside) < 3:
        assert all(cell in shown for row in cells for i, cell in enumerate(row) if i not in wraps)
    assert sum(map(str.isdigit, text)) >= sum(str.isdigit(sign) for row in cells for cell in row for sign in cell)


@cache
def pages() -> dict[str, tuple[list[Noted], str]]:
    """Of every kind of question: its tables as they are noted, and its page at 80 columns."""
    folder = Path(mkdtemp())
    path = write_all(folder)
    found = {}
    for asked in (*ASKED, "crew --crew sewer=1..2 --crew packer=1..2 --target 60"):
        question = asked_of(asked.replace("what_ifs/", f"{folder}/what_ifs/"), str(path))
        answer, pad, out = question.study(Runner(LocalEngine(1))), NotePad(), io.StringIO()
        question.show(pad, answer)
        question.show(Console(file=out, width=80), answer)
        found[asked] = pad.tables, out.getvalue()
    return found


@pytest.mark.parametrize("asked", [*ASKED, "crew --crew sewer=1..2 --crew packer=1..2 --target 60"])
def test_no_cell_of_any_page_is_lost_at_80_columns(asked: str) -> None:
    tables, text = pages()[asked]
    assert tables
    assert max(map(len, text.splitlines())) <= 80
    # What wraps stands on several lines, so that it is looked for word by word, and long names by their signs.
    for table in tables:
        for row in table.rows:
            for i, cell in enumerate(row):
                for piece in [cell] if i not in table.texts else [word for word in cell.split() if len(word) <= 14]:
                    assert piece in text, (table.title, piece)


def test_a_word_with_a_hyphen_stays_on_its_line() -> None:
    out = io.StringIO()
    print_text(Console(file=out, width=60), "A third printer, a smaller one for flags, surely lowers on-time delivery.")
    assert lines(out.getvalue()) == ["A third printer, a smaller one for flags, surely lowers", "on-time delivery."]
