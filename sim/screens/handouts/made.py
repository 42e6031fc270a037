"""The PDFs that the app has made, kept for the next one who asks. A PDF with a clinic's details is never kept."""

from __future__ import annotations

import hashlib
import json

import streamlit as st

from sim.say import spoken
from sim.screens.handouts.paper_pictures import pictures
from sim.teach.handouts.typeset import content, pdf
from sim.teach.handouts.wanted import Clinic, Wanted
from sim.teach.lesson import Lesson


def made(wanted: Wanted) -> bytes:
    """The PDF of the wanted pages."""
    if wanted.clinic != Clinic():
        return pdf(wanted)
    key = hashlib.sha256(json.dumps(content(wanted)).encode()).hexdigest()
    return _made(key, wanted)


def page_of(lesson: Lesson, language: str) -> Wanted:
    """The page of one lesson for patients, with lines to write on.

    language: of the fixed words, a key of `sim.say.LANGUAGES`; nobody speaks where a button's file is asked for
    """
    with spoken(language):
        return Wanted([lesson], {lesson.name: pictures(lesson)})


# At most half a megabyte each.
@st.cache_resource(max_entries=50, show_spinner=False)
def _made(key: str, _wanted: Wanted) -> bytes:
    return pdf(_wanted)
