"""Answers as they stand on the page, the first of each told to the progress; and cases, made once for everybody."""

from __future__ import annotations

from typing import Any
from zlib import crc32

import streamlit as st

from sim.explain.breakdown import Breakdown
from sim.say import language
from sim.screens.own_patient import in_link
from sim.screens.progress import learner
from sim.teach import own_setup, practice
from sim.teach.own_patient import NOBODY, OwnPatient
from sim.teach.own_setup import Chosen
from sim.teach.practice_answers import Answer, Verdict, verdict
from sim.teach.practice_score import own_verdict
from sim.teach.progress import OwnVerdict

_GIVEN = "practice/given"


def first_answers() -> set[int]:
    """The cases that have a first answer, in this session or before: these count."""
    return {*learner.progress().cases, *learner.progress().own}


def given() -> dict[int, Any]:
    """Of each case of this patient the answer that stands on the page; none where it is asked again."""
    return st.session_state.setdefault(_GIVEN, {}).setdefault(in_link.current(), {})


def key(number: int) -> str:
    """What the keys of a case's widgets begin with: another patient makes another case of the same number."""
    own = in_link.current()
    return f"practice/{number}" + (f"/{crc32(repr(own).encode())}" if own.set else "")


def answer(number: int, what: Answer | Chosen) -> None:
    """Keep an answer, as the first one where there was none; of one's own patient's case on this page only."""
    given()[number] = what
    if not in_link.current().set:
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


def readings(number: int, own: OwnPatient = NOBODY) -> Breakdown:
    """The readings of a case, with this patient in it."""
    return _readings(number, own, language())


def own_readings(number: int, chosen: Chosen, own: OwnPatient = NOBODY) -> Breakdown:
    """The readings of a setup that was chosen, with this patient."""
    return _own_readings(number, chosen, own, language())


# Shared between reruns and sessions and never written to; for each language, as mistakes are named in it.
@st.cache_resource(max_entries=200, show_spinner=False)
def _readings(number: int, own: OwnPatient, language: str) -> Breakdown:
    return practice.case(number, own).readings()


@st.cache_resource(max_entries=200, show_spinner=False)
def _own_readings(number: int, chosen: Chosen, own: OwnPatient, language: str) -> Breakdown:
    return own_setup.readings(own_setup.room(number, own), chosen)
