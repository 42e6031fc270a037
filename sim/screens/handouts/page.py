"""Pages to print: which lessons, on which paper, for which clinic; then one PDF."""

from __future__ import annotations

from collections.abc import Sequence

import streamlit as st

from sim.fields import FieldError
from sim.say import all_said, mark, say
from sim.screens import cache, heading, url_widgets
from sim.screens.handouts.made import made
from sim.screens.handouts.paper_pictures import pictures
from sim.screens.progress.lesson_links import named
from sim.screens.words import plain
from sim.teach import path
from sim.teach.handouts.typeset import check, file_name
from sim.teach.handouts.wanted import LINES, PAPERS, Clinic, Wanted, home_schedules
from sim.teach.lesson import Lesson

TITLE = mark("Pages to print")
_WHAT = mark(
    "For patients: one page for each lesson, with a drawing, what to do, and when to get help. For a class: the "
    "questions, and the answers on a sheet apart. For home: a form to write readings down. All in one PDF."
)
_EXTRAS = {
    "large": mark("Large print, letters of 18 points: three or four sides for a lesson"),
    "class": mark("Questions for the class, and a sheet with the answers"),
}
_PRIVATE = mark(
    "What you write here goes into your PDF only. It is not in the address and in no file of the server, which forgets "
    "it soon after you close this page. Leave a field empty, and there is a line to write on."
)
_NOTHING = mark("Tick one lesson or more, or choose a form for home.")


def show() -> None:
    """What can be chosen, and the button that makes the PDF."""
    heading.title(say(TITLE), say(TITLE))
    st.markdown(say(_WHAT))
    lessons, _ = cache.lessons()
    left, right = st.columns([11, 9], gap="large")
    with left:
        chosen = _lessons(lessons)
        texts = _clinic()
    with right:
        paper = _paper()
        extras = url_widgets.some("with", say("**How, and what else**"), all_said(_EXTRAS), [])
        schedules = {"": say("no form")} | {name: say(plan.label) for name, plan in home_schedules().items()}
        log = url_widgets.choose("log", say("Form for readings at home"), schedules)
        try:
            _button(chosen, paper, extras, log, Clinic(**texts))
        except FieldError as error:
            label = say(LINES[error.field].label) if error.field in LINES else error.field
            told = say("{label}: {value}. It must be {allowed}.", label=label, value=error.value, allowed=error.allowed)
            st.warning(plain(told), icon=":material/edit_note:")


def _lessons(lessons: Sequence[Lesson]) -> list[Lesson]:
    """The lessons that are ticked, in the order of the recommended path."""
    ordered = [lesson for part in path.parts(lessons) for lesson in part]
    options = {lesson.name: plain(_capital(named(lesson))) for lesson in ordered}
    with st.container(key="handout-lessons"):
        ticked = url_widgets.some("lessons", say("**Lessons**"), options, [])
    return [lesson for lesson in ordered if lesson.name in ticked]


def _paper() -> str:
    st.markdown(f"**{say('Paper')}**")
    return url_widgets.segments("paper", say("Paper"), all_said(PAPERS))


def _clinic() -> dict[str, str]:
    """The texts of the clinic, which are in no address."""
    st.markdown(say("**Your clinic**"))
    texts = {}
    for name, line in LINES.items():
        field = st.text_area if name == "notes" else st.text_input
        texts[name] = field(say(line.label), max_chars=line.longest, key=f"handouts/{name}") or ""
    st.caption(say(_PRIVATE))
    return texts


def _button(chosen: list[Lesson], paper: str, extras: list[str], log: str, clinic: Clinic) -> None:
    """Makes the PDF, and only when it is asked for."""
    if not chosen and not log:
        st.info(say(_NOTHING))
        return
    drawn = {lesson.name: pictures(lesson) for lesson in chosen}
    wanted = Wanted(chosen, drawn, paper, "large" in extras, "class" in extras and bool(chosen), log, clinic)
    check(wanted)
    st.download_button(
        say("Make the PDF"),
        lambda: made(wanted),
        file_name(wanted),
        "application/pdf",
        on_click="ignore",
        type="primary",
        icon=":material/print:",
        key="handouts/pdf",
    )


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
