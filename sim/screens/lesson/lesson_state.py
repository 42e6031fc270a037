"""Where everyone is in each lesson, kept for the session and in the address."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from sim.screens import language
from sim.screens.lesson import address
from sim.screens.lesson.address import State
from sim.screens.own_patient import in_link
from sim.teach.lesson import Lesson
from sim.teach.own_patient import OwnPatient


def state(lesson: Lesson) -> State:
    """The state of the lesson: as it was left, unless the address has moved on since: by a link, back, or forward.

    A rerun brings the address that the browser has, which is the older of the two where a callback has just changed the
    state, or where a lever's new address has not arrived yet. So whoever has left what was last kept has moved.
    """
    states = st.session_state.setdefault("states", {})
    given, kept = language.parameters(), _kept().get(lesson.name)
    _someone_else(lesson)
    here = _taken_over(lesson)
    if here is None or (given != kept and in_link.linked(address.write(here, lesson)) == kept):
        states[lesson.name], problems = address.read(given, lesson)
        st.session_state["problems"] = problems
        _forget_positions(lesson, states[lesson.name])
    return states[lesson.name]


def state_if_any(lesson: Lesson) -> State | None:
    """The state as it was left in this session."""
    return st.session_state.get("states", {}).get(lesson.name)


def keep(lesson: Lesson, current: State) -> None:
    """Put the state into the address.

    It is told to the browser even where the server already has this address: after a link to the same page the server
    has the link's address, and the browser still the old one. The browser passes over what it has.
    """
    new = in_link.linked(address.write(current, lesson))
    language.put(new)
    _kept()[lesson.name] = new


def problems() -> list[str]:
    """What was wrong with the address that the state was last read from."""
    return list(st.session_state.get("problems", []))


def restart(lesson: Lesson) -> None:
    """Back to before the prediction; the choices keep their order."""
    states = st.session_state["states"]
    states[lesson.name] = address.start(lesson, states[lesson.name].order)
    st.session_state["problems"] = []
    forget_widgets(lesson)


def forget(lesson: Lesson) -> None:
    """What this session holds of the lesson; the address is then read again."""
    st.session_state.get("states", {}).pop(lesson.name, None)
    _kept().pop(lesson.name, None)
    forget_widgets(lesson)


def widget(lesson: Lesson, name: str, value: Any) -> str:
    """The key of a widget of this lesson, which starts with `value` where the widget is new."""
    key = f"{lesson.name}/{name}"
    if key not in st.session_state:
        st.session_state[key] = value
    return key


def set_widget(lesson: Lesson, name: str, value: Any) -> None:
    """Move a widget; only before it is drawn, as in a callback."""
    st.session_state[f"{lesson.name}/{name}"] = value


def forget_widgets(lesson: Lesson) -> None:
    """Let all widgets of the lesson start anew."""
    for key in [k for k in st.session_state if str(k).startswith(f"{lesson.name}/")]:
        del st.session_state[key]


def go(lesson: Lesson, step: str) -> Callable[[], None]:
    """A callback that leads to another step of the lesson."""

    def move() -> None:
        st.session_state["states"][lesson.name].step = step
        set_widget(lesson, "step", step)

    return move


def _someone_else(lesson: Lesson) -> None:
    """Let the levers stand at their correct places where the lesson was left with another patient in it."""
    seen = st.session_state.setdefault("own/seen", {})
    patient, left = in_link.current(), state_if_any(lesson)
    if left is not None and seen.get(lesson.name, OwnPatient()) != patient:
        left.values = dict(lesson.correct)
        for name in left.values:
            st.session_state.pop(f"{lesson.name}/{name}", None)
    seen[lesson.name] = patient


def _taken_over(lesson: Lesson) -> State | None:
    """The state as it was left, with the step that has been chosen since."""
    left = state_if_any(lesson)
    if left is not None and left.predicted is not None:
        left.step = st.session_state.get(f"{lesson.name}/step", left.step)
    return left


def _forget_positions(lesson: Lesson, read: State) -> None:
    """Let the widgets that the address speaks of start anew; before the prediction, all of the lesson."""
    if read.predicted is None:
        forget_widgets(lesson)
    for name in ("step", "ideal", "scheme", "look", *read.values):
        st.session_state.pop(f"{lesson.name}/{name}", None)


def _kept() -> dict[str, dict[str, str]]:
    """The address of each lesson as it was last put there."""
    return st.session_state.setdefault("kept", {})
