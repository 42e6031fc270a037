"""A line above the questions of a lesson: which were answered on an earlier visit."""

from __future__ import annotations

import streamlit as st

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
    todo = f"Still to answer: {', '.join(left)}." if left else "All were answered."
    st.caption(f"You answered {len(first)} of {len(questions(lesson))} here before. {todo} Your first answers count.")


def _named(name: str) -> str:
    return "the fresh case" if name == "case" else f"question {int(name.removeprefix('check-')) + 1}"
