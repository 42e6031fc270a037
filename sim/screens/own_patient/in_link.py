"""The patient and the cuffs of this session, and how they come out of a link and into every link.

What this session has put into an address itself says nothing new when it comes back: a browser may still have the
older one. Only a link that was not written here changes the patient.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import streamlit as st

from sim.teach import own_patient
from sim.teach.lesson import Lesson
from sim.teach.own_lesson import OwnLesson, with_patient
from sim.teach.own_patient import PREFIX, OwnPatient

_NOW, _WRITTEN, _PROBLEMS = "own/now", "own/written", "own/problems"


def arrive() -> None:
    """Take over what the address sets; once in each run of a page, before anything is shown."""
    given = {name: text for name, text in st.query_params.to_dict().items() if name.startswith(PREFIX)}
    if given and given not in _written():
        patient, problems = own_patient.read(given)
        take(patient, problems)
        _written().append(given)


def current() -> OwnPatient:
    """What is set now; nothing is set where nobody set it."""
    return st.session_state.get(_NOW, OwnPatient())


def problems() -> list[str]:
    """A line for each value that could not be taken."""
    return list(st.session_state.get(_PROBLEMS, []))


def take(patient: OwnPatient, faults: list[str] | None = None) -> None:
    """This is set from now on."""
    st.session_state[_NOW], st.session_state[_PROBLEMS] = patient, faults or []


def linked(parameters: Mapping[str, Any]) -> dict[str, Any]:
    """Query parameters with the patient among them: for the address of a page, and for links."""
    own = own_patient.write(current())
    if own and own not in _written():
        _written().append(own)
    return {name: value for name, value in parameters.items() if not name.startswith(PREFIX)} | own


def keep() -> None:
    """Put the patient into the address of a page that has no more to say there."""
    new = linked(st.query_params.to_dict())
    if new != st.query_params.to_dict():
        st.query_params.from_dict(new)


def fitted(lesson: Lesson) -> OwnLesson:
    """The lesson with the patient in it, and what of the patient it could not take."""
    return with_patient(lesson, current())


def for_lesson(lesson: Lesson) -> Lesson:
    """The lesson with the patient in it; the lesson itself where nothing is set."""
    return fitted(lesson).lesson


def _written() -> list[dict[str, str]]:
    return st.session_state.setdefault(_WRITTEN, [])
