"""Questions afterwards, each answer with its reason."""

from __future__ import annotations

import streamlit as st

from sim.explain.same_arm import FIRST_SEED
from sim.screens import cache, numbers_panel, readings_strip
from sim.screens.lesson import lesson_state
from sim.screens.lesson.address import State
from sim.screens.words import plain
from sim.teach.lesson import Lesson
from sim.teach.parts import Case, CheckChoice

# The readings of a fresh case are the same for a whole class.
CASE_SEED = FIRST_SEED


def show(lesson: Lesson, state: State) -> None:
    """The questions; each is answered as soon as a choice is made."""
    right = 0
    for number, check in enumerate(lesson.checks):
        with st.container(key=f"check-{number}"):
            choice = _ask(lesson, f"check-{number}", f"{number + 1}. {check.question}", check.choices)
            right += choice is not None and choice.right
    answered = [st.session_state.get(f"{lesson.name}/check-{i}") is not None for i in range(len(lesson.checks))]
    if all(answered):
        st.markdown(plain(f"{right} of {len(lesson.checks)} right."))
    if lesson.case is not None:
        _case(lesson, lesson.case)


def _ask(lesson: Lesson, name: str, question: str, choices: tuple[CheckChoice, ...]) -> CheckChoice | None:
    """A question; the choice made is answered with its reason."""
    chosen = st.radio(
        question,
        range(len(choices)),
        format_func=[choice.text for choice in choices].__getitem__,
        index=None,
        key=lesson_state.widget(lesson, name, None),
    )
    if chosen is None:
        return None
    choice = choices[chosen]
    if choice.right:
        st.success(f"**Right.** {choice.reason}", icon=":material/check_circle:")
    else:
        st.warning(f"**Not quite.** {choice.reason}", icon=":material/psychology_alt:")
    return choice


def _case(lesson: Lesson, case: Case) -> None:
    """Somebody else to try again on: the display is shown, the truth once an answer is chosen."""
    st.subheader("A fresh case", anchor=False)
    found = cache.readings(case.inputs, CASE_SEED, ideal=False)
    with st.container(key="case"):
        st.html(numbers_panel.display_only(found))
        answered = st.session_state.get(f"{lesson.name}/case") is not None
        readings_strip.show(found, answered, "case-strip")
        chosen = _ask(lesson, "case", case.question, case.choices)
        if chosen is not None:
            st.html(numbers_panel.truth_only(found))
        urgent = numbers_panel.urgent(found)
        if urgent:
            st.html(urgent)
