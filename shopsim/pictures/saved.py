"""Pictures with their words on one page that needs nothing from outside."""

from __future__ import annotations

import html
from collections.abc import Sequence
from typing import Any

import plotly.graph_objects as go
from plotly.offline import get_plotlyjs

from shopsim.pictures.style import CONFIG, FONT


def saved_page(title: str, above: str, pictures: Sequence[tuple[dict[str, Any], str]]) -> str:
    """A page (HTML) of figures as plain values, each with the same in words; ``above`` is said first."""
    parts = [
        go.Figure(figure).to_html(full_html=False, include_plotlyjs=False, config=CONFIG)
        + f"<p>{html.escape(words)}</p>"
        for figure, words in pictures
    ]
    return (
        f'<!doctype html><html lang="en"><head><meta charset="utf-8"><title>{html.escape(title)}</title>'
        '<meta name="viewport" content="width=device-width">'
        f"<style>body{{font-family:{FONT};margin:12px;max-width:60rem}}</style><script>{get_plotlyjs()}</script></head>"
        f"<body><h1>{html.escape(title)}</h1><p>{html.escape(above)}</p>{''.join(parts)}</body></html>\n"
    )
