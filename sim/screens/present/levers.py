"""A lever on the wall: numbers and picture follow it, or are held while it moves."""

from __future__ import annotations

import streamlit as st

from sim.say import say
from sim.screens.lesson.try_it import unit
from sim.screens.present import answering
from sim.screens.present.bar import press
from sim.screens.present.room import Room
from sim.screens.words import plain
from sim.teach.parts import Lever


def show(room: Room) -> None:
    """Numbers, lever and picture."""
    found = answering.readings(room, room.shown)
    if found is not None:
        answering.numbers(room, found)
    hands, eyes = st.columns([9, 11], gap="medium")
    with hands:
        _lever(room)
    with eyes:
        if found is not None:
            answering.picture(room, room.shown, found)


def take_over(room: Room) -> None:
    """Where the widget has the lever, before the numbers above it are drawn."""
    value = st.session_state.get(_key(room))
    if value is not None:
        room.values[room.moving.field] = value


def _lever(room: Room) -> None:
    lever = room.moving
    st.markdown(f"**{plain(lever.label)}**")
    _widget(room, lever)
    with st.container(horizontal=True, key="moves"):
        press("down", "▼", room.move, (-1,), words=say("Lever down"))
        press("up", "▲", room.move, (1,), words=say("Lever up"))
        press("mistake", say("Mistake"), room.put_mistake, words=say("Show a common mistake"))
        press("correct", say("Correct"), room.put_correct, words=say("Back to correct technique"))
        if len(room.lesson.levers) > 1:
            press("other", say("Other lever"), room.other_lever, words=say("The next lever of this lesson"))
    if room.held is not None:
        st.info(say("Held: numbers and picture stay as they were. Let go to see what the lever did."))


def _widget(room: Room, lever: Lever) -> None:
    """The lever; whenever a key or a button moves it, it is a new widget with its own start."""
    key, value = _key(room), room.values[lever.field]
    if key not in st.session_state:
        st.session_state[f"{key}/begun"] = value
    begun = st.session_state[f"{key}/begun"]
    if lever.is_choice:
        labels = {option.value: option.label for option in lever.options}
        names = list(labels)
        st.radio(
            lever.label,
            names,
            names.index(begun),
            format_func=labels.__getitem__,
            key=key,
            label_visibility="collapsed",
        )
        return
    ends = float(lever.low), float(lever.high)
    form = f"%g{unit(lever)}"
    st.slider(lever.label, *ends, float(begun), float(lever.step), format=form, key=key, label_visibility="collapsed")


def _key(room: Room) -> str:
    return f"room/{room.lesson.name}/{room.moving.field}/{room.moved}"
