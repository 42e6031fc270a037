"""What to do, in words for a patient; then what a very high real reading asks for."""

from __future__ import annotations

import streamlit as st

from sim.screens.cautions.texts import EMERGENCY_NONE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE, ONE_READING
from sim.screens.present.room import Room


def show(room: Room) -> None:
    """The takeaway and its steps."""
    takeaway = room.lesson.takeaway
    st.markdown(f"**{takeaway.text}**")
    st.markdown("\n".join(f"{i}. {step}" for i, step in enumerate(takeaway.steps, 1)))


def get_help(room: Room) -> None:
    """The advice that every lesson ends with."""
    st.markdown(f"**{ONE_READING}** Never change a treatment because of what you saw here: ask your clinician.")
    st.markdown(f"**{EMERGENCY_TITLE}.** {EMERGENCY_SYMPTOMS}")
    st.markdown(EMERGENCY_NONE)
    st.markdown("Your local emergency advice comes first.")
