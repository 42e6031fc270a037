"""Lessons of one's own whose files change while they are shown: a running session goes on."""

from __future__ import annotations

from typing import Any

import streamlit as st

from sim.screens import cache
from sim.screens.lesson import first_answers, lesson_state
from sim.screens.progress import recall_question
from sim.teach.lesson import Lesson

_KEY = "own-lessons"


def follow() -> None:
    """Take note of the lessons as they are now; what the session holds of one that is made otherwise is forgotten.

    Where everybody is stands in the address, which is read again. Changed words change nothing else.
    """
    known: dict[str, Lesson] = st.session_state.setdefault(_KEY, {})
    for lesson in cache.lessons()[0]:
        if not lesson.local:
            continue
        before = known.get(lesson.name)
        if before is not None and _made(before) != _made(lesson):
            lesson_state.forget(lesson)
            first_answers.forget(lesson)
            recall_question.forget(lesson)
            _forget_on_wall(lesson)
        known[lesson.name] = lesson


def kept(name: str) -> Lesson | None:
    """A lesson as this session last saw it, where its file is gone or broken now and it was begun; None without one."""
    lesson: Lesson | None = st.session_state.get(_KEY, {}).get(name)
    if lesson is None:
        return None
    on_wall = [each.name for room in _rooms().values() for each in room.lessons]
    return lesson if lesson_state.state_if_any(lesson) is not None or name in on_wall else None


def with_kept() -> tuple[Lesson, ...]:
    """All lessons, those that only this session still has among them."""
    lessons, _ = cache.lessons()
    names = [lesson.name for lesson in lessons]
    gone = [kept(name) for name in st.session_state.get(_KEY, {}) if name not in names]
    return *lessons, *(lesson for lesson in gone if lesson is not None)


def _rooms() -> dict[str, Any]:
    """What is shown on a wall, by its key in the session: the lessons, or the player."""
    _, player = st.session_state.get("room-player") or (None, None)
    found = {"room": st.session_state.get("room"), "room-player": player}
    return {key: room for key, room in found.items() if room is not None}


def _forget_on_wall(lesson: Lesson) -> None:
    """Let a lesson on the wall start anew."""
    for key in [key for key, room in _rooms().items() if room.lesson.name == lesson.name]:
        del st.session_state[key]


def _made(lesson: Lesson) -> tuple[Any, ...]:
    """What a session's answers and levers stand on."""
    levers = [(v.field, v.low, v.high, v.step, v.correct, [o.value for o in v.options]) for v in lesson.levers]
    asked: list[tuple[Any, ...]] = [lesson.predict.choices, *(check.choices for check in lesson.checks)]
    asked += [lesson.case.choices] if lesson.case else []
    rights = [[choice.right for choice in choices] for choices in asked]
    return levers, rights, lesson.case is None, lesson.picture, bool(lesson.predict.guess)
