"""The player on a wall: two readings side by side, the number kept back until the cuff has emptied."""

from __future__ import annotations

from typing import Any

import streamlit as st

from sim.fields import FieldError
from sim.say import say
from sim.screens import cache, heading, language, lesson_faults, numbers_panel
from sim.screens.lesson import address
from sim.screens.lesson.try_it import unit
from sim.screens.own_patient import in_link
from sim.screens.present import bar
from sim.screens.present.room import Room
from sim.screens.watch import player
from sim.screens.watch.page import watched
from sim.screens.words import plain, sentence


def show() -> None:
    """The reading that the address names, as on the page Watch."""
    lesson = lesson_faults.wanted()
    if lesson is None:
        heading.title(say("This reading cannot be shown"), say("No such lesson"))
        lesson_faults.missing()
        return
    lesson = in_link.for_lesson(lesson)
    given = {name: value for name, value in language.parameters().items() if name != "view"}
    state, problems = address.read(given, lesson)
    room = _room(lesson, given, state)
    if room.blank:
        bar.blank(room)
        return
    state.values = room.values
    watch = say("Watch a reading happen")
    heading.title(f"{lesson.title} · {watch}", f"{say('For a room')}: {lesson.title}, {watch}")
    for problem in problems:
        st.warning(plain(problem), icon=":material/link_off:")
    try:
        shown = watched(lesson, state)
        found = [cache.readings(each.side.inputs, state.seed, state.ideal, state.reading) for each in shown]
    except FieldError as error:
        st.warning(plain(sentence(str(error))), icon=":material/tune:")
    else:
        if urgent := next(filter(None, map(numbers_panel.urgent, found)), ""):
            st.html(urgent)
        with st.container(key="room-player"):
            player.show(shown, on_wall=True)
    _bar(room, address.write(state, lesson))


def _bar(room: Room, query: dict[str, str]) -> None:
    with st.container(horizontal=True, vertical_alignment="center", key="room-bar"):
        bar.press("down", "▼", room.move, (-1,), words=say("Lever down"))
        bar.press("up", "▲", room.move, (1,), words=say("Lever up"))
        st.markdown(f"{plain(room.moving.label)}: **{plain(_position(room))}**")
        bar.press("blank", say("Blank"), setattr, (room, "blank", True))
        bar.keys_shown()
        bar.leave("watch", query)


def _position(room: Room) -> str:
    lever, value = room.moving, room.values[room.moving.field]
    if lever.is_choice:
        return next(option.label for option in lever.options if option.value == value)
    return f"{value:g}{unit(lever).replace('%%', '%')}"


def _room(lesson: Any, given: dict[str, str], state: address.State) -> Room:
    """Where the lever is: as the address has it, until a key moves it."""
    kept = st.session_state.get("room-player")
    if kept is None or kept[0] != given:
        room = Room((lesson,))
        room.values = dict(state.values)
        kept = st.session_state["room-player"] = (given, room)
    found: Room = kept[1]
    found.lessons = (lesson,)  # in the language that is spoken now
    return found
