"""Questions afterwards, each answer with its reason."""

from __future__ import annotations

import streamlit as st

from sim.screens import keeping
from sim.screens.address import State
from sim.screens.words import plain
from sim.teach.lesson import Lesson


def show(lesson: Lesson, state: State) -> None:  # noqa: ARG001 - every step is called alike
    """The questions; each is answered as soon as a choice is made."""
    st.subheader("Check yourself", anchor=False)
    right = 0
    for number, check in enumerate(lesson.checks):
        with st.container(key=f"check-{number}"):
            chosen = st.radio(
                f"**{number + 1}. {check.question}**",
                range(len(check.choices)),
                format_func=[choice.text for choice in check.choices].__getitem__,
                index=None,
                key=keeping.widget(lesson, f"check-{number}", None),
            )
            if chosen is None:
                continue
            choice = check.choices[chosen]
            right += choice.right
            if choice.right:
                st.success(f"**Right.** {choice.reason}", icon=":material/check_circle:")
            else:
                st.warning(f"**Not quite.** {choice.reason}", icon=":material/psychology_alt:")
    answered = [st.session_state.get(f"{lesson.name}/check-{i}") is not None for i in range(len(lesson.checks))]
    if all(answered):
        st.markdown(plain(f"{right} of {len(lesson.checks)} right."))
