"""What if."""

import streamlit as st

from app import state

st.title("What if")
state.required()
st.caption("This page is still to come.")
