"""The frame around every page: the list of pages, which shop is open, what is running, and saving."""

from __future__ import annotations

from pathlib import Path

import streamlit as st

from app import panel, say, state
from app.say import plain

PAGES = {
    "": [("start", "Start", ":material/home:")],
    "The shop": [
        ("shop", "Shop", ":material/storefront:"),
        ("orders", "Orders", ":material/receipt_long:"),
        ("as_we_are", "As we are", ":material/monitoring:"),
        ("promise", "Promise a date", ":material/event_available:"),
        ("match", "Does it match?", ":material/fact_check:"),
    ],
    "What would change it": [
        ("what_if", "What if", ":material/alt_route:"),
        ("second_printer", "Second printer", ":material/print:"),
        ("sewing_crew", "Sewing crew", ":material/groups:"),
        ("shifts", "Shifts", ":material/schedule:"),
        ("growth", "Growth", ":material/trending_up:"),
    ],
    "To hand on": [
        ("report", "Report", ":material/description:"),
    ],
}


def show(here: Path) -> None:
    """Draw the frame and the page in it."""
    st.set_page_config("shopsim", str(here / "static" / "icon.png"), layout="wide")
    st.html(here / "static" / "page.css")
    pages = {
        section: [
            st.Page(here / "views" / f"{name}.py", title=title, icon=icon, url_path=name, default=name == "start")
            for name, title, icon in listed
        ]
        for section, listed in PAGES.items()
    }
    page = st.navigation(pages, expanded=True)
    say.stop_with(state.disk_complaint())
    state.begin()
    with st.sidebar:
        _open_shop()
        panel.running(page.url_path)
    page.run()
    state.drawn()


def _open_shop() -> None:
    draft = state.draft()
    if draft is None:
        return
    st.markdown(f"**{plain(state.title())}**")
    st.caption(plain(draft.name))
    st.download_button(
        "Save as files", draft.zipped, f"{draft.path.stem}.zip", "application/zip", on_click="ignore",
        icon=":material/download:", help="The shop, its orders and its what-ifs; the command line runs the same files.",
    )  # fmt: skip
