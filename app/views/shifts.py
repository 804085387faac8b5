"""Shifts."""

import streamlit as st

from app import state

st.title("Shifts")
state.required()
st.caption("This page is still to come.")
