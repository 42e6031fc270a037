"""Links to share a lesson: to this very state, or for a class, before or after the prediction."""

from __future__ import annotations

import streamlit as st

from sim.screens import page_links
from sim.screens.lesson import address
from sim.screens.lesson.address import State
from sim.screens.own_patient import in_link
from sim.teach.lesson import Lesson


def show(lesson: Lesson, state: State) -> None:
    """The links, behind a button."""
    before, shown = address.start(lesson, state.order), address.start(lesson, state.order)
    shown.predicted = address.NO_PREDICTION
    with st.popover("Share this lesson", icon=":material/link:", type="tertiary"):
        st.markdown("Copy one of these links. The first is always the address of this page.")
        for label, other in (
            ("Link to this state", state),
            ("Link for your class: starts before the prediction", before),
            ("Link for presenting: skips the prediction", shown),
        ):
            st.page_link(
                page_links.page("lesson"), label=label, query_params=in_link.linked(address.write(other, lesson))
            )
