"""Where everyone is in each lesson, kept for the session and in the address."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import streamlit as st

from sim.screens import address
from sim.screens.address import State
from sim.teach.lesson import Lesson

# Addresses written lately: a page in the browser may still send one that has been replaced since.
_REMEMBERED = 50


def state(lesson: Lesson) -> State:
    """The state of the lesson: from the address where someone came by a link, else as it was left."""
    states = st.session_state.setdefault("states", {})
    given = st.query_params.to_dict()
    if given not in _written():
        states[lesson.name], problems = address.read(given, lesson)
        st.session_state["problems"] = problems
        forget_widgets(lesson)
    if lesson.name not in states:
        states[lesson.name] = address.start(lesson)
    return states[lesson.name]


def state_if_any(lesson: Lesson) -> State | None:
    """The state as it was left in this session."""
    return st.session_state.get("states", {}).get(lesson.name)


def keep(lesson: Lesson, current: State) -> None:
    """Put the state into the address."""
    new = address.write(current, lesson)
    if st.query_params.to_dict() != new:
        st.query_params.from_dict(new)
    written = _written()
    if new in written:
        written.remove(new)
    written.append(new)
    del written[:-_REMEMBERED]


def problems() -> list[str]:
    """What was wrong with the address that the state was last read from."""
    return list(st.session_state.get("problems", []))


def restart(lesson: Lesson) -> None:
    """Back to before the prediction."""
    st.session_state["states"][lesson.name] = address.start(lesson)
    st.session_state["problems"] = []
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


def _written() -> list[dict[str, str]]:
    return st.session_state.setdefault("written", [])
