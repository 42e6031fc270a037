"""What this learner has done, as this session knows it; every answer that counts is told here."""

from __future__ import annotations

import time
from dataclasses import replace

import streamlit as st

from sim.screens.lesson import address
from sim.screens.lesson.address import State
from sim.teach import progress as records
from sim.teach.lesson import Lesson
from sim.teach.practice_answers import Verdict
from sim.teach.progress import OwnVerdict, Progress, Recall

_KEY = "progress"


def progress() -> Progress:
    """All that is known."""
    return st.session_state.get(_KEY, Progress())


def keep(new: Progress) -> None:
    """This is known from now on."""
    st.session_state[_KEY] = new


def forget(*but: str) -> None:
    """Let the session start anew, with nothing answered; `but` are keys that stay."""
    for key in [key for key in st.session_state if key not in but and key != "pages"]:
        del st.session_state[key]


def predicted(lesson: Lesson, choice: int, right: bool) -> None:
    """A prediction was made: the choice counted from 1, as in the file."""
    keep(records.with_prediction(progress(), lesson.name, choice, right, now_s()))


def answered(lesson: Lesson, name: str, right: bool) -> None:
    """A question of "Check yourself" was answered: "check-0" and so on, or "case"."""
    keep(records.with_answer(progress(), lesson.name, name, right, now_s()))


def case_answered(number: int, judged: Verdict | OwnVerdict) -> None:
    """A case to practise on was answered."""
    keep(records.with_case(progress(), number, judged))


def test_answered(seed: int, number: int, judged: Verdict) -> None:
    """A case of a final test was answered."""
    keep(records.with_test_answer(progress(), seed, number, judged))


def recalled(lesson: Lesson, name: str, right: bool) -> None:
    """A question that came back was answered."""
    keep(records.with_recall(progress(), Recall(now_s(), lesson.name, name, right)))


def resumed(lesson: Lesson) -> State:
    """Where to go on with a lesson that was begun before this session: the prediction is made already."""
    state, chosen = address.start(lesson), progress().lesson(lesson.name).predicted
    if chosen is None or chosen > len(lesson.predict.choices):
        return state
    step = "try" if records.done(progress(), lesson) else "check"
    return replace(state, predicted=chosen, step=step)


def now_s() -> int:
    """The time [s since 1970]."""
    return int(time.time())
