"""The cautions, one click from every screen."""

from __future__ import annotations

import streamlit as st

from sim.screens import heading
from sim.screens.cautions.texts import (
    CAUTIONS,
    EMERGENCY_NONE,
    EMERGENCY_SOURCE,
    EMERGENCY_SYMPTOMS,
    EMERGENCY_TITLE,
    SHORT,
)


def show() -> None:
    """All cautions, the emergency one first."""
    heading.title("Cautions", "Cautions")
    st.markdown(SHORT)
    with st.container(key="emergency"):
        st.header(EMERGENCY_TITLE, anchor=False)
        st.markdown(EMERGENCY_SYMPTOMS)
        st.markdown(EMERGENCY_NONE)
        st.caption(EMERGENCY_SOURCE)
    for caution in CAUTIONS:
        st.header(caution.title, anchor=False)
        st.markdown(caution.text)
        st.caption(caution.source)
