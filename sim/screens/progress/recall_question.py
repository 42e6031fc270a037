"""One question from an earlier lesson, on the first screen; its answer counts."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from sim.explain.same_arm import FIRST_SEED
from sim.say import say
from sim.screens.progress import learner, lesson_links
from sim.teach.choice_order import shown_order
from sim.teach.lesson import Lesson
from sim.teach.recall import Due, due

_AT, _ANSWERED, _CHOICE, _ORDER = "recall/at", "recall/answered", "recall/choice", "recall/order"


def show(lessons: Sequence[Lesson]) -> None:
    """The question; nothing where none is due."""
    found = _current(lessons)
    if found is None:
        return
    with st.container(border=True, key="recall"):
        st.markdown(f"### {say('One question from an earlier lesson')}", anchors=False)
        chosen = st.radio(
            found.check.question,
            shown_order(found.lesson.name, found.name, len(found.check.choices), st.session_state[_ORDER]),
            format_func=[choice.text for choice in found.check.choices].__getitem__,
            index=None,
            key=_CHOICE,
        )
        if chosen is not None:
            _answer(found, chosen)


def _answer(found: Due, chosen: int) -> None:
    choice = found.check.choices[chosen]
    if not st.session_state.get(_ANSWERED):
        learner.recalled(found.lesson, found.name, choice.right)
        st.session_state[_ANSWERED] = True
    if choice.right:
        st.success(f"**{say('Right.')}** {choice.reason}", icon=":material/check_circle:")
    else:
        st.warning(f"**{say('Not quite.')}** {choice.reason}", icon=":material/psychology_alt:")
    with st.container(horizontal=True):
        lesson_links.show(found.lesson, say("Look at "))
        st.button(say("Go on"), on_click=_over, type="tertiary", key="recall/over")
    st.caption(say("Your first answer here counts. A question that was hard comes back sooner."))


def _current(lessons: Sequence[Lesson]) -> Due | None:
    """The question that stands there until its answer has been read; then the next one that is due."""
    left = st.session_state.get(_ANSWERED) and _CHOICE not in st.session_state
    at = None if left else st.session_state.get(_AT)
    if at is not None:
        lesson = next((lesson for lesson in lessons if lesson.name == at[0]), None)
        number = int(at[1].removeprefix("check-"))
        if lesson is not None and number < len(lesson.checks):
            return Due(lesson, at[1], lesson.checks[number])
    _over()
    first = next(iter(due(lessons, learner.progress(), learner.now_s())), None)
    if first is not None:
        st.session_state[_AT] = (first.lesson.name, first.name)
        st.session_state[_ORDER] = FIRST_SEED + 1 + len(learner.progress().recalls)  # another one than in the lesson
    return first


def forget(lesson: Lesson) -> None:
    """The question that stands there, where it is this lesson's."""
    if (st.session_state.get(_AT) or ("",))[0] == lesson.name:
        _over()


def _over() -> None:
    for key in (_AT, _ANSWERED, _CHOICE):
        st.session_state.pop(key, None)
