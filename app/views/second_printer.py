"""Second printer."""

import streamlit as st

from app import state

st.title("Second printer")
state.required()
st.caption("This page is still to come.")
