"""What to do, in words for a patient, and what is not known."""

from __future__ import annotations

import streamlit as st

from sim.say import language, say
from sim.screens import page_links
from sim.screens.cautions.texts import EMERGENCY_NONE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE
from sim.screens.handouts.made import made, page_of
from sim.screens.lesson import first_answers, guessing
from sim.screens.lesson.address import State
from sim.teach.handouts.typeset import file_name
from sim.teach.handouts.wanted import Wanted
from sim.teach.lesson import Lesson


def show(lesson: Lesson, state: State) -> None:
    """What to do with a very high real reading before all else; then the takeaway large, the rest beside it."""
    st.warning(
        f"**{say(EMERGENCY_TITLE)}**  \n{say(EMERGENCY_SYMPTOMS)} {say(EMERGENCY_NONE)}", icon=":material/emergency:"
    )
    doing, open_questions = st.columns([11, 9], gap="large")
    with doing, st.container(key="takeaway"):
        st.markdown(lesson.takeaway.text)
        st.markdown("\n".join(f"{i}. {step}" for i, step in enumerate(lesson.takeaway.steps, 1)))
    with doing:
        st.markdown(lesson.sections["What to do"])
        spoken = language()
        st.download_button(
            say("Page to print for patients"),
            lambda: made(page_of(lesson, spoken)),
            file_name(Wanted([lesson])),
            "application/pdf",
            on_click="ignore",
            icon=":material/print:",
            key=f"{lesson.name}/handout",
        )
        page_links.link(
            page_links.page("handouts"),
            label=say("More pages to print"),
            icon=":material/arrow_forward:",
            query_params={"lessons": lesson.name},
        )
    with open_questions:
        st.subheader(say("What is not known"), anchor=False)
        st.markdown(lesson.sections["What is not known"])
    _own(lesson)


def _own(lesson: Lesson) -> None:
    """How the learner did: first answers in this lesson, guesses in all."""
    told = [words for words in (first_answers.told(lesson), guessing.own_error_told()) if words]
    if told:
        with st.container(key="own-answers"):
            st.subheader(say("Your answers"), anchor=False)
            st.markdown("  \n".join(told))
