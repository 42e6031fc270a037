"""The answer on the wall: which choice is right and why, the room's hands, display and truth, the picture."""

from __future__ import annotations

from html import escape

import streamlit as st

from sim.explain.same_arm import FIRST_SEED, SameArm
from sim.fields import FieldError
from sim.say import say
from sim.screens import cache, lesson_pictures, numbers_panel, pictures
from sim.screens.own_patient import in_lesson
from sim.screens.present import asking, poll
from sim.screens.present.room import Room
from sim.screens.words import plain, sentence


def show(room: Room) -> None:
    """The scene that was asked about: the same readings as everybody's who opens the lesson."""
    found = readings(room, room.scene)
    if found is None:
        return
    numbers(room, found)
    told, drawn = st.columns([11, 9], gap="medium")
    with told:
        _answer(room)
    with drawn:
        picture(room, room.scene, found)


def readings(room: Room, values: dict) -> SameArm | None:
    """Readings with the levers there; None, and why, where these do not go together."""
    try:
        return cache.readings(room.lesson.inputs(values), FIRST_SEED, ideal=False)
    except FieldError as error:
        st.warning(plain(sentence(str(error))), icon=":material/tune:")
        return None


def numbers(room: Room, found: SameArm) -> None:
    """Truth, display and difference, what a second algorithm reads, and the advice where a number is very high."""
    st.html(numbers_panel.panel(found, ""))
    if second := numbers_panel.second(found, room.lesson.compare_with):
        st.html(f'<section class="remarks">{second}</section>')
    if urgent := numbers_panel.urgent(found):
        st.html(urgent)


def picture(room: Room, values: dict, found: SameArm) -> None:
    """The lesson's drawings with the levers there, and the cut across the arm where the lesson has it beside them."""
    inputs, name = room.lesson.inputs(values), room.lesson.picture
    drawn = pictures.seated(inputs, name, found.mean.result.reading)
    if lesson_pictures.PICTURES[name].across:
        drawn = f'<div class="side-by-side">{drawn}{pictures.across(inputs)}</div>'
    st.html(drawn)


def _answer(room: Room) -> None:
    lesson, order = room.lesson, asking.order(room.lesson)
    right = next(number for number, choice in enumerate(lesson.predict.choices) if choice.right)
    choice = lesson.predict.choices[right]
    named = f"{poll.letter(order.index(right))}: {escape(choice.text)}"
    told = say("Right is <b>{choice}</b>", choice=named)
    st.html(f'<p class="right-answer"><span aria-hidden="true">✓</span> {told}</p>')
    if bars := poll.bars(order, right, room.counted):
        st.html(bars)
    st.markdown(choice.reply.removeprefix("Yes. ").removeprefix(say("Yes. ")))
    in_lesson.said_of(choice.reply)
    in_lesson.no_longer(lesson)
