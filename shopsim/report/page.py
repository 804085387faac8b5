"""The report as one HTML page that needs nothing from outside: styles, scripts and pictures stand in it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache, singledispatch
from importlib.resources import files
from typing import Any

from shopsim import __version__
from shopsim.pictures.style import CONFIG
from shopsim.pictures.text import capital
from shopsim.report.blocks import Block, Drawing, Lines, Open, Para, Picture, Section, Table, Verbatim
from shopsim.report.contents import Contents
from shopsim.report.markup import Markup, element, escaped, joined, preformatted, script_json
from shopsim.report.whole import sections_of

_POLICY = (
    "default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline'; img-src data: blob:; font-src data:; "
    "base-uri 'none'; form-action 'none'"
)
WIDTH_PX = 680
"""Width of the text: that of A4 between margins of 15 mm, so that pictures drawn on a screen fit on paper."""
_WIDE_COLUMNS = 7
# A table of so many rows stands on one page of paper.
_WHOLE_ROWS = 24
_HANDBOOK_ROW = re.compile(r"[A-Z]{3}-\d\d(\.\.\d\d)?")
_LETTERS_ABREAST, _LEAST_LETTERS = 90, 10

# Each figure waits as data beside its place. Pictures are drawn once the page is there, and again when it is printed
# from a narrow screen.
_DRAW = """
document.querySelectorAll('script[type="application/json"]').forEach(data => {
  const place = document.getElementById(data.dataset.place)
  const figure = JSON.parse(data.textContent)
  figure.layout.autosize = true
  delete figure.layout.width
  Plotly.newPlot(place, figure.data, figure.layout, CONFIG)
})
addEventListener('beforeprint', () => document.querySelectorAll('.plot').forEach(plot => Plotly.Plots.resize(plot)))
"""


def page_of(contents: Contents) -> str:
    """The page as text. Raises InputError as `rerun.files_of`."""
    sections = sections_of(contents)
    drawn = _Pictures()
    body = [_section(section, drawn) for section in sections]
    head = element(
        "header",
        element("p", "Report of a simulation", class_="kicker"),
        element("h1", contents.name),
        element("p", _made(contents), class_="small"),
    )
    main = element("main", *body[:1], _contents_list(sections), *body[1:], id="main")
    return (
        f'<!doctype html>\n<html lang="en">{_head(contents)}<body>'
        f"{joined(element('a', 'To the report', href='#main', class_='skip'), head, main, _foot())}"
        f"{_scripts(drawn)}</body></html>\n"
    )


class _Pictures:
    """Figures in the order in which they stand on the page."""

    def __init__(self) -> None:
        self.figures: list[dict[str, Any]] = []

    def place(self, figure: dict[str, Any]) -> str:
        """The id of the next picture's place."""
        self.figures.append(figure)
        return f"picture_{len(self.figures)}"


def _made(contents: Contents) -> str:
    by = f", by {contents.author}" if contents.author else ""
    return f"Made on {contents.made_on.isoformat()} with shopsim {__version__}{by}, from {contents.scenario_file}"


