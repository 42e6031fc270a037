"""The learner's first answer to each question of a lesson: it counts, later ones are for learning.

What counts is kept with the learner's progress, over all visits. Which choice it was is known for this visit only.
"""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from sim.say import say
from sim.screens.progress import learner
from sim.teach.lesson import Lesson
from sim.teach.parts import CheckChoice, PredictChoice
from sim.teach.progress import first_tries, questions

_KEY = "first-answers"
PREDICTION, CASE = "prediction", "case"


def first(lesson: Lesson, question: str, choices: Sequence[PredictChoice | CheckChoice], chosen: int) -> int:
    """The first answer of this visit to a question, the author's number counted from 0; `chosen` where it is new."""
    if question == PREDICTION:
        learner.predicted(lesson, chosen + 1, choices[chosen].right)
    else:
        learner.answered(lesson, question, choices[chosen].right)
    given: dict[str, int] = st.session_state.setdefault(_KEY, {}).setdefault(lesson.name, {})
    return given.setdefault(question, chosen)


def forget(lesson: Lesson) -> None:
    """Which choices were made in this visit; what counts is kept."""
    st.session_state.get(_KEY, {}).pop(lesson.name, None)


def told(lesson: Lesson) -> str:
    """How many first answers were right; "" before the first one."""
    given = first_tries(learner.progress(), lesson)
    if not given:
        return ""
    asked = 1 + len(questions(lesson))
    counted = say("Your first answers: {right} of {given} right.", right=sum(given), given=len(given))
    if len(given) >= asked:
        return counted
    return f"{counted} {say('This lesson asks {asked} questions, the prediction included.', asked=asked)}"
