"""Sewing crew."""

import streamlit as st

from app import state

st.title("Sewing crew")
state.required()
st.caption("This page is still to come.")
