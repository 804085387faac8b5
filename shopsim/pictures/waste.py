"""What becomes of the cloth that is not sold, by cause."""

from __future__ import annotations

import pandas as pd
import plotly.graph_objects as go

from shopsim.figures import plain
from shopsim.pictures.columns import checked, rows_of
from shopsim.pictures.style import ROW_PX, VERMILION, Fill, error_bars, filled, height_px, label_rows, nothing, picture
from shopsim.pictures.text import between, label, listed, per_cent, spoken_id

_TITLE = "Cloth wasted a week, by cause"
_NONE = "Nothing to show: no cloth was used."
PIECES = "pieces"
CAUSES = {
    "gaps_and_edges": "gaps and edges", "leader": "leader at roll changes", "join": "joins",
    "tail_blank": "blank behind the last print", "stop": "stops in mid-image", "test": "nozzle checks and tests",
    "first_article": "first articles", "calender": "calender", "remnant_scrapped": "remnants scrapped",
    "reprints": "pieces printed again",
}  # fmt: skip


def waste_by_cause(table: pd.DataFrame) -> go.Figure:
    """Square metres a week of web by cause, the greatest first.

    Columns: cause (of `measures.summaries.web_table`, or `reprints`), m2_per_week, and perhaps low, high. The row
    `pieces` is what lies under pieces; it is no waste and is told in words only.
    """
    found, pieces_m2 = _ranked(table)
    if found.empty:
        return nothing(_TITLE, _NONE)
    figure = picture(_TITLE, height_px(ROW_PX * len(found), 0))
    amounts = found["m2_per_week"].tolist()
    figure.add_bar(
        orientation="h", y=list(range(len(found))), x=amounts, marker=filled(Fill(VERMILION)), showlegend=False,
        error_x=error_bars(amounts, found["low"].tolist(), found["high"].tolist()),
        hovertemplate="%{x:.1f} m² a week<extra></extra>",
    )  # fmt: skip
    whole = sum(amounts) + pieces_m2
    label_rows(figure, [
        f"{label(row.words, 30)}: {between(row.m2_per_week, row.low, row.high, least=0)} m², "
        f"{per_cent(row.m2_per_week / whole)}"
        for row in rows_of(found)
    ])  # fmt: skip
    figure.update_xaxes(title_text="m² a week (and % of the cloth used)", rangemode="tozero", nticks=6)
    return figure


def waste_by_cause_in_words(table: pd.DataFrame) -> str:
    """The share wasted, and the three causes that waste most."""
    found, pieces_m2 = _ranked(table)
    if found.empty:
        return _NONE
    wasted = float(found["m2_per_week"].sum())
    most = listed(f"{row.words} {plain(row.m2_per_week)} m²" for row in rows_of(found.head(3)))
    return (
        f"{plain(wasted)} of {plain(wasted + pieces_m2)} m² of cloth a week are wasted "
        f"({per_cent(wasted / (wasted + pieces_m2))}), most of it by {most}."
    )


def _ranked(table: pd.DataFrame) -> tuple[pd.DataFrame, float]:
    found = checked(table, "waste by cause", ["cause"], ["m2_per_week"], may_miss=["low", "high"])
    pieces_m2 = float(found[found["cause"] == PIECES]["m2_per_week"].sum())
    found = found[(found["cause"] != PIECES) & (found["m2_per_week"] > 0)]
    found = found.sort_values("m2_per_week", ascending=False, kind="stable").reset_index(drop=True)
    found["words"] = [CAUSES.get(cause, spoken_id(cause)) for cause in found["cause"]]
    return found, pieces_m2
