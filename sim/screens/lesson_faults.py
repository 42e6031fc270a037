"""Lessons that are asked for by name; faulty files, told to whoever writes them."""

from __future__ import annotations

import streamlit as st

from sim.say import say
from sim.screens import cache, page_links
from sim.screens.lesson import changed_lessons
from sim.screens.words import plain
from sim.teach.lesson import Lesson, LessonFault


def fault_text(file: str, faults: tuple[LessonFault, ...]) -> str:
    """What is wrong with one lesson file, for whoever writes it, as Markdown."""
    wrong = [fault for fault in faults if fault.file == file]
    lines = [f"- {plain(str(fault).removeprefix(file + ': '))}" for fault in wrong]
    return "\n".join([f"**The lesson file {plain(file)} cannot be shown.** What is wrong with it:", "", *lines])


def own_unread(faults: tuple[LessonFault, ...]) -> str:
    """How many files of one's own are left out, in one quiet line for the educator; "" where none is."""
    files = {fault.file for fault in faults if fault.local}
    if not files:
        return ""
    told = "1 lesson file of this clinic" if len(files) == 1 else f"{len(files)} lesson files of this clinic"
    return f"For the educator: {told} could not be read. cuffbias lesson check FOLDER says why."


def wanted() -> Lesson | None:
    """The lesson that the address names, else the first; None where it cannot be shown."""
    lessons, _ = cache.lessons()
    name = st.query_params.get("lesson", lessons[0].name if lessons else "")
    return next((lesson for lesson in lessons if lesson.name == name), changed_lessons.kept(name))


def missing() -> None:
    """Why the lesson that the address names cannot be shown, and the way to all others."""
    lessons, faults = cache.lessons()
    name = st.query_params.get("lesson", "")
    if f"{name}.md" in [fault.file for fault in faults if not fault.local]:
        st.warning(fault_text(f"{name}.md", faults), icon=":material/edit_note:")
    elif f"{name}.md" in [fault.file for fault in faults]:
        st.warning("This lesson from this clinic cannot be shown at the moment.", icon=":material/edit_note:")
    else:
        names = ", ".join(lesson.name for lesson in lessons) or "none"
        st.warning(plain(f"lesson = {name[:40]}: must be one of {names}."), icon=":material/link_off:")
    way_out()


def way_out() -> None:
    """The way to all lessons."""
    page_links.link(page_links.page("home"), label=say("All lessons"), icon=":material/grid_view:")
