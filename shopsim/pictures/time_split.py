"""How the hours of printers, places or people split by what they do."""

from __future__ import annotations

from collections.abc import Sequence

import pandas as pd
import plotly.graph_objects as go

from shopsim.pictures.columns import checked
from shopsim.pictures.states import GROUPS, group_of
from shopsim.pictures.style import ROW_BAR, filled, height_px, label_rows, nothing, picture, row_places, rows_px, tag
from shopsim.pictures.text import capital, label, listed, per_cent, spoken_id, wrapped

HOURS_PER_WEEK = 168
_TITLES = {
    "printer": "Printers: what their hours go to", "place": "Places: what their open hours go to",
    "person": "People: what their hours go to", "crew": "Crews: what their hours go to",
}  # fmt: skip
# A number needs some room; smaller parts are told on hover.
_ROOM = 0.08
_UNPAID = "break"


def time_split(table: pd.DataFrame, kind: str) -> go.Figure:
    """Stacked shares of the hours in which each `printer`, `place`, `person` or `crew` is there, off and closed hours
    and unpaid breaks left out.

    Columns: kind, id, state (as in the records), share (of all hours of the week, 0 to 1), and perhaps
    `unattended_share` (the part of it in which nobody is there): waits and stops of a printer with nobody there do not
    count, nor do unfinished pieces on the seats of a closed place.
    """
    parts = _parts(table, kind)
    if parts.empty:
        return nothing(_TITLES[kind], f"Nothing to show: no {kind} was there in these weeks.")
    ids = list(dict.fromkeys(parts["id"]))
    groups = [name for name in GROUPS if name in set(parts["group"])]
    labels = [wrapped(name) for name in ids]
    figure = picture(_TITLES[kind], height_px(rows_px(labels), len(groups)))
    places, reached = row_places(labels), [0.0] * len(ids)
    for group in groups:
        mine = parts[parts["group"] == group].set_index("id").reindex(ids)
        share = mine["part"].fillna(0.0)
        hours = mine["share"].fillna(0.0) * HOURS_PER_WEEK
        figure.add_bar(
            orientation="h", name=group, y=places, width=ROW_BAR, x=(share * 100).tolist(),
            marker=filled(GROUPS[group]),
            hovertemplate="%{customdata}<extra></extra>",
            customdata=[
                f"{label(name)}<br>{group}: {per_cent(value)} of its hours, {hour:.1f} h a week"
                for name, value, hour in zip(ids, share, hours, strict=True)
            ],
        )  # fmt: skip
        for i, value in enumerate(share):
            if value >= _ROOM:
                tag(figure, (reached[i] + value / 2) * 100, places[i], f"{value * 100:.0f}")
            reached[i] += value
    figure.update_layout(barmode="stack")
    figure.update_xaxes(range=[0, 100], title_text="% of the hours it is there", nticks=6)
    label_rows(figure, labels)
    return figure


def time_split_in_words(table: pd.DataFrame, kind: str) -> str:
    """One sentence for each: the three groups that take most of its hours."""
    parts = _parts(table, kind)
    if parts.empty:
        return f"Nothing to show: no {kind} was there in these weeks."
    lines = []
    for name in dict.fromkeys(parts["id"]):
        mine = parts[parts["id"] == name].sort_values("part", ascending=False, kind="stable")
        hours = mine["share"].sum() * HOURS_PER_WEEK
        most = [f"{group} {per_cent(part)}" for group, part in zip(mine["group"], mine["part"], strict=True)][:3]
        lines.append(f"{capital(spoken_id(name))}, {hours:.1f} h a week: {listed(most)}.")
    return " ".join(lines)


def _parts(table: pd.DataFrame, kind: str) -> pd.DataFrame:
    """id, group, share (of the week) and part (of the hours it is there), in the order of the table and of `GROUPS`."""
    if kind not in _TITLES:
        raise ValueError(f"kind must be one of {', '.join(_TITLES)}, found {kind!r}")
    found = checked(table, "time split", ["kind", "id", "state"], ["share"], may_miss=["unattended_share"])
    found = found[found["kind"] == kind]
    groups = [group_of(kind, state) for state in found["state"]]
    counted = [_attended(group, *row) for group, row in zip(groups, _shares(found), strict=True)]
    rows = pd.DataFrame({"id": found["id"].tolist(), "group": groups, "share": counted})
    rows = rows[rows["group"].notna() & (rows["group"] != _UNPAID) & (rows["share"] > 0)]
    rows["group"] = pd.Categorical(rows["group"], categories=list(GROUPS))
    rows = rows.groupby(["id", "group"], sort=False, observed=True)["share"].sum().reset_index()
    first = {name: i for i, name in enumerate(dict.fromkeys(found["id"]))}
    rows = rows.sort_values("group", kind="stable")
    rows = rows.sort_values("id", kind="stable", key=lambda ids: ids.map(first)).reset_index(drop=True)
    rows["part"] = rows["share"] / rows.groupby("id")["share"].transform("sum")
    return rows


def _shares(found: pd.DataFrame) -> Sequence[tuple[float, float]]:
    alone = found["unattended_share"].fillna(0.0)
    return list(zip(found["share"].tolist(), alone.tolist(), strict=True))


def _attended(group: str | None, share: float, alone: float) -> float:
    """With nobody there only printing and set-up are planned hours (`measures.iso_terms`)."""
    return share if group in ("printing", "tail", "set-up") else share - alone
