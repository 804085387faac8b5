"""Orders."""

import streamlit as st

from app import state

st.title("Orders")
state.required()
st.caption("This page is still to come.")
