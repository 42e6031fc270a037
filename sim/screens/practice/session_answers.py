"""Answers as they stand on the page, the first of each told to the progress; and cases, made once for everybody."""

from __future__ import annotations

from typing import Any

import streamlit as st

from sim.explain.breakdown import Breakdown
from sim.screens.progress import learner
from sim.teach import own_setup, practice
from sim.teach.own_setup import Chosen
from sim.teach.practice_answers import Answer, Verdict, verdict
from sim.teach.practice_score import own_verdict
from sim.teach.progress import OwnVerdict

_GIVEN = "practice/given"


def first_answers() -> set[int]:
    """The cases that have a first answer, in this session or before: these count."""
    return {*learner.progress().cases, *learner.progress().own}


def given() -> dict[int, Any]:
    """Of each case the answer that stands on the page; none where it is asked again."""
    return st.session_state.setdefault(_GIVEN, {})


def answer(number: int, what: Answer | Chosen) -> None:
    """Keep an answer, as the first one where there was none."""
    given()[number] = what
    learner.case_answered(number, _judged(number, what))


def again(number: int) -> None:
    """Ask once more; what was answered first still counts."""
    given().pop(number, None)
    for key in [k for k in st.session_state if str(k).startswith(f"practice/{number}/")]:
        del st.session_state[key]


def _judged(number: int, what: Answer | Chosen) -> Verdict | OwnVerdict:
    if isinstance(what, Chosen):
        return own_verdict(own_setup.room(number), what)
    return verdict(practice.case(number), what)


# Shared between reruns and sessions and never written to.
@st.cache_resource(max_entries=200, show_spinner=False)
def readings(number: int) -> Breakdown:
    """The readings of a case."""
    return practice.case(number).readings()


@st.cache_resource(max_entries=200, show_spinner=False)
def own_readings(number: int, chosen: Chosen) -> Breakdown:
    """The readings of a setup that was chosen."""
    return own_setup.readings(own_setup.room(number), chosen)
