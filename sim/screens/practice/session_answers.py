"""What is kept for the session: answers, the first of each case apart; and cases, made once for everybody."""

from __future__ import annotations

from typing import Any

import streamlit as st

from sim.explain.breakdown import Breakdown
from sim.teach import own_setup, practice
from sim.teach.own_setup import Chosen

_FIRST, _GIVEN = "practice/first", "practice/given"


def first_answers() -> dict[int, Any]:
    """Of each case the first answer that was given in this session: these count."""
    return st.session_state.setdefault(_FIRST, {})


def given() -> dict[int, Any]:
    """Of each case the answer that stands on the page; none where it is asked again."""
    return st.session_state.setdefault(_GIVEN, {})


def answer(number: int, what: Any) -> None:
    """Keep an answer, as the first one where there was none."""
    given()[number] = what
    first_answers().setdefault(number, what)


def again(number: int) -> None:
    """Ask once more; what was answered first still counts."""
    given().pop(number, None)
    for key in [k for k in st.session_state if str(k).startswith(f"practice/{number}/")]:
        del st.session_state[key]


# Shared between reruns and sessions and never written to.
@st.cache_resource(max_entries=200, show_spinner=False)
def readings(number: int) -> Breakdown:
    """The readings of a case."""
    return practice.case(number).readings()


@st.cache_resource(max_entries=200, show_spinner=False)
def own_readings(number: int, chosen: Chosen) -> Breakdown:
    """The readings of a setup that was chosen."""
    return own_setup.readings(own_setup.room(number), chosen)
