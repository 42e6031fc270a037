"""Lessons and the player on a wall: one step at a time, on one screen, by keys or by mouse."""

from __future__ import annotations

from functools import lru_cache
from importlib import resources

import streamlit as st

from sim.say import say
from sim.screens import heading, language, lesson_faults
from sim.screens.lesson import changed_lessons
from sim.screens.own_patient import in_link
from sim.screens.present import answering, asking, bar, doing, keys, levers, queue, watching
from sim.screens.present.room import STEPS, Room
from sim.screens.words import plain

_SHOW = {
    "start": asking.begin,
    "ask": asking.ask,
    "answer": answering.show,
    "lever": levers.show,
    "do": doing.show,
    "help": doing.get_help,
}


def show() -> None:
    """The lessons that the address names, or the player."""
    st.html(f"<style>{_style()}</style>")
    if st.query_params.get("view") == "watch":
        watching.show()
    else:
        _lessons()
    keys.connect()


def _lessons() -> None:
    lessons, problems = queue.wanted(language.parameters(), changed_lessons.with_kept())
    if not lessons:
        heading.title(say("This lesson cannot be shown"), say("No such lesson"))
        for problem in problems:
            st.warning(plain(problem), icon=":material/link_off:")
        lesson_faults.way_out()
        return
    room = _room(tuple(map(in_link.for_lesson, lessons)))
    asking.take_over(room)
    levers.take_over(room)
    if room.blank:
        bar.blank(room)
        return
    step, title = say(STEPS[room.step]), room.lesson.title
    tab = say("Lesson {number} of {count}", number=room.place + 1, count=len(lessons)) if lessons[1:] else say("Lesson")
    heading.title(f"{title} · {step}", f"{tab}: {title}, {step}")
    if room.step == "start":  # before the class begins, not in the middle of it
        for problem in problems:
            st.warning(plain(problem), icon=":material/link_off:")
    with st.container(key=f"room-{room.step}"):
        _SHOW[room.step](room)
    bar.show(room)


def _room(lessons: tuple) -> Room:
    """The room as it was left in this session; new where the address names other lessons.

    Only the place in the queue is in the address: a page that is loaded again gives no answer away.
    """
    room: Room | None = st.session_state.get("room")
    if room is None or [lesson.name for lesson in room.lessons] != [lesson.name for lesson in lessons]:
        room = Room(lessons, _place(len(lessons)))
        st.session_state["room"] = room
    room.lessons = lessons  # a lesson's file may have been edited
    if room.place:
        st.query_params["at"] = str(room.place + 1)
    else:
        st.query_params.pop("at", None)
    return room


def _place(count: int) -> int:
    """The place in the queue that the address gives, counted from 0; the first where it gives none that there is."""
    given = st.query_params.get("at", "")
    inside = given.isascii() and given.isdecimal() and len(given) < 4 and 1 <= int(given) <= count
    return int(given) - 1 if inside else 0


@lru_cache(maxsize=1)
def _style() -> str:
    return resources.files("sim.screens.present").joinpath("present.css").read_text(encoding="utf-8")
