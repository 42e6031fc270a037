"""The page of averages: one question at a time."""

from __future__ import annotations

import streamlit as st

from sim.screens import heading, url_widgets
from sim.screens.averages import categories, population, real_log, repeat, surprising
from sim.screens.cautions.texts import ONE_READING

# Short names for phones, and the question that each answers.
VIEWS = {
    "repeat": ("Repeat and average", "How much does averaging help?"),
    "name": ("Categories", "Can 129 and 131 be told apart?"),
    "people": ("A population", "What does a small error do to many people?"),
    "surprise": ("A surprising reading", "Can this reading be right?"),
    "log": ("A real log", "What does a week of readings say?"),
}
_SCREENS = {
    "repeat": repeat.show,
    "name": categories.show,
    "people": population.show,
    "surprise": surprising.show,
    "log": real_log.show,
}


def show() -> None:
    """The question that the address names, and its answer."""
    view = url_widgets.segments("view", "What to look at", {name: words[0] for name, words in VIEWS.items()})
    heading.title(VIEWS[view][1], f"Averages: {VIEWS[view][0]}")
    _SCREENS[view]()
    st.caption(ONE_READING)
