"""What to do, in words for a patient; then what a very high real reading asks for."""

from __future__ import annotations

import streamlit as st

from sim.say import mark, say
from sim.screens.cautions.texts import EMERGENCY_NONE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE, ONE_READING
from sim.screens.present.room import Room

_NEVER_CHANGE = mark("Never change a treatment because of what you saw here: ask your clinician.")


def show(room: Room) -> None:
    """The takeaway and its steps."""
    takeaway = room.lesson.takeaway
    st.markdown(f"**{takeaway.text}**")
    st.markdown("\n".join(f"{i}. {step}" for i, step in enumerate(takeaway.steps, 1)))


def get_help(room: Room) -> None:
    """The advice that every lesson ends with."""
    st.markdown(f"**{say(ONE_READING)}** {say(_NEVER_CHANGE)}")
    st.markdown(f"**{say(EMERGENCY_TITLE)}.** {say(EMERGENCY_SYMPTOMS)}")
    st.markdown(say(EMERGENCY_NONE))
    st.markdown(say("Your local emergency advice comes first."))
