"""Shop."""

import streamlit as st

from app import state

st.title("Shop")
state.required()
st.caption("This page is still to come.")
