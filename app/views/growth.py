"""Growth."""

import streamlit as st

from app import state

st.title("Growth")
state.required()
st.caption("This page is still to come.")
