"""What a lesson says of the patient in it: whom its words are about, and which of them no longer hold."""

from __future__ import annotations

from typing import Any

import streamlit as st

from sim.say import language, mark, say
from sim.screens import cache
from sim.screens.own_patient import in_link
from sim.screens.words import plain
from sim.teach.lesson import Lesson
from sim.teach.own_claims import parted
from sim.teach.own_lesson import has_numbers, own_person

_WHOSE = mark(
    "The readings, the strip of twenty, the steps and the pictures are those of your patient. The lesson's words are "
    "about its own person: {person}. So are its fresh case, its evidence and what it says to do."
)


def words_of(lesson: Lesson) -> None:
    """Above the lesson: the readings are those of the patient, the words those of the lesson's own person."""
    if not in_link.current().set:
        return
    st.info(say(_WHOSE, person=plain(own_person(lesson))), icon=":material/person_edit:")
    for note in in_link.fitted(lesson).notes:
        st.warning(plain(note), icon=":material/straighten:")


def said_of(text: str) -> None:
    """Below a question or a reply: its numbers are not the patient's."""
    if in_link.current().set and has_numbers(text):
        st.caption(say("The numbers in these words belong to the lesson's own person, not to your patient."))


def no_longer(lesson: Lesson) -> None:
    """The sentences of the lesson that the readings of this patient contradict; `lesson` has the patient in it."""
    if not in_link.current().set:
        return
    key = (language(), lesson.name, cache.told(lesson.inputs()), repr(lesson.levers), repr(lesson.predict))
    found = _parted(key, lesson)
    if found:
        st.warning("  \n".join(plain(each) for each in found), icon=":material/difference:")


@st.cache_resource(max_entries=200, show_spinner=False)
def _parted(key: tuple[Any, ...], _lesson: Lesson) -> tuple[str, ...]:
    return tuple(each.words for each in parted(_lesson))
