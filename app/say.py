"""Text for the page. Names come from files: nothing in them is ever read as markup."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

import streamlit as st

from shopsim.cautions import STANDING_TEXT
from shopsim.errors import Problem
from shopsim.pictures.style import CONFIG, dressed
from shopsim.pictures.text import capital, unbroken

_MARKS = re.compile(r"([!-/:-@\[-`{-~])")
# Every column has a heading for who listens to the page; after the first, those without one hold units and remarks.
_NO_HEADING = ("What", "Unit")
_ROW = re.compile(r"(.*) \((SAF-\d+)\)\.")
_TEXTS = Path(__file__).resolve().parent / "text"


def plain(text: object) -> str:
    """Any text as Markdown that shows exactly this text, without line breaks of its own or any before a unit."""
    return _MARKS.sub(r"\\\1", unbroken(" ".join(str(text).split())))


def _cell(text: object) -> str:
    # A row that belongs to the one above stands in by two spaces, which Markdown would swallow.
    return ("\u2003" if str(text).startswith("  ") else "") + plain(text)


def stop_with(why: str) -> None:
    """End the page with a reason; go on where there is none."""
    if why:
        st.error(plain(why), icon=":material/error:")
        st.stop()


def help_text(name: str) -> None:
    """Longer prose, from `text/name.md`."""
    st.markdown((_TEXTS / f"{name}.md").read_text(encoding="utf-8"))


def table(columns: Sequence[str], rows: Iterable[Sequence[object]], left: Sequence[int] = (0,), title: str = "",
          note: str = "") -> None:  # fmt: skip
    """A table that can be read, printed and copied; columns numbered in `left` stand left, numbers right."""
    if title:
        st.markdown(f"**{plain(title)}**")
    sides = [":---" if i in left else "---:" for i in range(len(columns))]
    headings = [plain(name) or _NO_HEADING[i > 0] for i, name in enumerate(columns)]
    lines = [headings, sides, *([_cell(cell) for cell in row] for row in rows)]
    st.markdown("\n".join(f"| {' | '.join(cells)} |" for cells in lines))
    if note:
        st.caption(plain(note))


def noted(tables: Iterable[Mapping[str, Any]]) -> None:
    """Tables as the command line shows them."""
    for each in tables:
        table(each["columns"], each["rows"], each["texts"], each["title"], each["note"])


def picture(figure: Any, words: str, key: str | None = None) -> None:
    """A Plotly figure with its text alternative, which stands below it as well: it prints, and is read by everyone."""
    shown = dressed(figure, dark=st.context.theme.type == "dark")
    st.plotly_chart(shown, width="stretch", theme=None, alt=words, key=key, config=CONFIG)
    st.caption(plain(capital(words)))


def cautions(lines: Sequence[str]) -> None:
    """Notes of a what-if and what a change asks to be careful about, with who decides."""
    if lines:
        told = "\n".join(map(_caution, lines))
        st.warning(f"{told}\n\n{plain(STANDING_TEXT)}", icon=":material/health_and_safety:")


def option_cautions(notes: Mapping[str, Sequence[str]]) -> None:
    """Notes and cautions under the name of the option they come from, with who decides said once."""
    noted = {name: lines for name, lines in notes.items() if lines}
    if noted:
        told = [f"**{plain(name)}**\n\n" + "\n".join(map(_caution, noted[name])) for name in noted]
        st.warning("\n\n".join([*told, plain(STANDING_TEXT)]), icon=":material/health_and_safety:")


def _caution(line: str) -> str:
    """A line of a list; the row of the handbook at its end is small: it leads nowhere on a page."""
    found = _ROW.fullmatch(line)
    return f"- {plain(line)}" if found is None else f"- {plain(found[1])}. :small[{plain(found[2])}]"


def faults(problems: Iterable[Problem]) -> None:
    """Every fault of something that was read, with its place."""
    told = [str(problem) for problem in problems]
    count = f"{len(told)} things need mending" if len(told) > 1 else "One thing needs mending"
    st.error(f"{count}:\n\n" + "\n".join(f"- {plain(each)}" for each in told), icon=":material/error:")