def _head(contents: Contents) -> Markup:
    return element(
        "head",
        Markup('<meta charset="utf-8">'),
        Markup(f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">'),
        Markup('<meta name="viewport" content="width=device-width, initial-scale=1">'),
        Markup('<meta name="referrer" content="no-referrer">'),
        element("title", f"{contents.name}: report of a simulation"),
        Markup(f"<style>{_style()}</style>"),
    )


@cache
def _style() -> str:
    return files("shopsim.report").joinpath("page.css").read_text(encoding="utf-8")


def _contents_list(sections: tuple[Section, ...]) -> Markup:
    links = [element("li", element("a", section.title, href=f"#{section.id}")) for section in sections[1:]]
    return element("nav", element("h2", "What follows"), element("ul", *links), aria_label="Contents")


def _section(section: Section, drawn: _Pictures) -> Markup:
    heading = element(f"h{section.level}", section.title, id=section.id)
    inside = [_block(block, drawn) for block in section.blocks]
    below = [_section(each, drawn) for each in section.sections]
    classes = "new_page" if section.new_page else "first" if section.id == "in_short" else None
    return element("section", heading, *inside, *below, aria_labelledby=section.id, class_=classes)


def _block(block: Block, drawn: _Pictures) -> Markup:
    if isinstance(block, Picture):
        place = drawn.place(block.figure)
        # The caption is the text alternative: a picture with buttons inside may not be called an image.
        return element(
            "figure", element("div", id=place, class_="plot"), element("figcaption", capital(block.words))
        )  # fmt: skip
    return _still(block)


@singledispatch
def _still(block: Block) -> Markup:
    raise TypeError(f"no block: {block!r}")


@_still.register
def _(block: Para) -> Markup:
    return element("p", block.text, class_=None if block.style == "plain" else block.style)


@_still.register
def _(block: Open) -> Markup:
    return element("p", element("strong", "Open, for a person to fill in:"), Markup(" "), block.text, class_="open")


@_still.register
def _(block: Lines) -> Markup:
    caption = element("p", block.caption, class_="caption") if block.caption else None
    return element("div", caption, element("ul", *(element("li", line) for line in block.lines)), class_="lines")


@_still.register
def _(block: Verbatim) -> Markup:
    return preformatted(block.text)


@_still.register
def _(block: Drawing) -> Markup:
    words = element("details", element("summary", "The same in words"), element("p", block.words), open="open")
    return element("figure", block.svg, words, class_="drawing")


@_still.register
def _(block: Table) -> Markup:
    # No caption of the table's own: on paper that may stand alone at the foot of a page.
    caption = element("p", block.title, class_="caption") if block.title else None
    body = element("tbody", *(_row(block, row) for row in block.rows))
    # A table that is wider than a phone scrolls in a place of its own, which the keyboard must reach.
    wide = "wide" if len(block.columns) >= _WIDE_COLUMNS else None
    rows = element("table", _heads(block), body, class_=wide, aria_label=block.title or None)
    shown = element("div", rows, class_="scroll", tabindex="0", role="group", aria_label=block.title or "table")
    note = element("p", block.note, class_="note") if block.note else None
    return element("div", caption, shown, note, class_="table whole" if len(block.rows) <= _WHOLE_ROWS else "table")


def _heads(block: Table) -> Markup | None:
    if not any(block.columns):
        return None
    # An empty heading is no heading for those who hear the page.
    cells = [
        _cell("th", block, i, name, scope="col") if name else _cell("td", block, i, "")
        for i, name in enumerate(block.columns)
    ]
    return element("thead", element("tr", *cells))


def _row(block: Table, row: tuple[str, ...]) -> Markup:
    first = _cell("th", block, 0, row[0], scope="row") if row[0].strip() else _cell("td", block, 0, "")
    others = [_cell("td", block, i, text) for i, text in enumerate(row[1:], start=1)]
    # A row that belongs to the one above stands in by two spaces.
    return element("tr", first, *others, class_="inner" if row[0].startswith("  ") else None)


def _cell(tag: str, block: Table, column: int, text: str, **more: str) -> Markup:
    # A word is broken only where it would else push its table off the page; ids break at their underscores before.
    most = max(_LEAST_LETTERS, _LETTERS_ABREAST // len(block.columns))
    long = any(len(word) > most for word in text.replace("_", " ").split())
    row_id = _HANDBOOK_ROW.fullmatch(text)
    classes = [
        name for name, given in (("number", column not in block.left), ("long", long), ("row_id", row_id)) if given
    ]
    return element(tag, Markup(escaped(text).replace("_", "_<wbr>")), class_=" ".join(classes) or None, **more)


def _scripts(drawn: _Pictures) -> str:
    return "".join(_each_script(drawn))


def _each_script(drawn: _Pictures) -> Iterator[str]:
    if not drawn.figures:
        return
    from plotly.offline import get_plotlyjs

    for number, figure in enumerate(drawn.figures, start=1):
        yield f'<script type="application/json" data-place="picture_{number}">{script_json(figure)}</script>'
    yield f"<script>{get_plotlyjs()}</script>"
    yield f"<script>const CONFIG = {script_json(CONFIG)}\n{_DRAW}</script>"


def _foot() -> Markup:
    return element(
        "footer", element("p", escaped("Planning aid only. Made by shopsim; see how to run it again."), class_="small")
    )
