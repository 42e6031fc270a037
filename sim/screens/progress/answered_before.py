"""A line above the questions of a lesson: which were answered on an earlier visit."""

from __future__ import annotations

import streamlit as st

from sim.say import say
from sim.screens.progress import learner
from sim.teach.lesson import Lesson
from sim.teach.progress import answered, questions


def note(lesson: Lesson) -> None:
    """The line; nothing where no question was answered before, or all answers stand on the page."""
    first = answered(learner.progress(), lesson)
    before = [name for name in first if st.session_state.get(f"{lesson.name}/{name}") is None]
    if not before:
        return
    left = [_named(name) for name in questions(lesson) if name not in first]
    todo = say("Still to answer: {left}.", left=", ".join(left)) if left else say("All were answered.")
    st.caption(
        say(
            "You answered {done} of {all} here before. {todo} Your first answers count.",
            done=len(first),
            all=len(questions(lesson)),
            todo=todo,
        )
    )


def _named(name: str) -> str:
    if name == "case":
        return say("the fresh case")
    return say("question {number}", number=int(name.removeprefix("check-")) + 1)
