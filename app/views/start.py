"""Where a visit begins: a demo, a file, or what was open before."""

import streamlit as st

from app import state
from app.drafts import Draft, ago
from app.say import faults, help_text, plain
from shopsim.errors import InputError
from shopsim.shop.demos import DEMOS, files_of

LATEST = 8
st.title("Ask the shop")
help_text("start")


def take(files: dict[str, bytes]) -> None:
    """Open files as a new draft and go on to the first question, or tell what is wrong with them."""
    try:
        state.open_draft(state.drafts().new(files))
    except InputError as fault:
        faults(fault.problems)
    else:
        st.switch_page("views/as_we_are.py")


st.header("Start from a demo", divider="gray")
for demo, column in zip(DEMOS, st.columns(len(DEMOS)), strict=True):
    with column:
        st.markdown(f"**{plain(demo.title)}**  \n{plain(demo.line)}")
        if st.button("Start from this", key=f"demo.{demo.prefix}"):
            take(files_of(demo))

st.header("Open files", divider="gray")
given = st.file_uploader(
    "A scenario (.yaml), with its order book (.csv, .xlsx) and what-ifs if there are any",
    type=["yaml", "yml", "csv", "xlsx"], accept_multiple_files=True, max_upload_size=20,
)  # fmt: skip
if given and st.button("Open", type="primary"):
    take({each.name: each.getvalue() for each in given})


def offer(drafts: list[Draft]) -> None:
    """A button for each, which opens it."""
    for draft in drafts:
        label = f"{plain(state.title_of(draft))}, {ago(draft)}"
        if st.button(label, key=f"draft.{draft.id}", icon=":material/history:"):
            state.open_draft(draft)
            st.switch_page("views/as_we_are.py")


kept = state.drafts().listed()
if kept:
    st.header("Continue where you were", divider="gray")
    offer(kept[:LATEST])
    older = kept[LATEST:]
    if older:
        with st.expander(f"Older ones ({len(older)})", icon=":material/manage_search:"):
            words = st.text_input("Whose name holds", key="start.older").casefold().split()
            found = [each for each in older if all(word in state.title_of(each).casefold() for word in words)]
            offer(found)
            if not found:
                st.caption("None of them.")
