"""The page of algorithms: one recording under the glass, or a study of many people."""

from __future__ import annotations

import streamlit as st

from sim.screens import heading, url_widgets
from sim.screens.algorithms.one_recording import page as one
from sim.screens.algorithms.study import page as many
from sim.screens.cautions.texts import ONE_READING

# Short names for phones, and the question that each answers.
VIEWS = {
    "one": ("One recording", "What do algorithms read from this recording?"),
    "many": ("A study", "How far off is an algorithm, over many people?"),
}
_SCREENS = {"one": one.show, "many": many.show}


def show() -> None:
    """The question that the address names, and its answer."""
    view = url_widgets.segments("view", "What to look at", {name: words[0] for name, words in VIEWS.items()})
    heading.title(VIEWS[view][1], f"Algorithms: {VIEWS[view][0]}")
    _SCREENS[view]()
    st.caption(ONE_READING)
