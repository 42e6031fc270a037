"""Links to share a lesson: to this very state, or for a class, before or after the prediction."""

from __future__ import annotations

import streamlit as st

from sim.say import say
from sim.screens import page_links, web_address
from sim.screens.lesson import address
from sim.screens.lesson.address import State
from sim.screens.own_patient import in_link
from sim.teach.lesson import Lesson


def show(lesson: Lesson, state: State) -> None:
    """The view for a room, and the links, behind a button."""
    before, shown = address.start(lesson, state.order), address.start(lesson, state.order)
    shown.predicted = address.NO_PREDICTION
    with st.container(horizontal=True, vertical_alignment="center", key="passing-on"):
        to_a_room(in_link.linked({"lesson": lesson.name}))
        with st.popover(say("Share this lesson"), icon=":material/link:", type="tertiary"):
            st.markdown(say("Copy one of these links. The first is always the address of this page."))
            for name, label, other in (
                ("state", say("Link to this state"), state),
                ("class", say("Link for your class: starts before the prediction"), before),
                ("presenting", say("Link for presenting: skips the prediction"), shown),
            ):
                query = in_link.linked(address.write(other, lesson))
                page_links.link(page_links.page("lesson"), label=label, query_params=query)
                web_address.copyable(web_address.whole("lesson", query), f"link-{name}", alone=False)
            if web_address.shared_host():
                for_phones(lesson, before)
            else:
                st.caption(say(web_address.ONLY_HERE))


def for_phones(lesson: Lesson, before: State) -> None:
    """The class's link as a QR code."""
    opened = web_address.whole("lesson", in_link.linked(address.write(before, lesson)))
    st.markdown(say("Phones in the same network open the link for your class with this code."))
    st.html(web_address.qr_figure(opened, say("the lesson before the prediction")))


def to_a_room(query: dict[str, str], label: str = "") -> None:
    """The way to the view for a wall."""
    page_links.link(
        page_links.page("present"),
        label=label or say("Show this to a room"),
        icon=":material/present_to_all:",
        query_params=query,
    )
