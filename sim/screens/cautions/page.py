"""The cautions, one click from every screen."""

from __future__ import annotations

import streamlit as st

from sim.say import say
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
    heading.title(say("Cautions"), say("Cautions"))
    st.markdown(say(SHORT))
    with st.container(key="emergency"):
        st.header(say(EMERGENCY_TITLE), anchor=False)
        st.markdown(say(EMERGENCY_SYMPTOMS))
        st.markdown(say(EMERGENCY_NONE))
        st.caption(say(EMERGENCY_SOURCE))
    for caution in CAUTIONS:
        st.header(say(caution.title), anchor=False)
        st.markdown(say(caution.text))
        st.caption(say(caution.source))
