"""Questions afterwards, each answer with its reason."""

from __future__ import annotations

import streamlit as st

from sim.explain.same_arm import FIRST_SEED
from sim.say import say
from sim.screens import cache, numbers_panel, readings_strip
from sim.screens.lesson import first_answers, lesson_state
from sim.screens.lesson.address import State
from sim.screens.progress import answered_before
from sim.screens.words import plain
from sim.teach.choice_order import shown_order
from sim.teach.lesson import Lesson
from sim.teach.parts import Case, CheckChoice

# The readings of a fresh case are the same for a whole class.
CASE_SEED = FIRST_SEED


def show(lesson: Lesson, state: State) -> None:
    """The questions; each is answered as soon as a choice is made."""
    answered_before.note(lesson)
    for number, check in enumerate(lesson.checks):
        with st.container(key=f"check-{number}"):
            _ask(lesson, state, f"check-{number}", f"{number + 1}. {check.question}", check.choices)
    if lesson.case is not None:
        _case(lesson, state, lesson.case)
    told = first_answers.told(lesson)
    if told:
        with st.container(key="first-answers"):
            st.markdown(f"**{told}**")


def _ask(lesson: Lesson, state: State, name: str, question: str, choices: tuple[CheckChoice, ...]) -> bool:
    """A question; the choice made is answered with its reason. Whether one was made."""
    chosen = st.radio(
        question,
        shown_order(lesson.name, name, len(choices), state.order),
        format_func=[choice.text for choice in choices].__getitem__,
        index=None,
        key=lesson_state.widget(lesson, name, None),
    )
    if chosen is None:
        return False
    choice, first = choices[chosen], first_answers.first(lesson, name, choices, chosen)
    if choice.right:
        st.success(f"**{say('Right.')}** {choice.reason}", icon=":material/check_circle:")
    else:
        st.warning(f"**{say('Not quite.')}** {choice.reason}", icon=":material/psychology_alt:")
    if first != chosen:
        st.caption(say("Your first answer counts: {choice}", choice=plain(choices[first].text)))
    return True


def _case(lesson: Lesson, state: State, case: Case) -> None:
    """Somebody else to try again on: the display is shown, the truth once an answer is chosen."""
    st.subheader(say("A fresh case"), anchor=False)
    found = cache.readings(case.inputs, CASE_SEED, ideal=False)
    with st.container(key="case"):
        st.html(numbers_panel.display_only(found))
        answered = st.session_state.get(f"{lesson.name}/case") is not None
        readings_strip.show(found, answered, "case-strip")
        if _ask(lesson, state, first_answers.CASE, case.question, case.choices):
            st.html(numbers_panel.truth_only(found))
        urgent = numbers_panel.urgent(found)
        if urgent:
            st.html(urgent)
