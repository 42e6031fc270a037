"""The learner's first answer to each question of a lesson: it counts, later ones are for learning."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from sim.teach.lesson import Lesson
from sim.teach.parts import CheckChoice, PredictChoice

_KEY = "first-answers"
PREDICTION, CASE = "prediction", "case"


def first(lesson: Lesson, question: str, choices: Sequence[PredictChoice | CheckChoice], chosen: int) -> int:
    """The first answer of this session to a question, the author's number counted from 0; `chosen` where it is new."""
    given = _given(lesson)
    given.setdefault(question, (chosen, choices[chosen].right))
    return given[question][0]


def told(lesson: Lesson) -> str:
    """How many first answers were right; "" before the first one."""
    given = _given(lesson)
    if not given:
        return ""
    right = sum(was_right for _, was_right in given.values())
    asked = 1 + len(lesson.checks) + (lesson.case is not None)
    rest = "" if len(given) >= asked else f" This lesson asks {asked} questions, the prediction included."
    return f"Your first answers: {right} of {len(given)} right.{rest}"


def _given(lesson: Lesson) -> dict[str, tuple[int, bool]]:
    """By question: the first answer, and whether it was right."""
    return st.session_state.setdefault(_KEY, {}).setdefault(lesson.name, {})
