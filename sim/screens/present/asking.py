"""Before the answer: a lesson's name and its address for phones; then the question, with hands for each choice."""

from __future__ import annotations

from html import escape

import streamlit as st

from sim.explain.same_arm import FIRST_SEED
from sim.say import say
from sim.screens import cache, pictures, web_address
from sim.screens.lesson import address, first_answers
from sim.screens.own_patient import in_lesson, in_link
from sim.screens.present.poll import MOST_HANDS, letter
from sim.screens.present.room import Room
from sim.screens.words import plain
from sim.teach.choice_order import shown_order
from sim.teach.lesson import Lesson

# The wall has room for the names of so many lessons (tried at 1024 by 768).
_MOST_NAMED = 6


def begin(room: Room) -> None:
    """What the lesson is about; where phones can open it, how."""
    lesson = room.lesson
    told, code = st.columns([13, 7], gap="large")
    with told:
        st.markdown(f"## {plain(lesson.question)}")
        st.markdown(_class(room))
        in_lesson.words_of(_as_written(lesson))
        if web_address.shared_host():
            st.markdown(say("This lesson on your phone, in the same network:"))
            web_address.copyable(_for_phones(lesson), "link-class")
    with code:
        if web_address.shared_host():
            st.html(web_address.qr_figure(_for_phones(lesson), say("the lesson before the prediction")))
        else:
            st.html(pictures.asked(lesson.inputs(), lesson.picture))


def _class(room: Room) -> str:
    """Which lessons a class has, this one in bold; of many only how many. "" for one alone."""
    if len(room.lessons) == 1:
        return ""
    if len(room.lessons) > _MOST_NAMED:
        return say("Lesson {number} of {count} in this class.", number=room.place + 1, count=len(room.lessons))
    names = [f"**{plain(each.title)}**" if each is room.lesson else plain(each.title) for each in room.lessons]
    return say("In this class: {lessons}.", lessons="; ".join(names))


def _as_written(lesson: Lesson) -> Lesson:
    """The lesson as its file has it, without a patient of one's own."""
    return next(each for each in cache.lessons()[0] if each.name == lesson.name)


def _for_phones(lesson: Lesson) -> str:
    """The address of the lesson before its prediction."""
    return web_address.whole("lesson", in_link.linked(address.write(address.start(lesson), lesson)))


def ask(room: Room) -> None:
    """The question, its choices with a field for hands each, and the drawing that gives nothing away."""
    lesson = room.lesson
    st.markdown(f"**{plain(lesson.predict.question)}**")
    choices, drawn = st.columns([3, 2], gap="medium")
    with choices:
        st.caption(say("Hands for each choice"))
        for place, number in enumerate(order(lesson)):
            with st.container(horizontal=True, vertical_alignment="center", key=f"choice-{place}"):
                text = lesson.predict.choices[number].text
                st.html(f'<p class="choice"><b>{letter(place)}</b> {escape(text)}</p>')
                _count(room, number, place)
    with drawn:
        st.html(pictures.asked(lesson.inputs(), lesson.picture))


def order(lesson: Lesson) -> list[int]:
    """The author's numbers of the choices in the order that a link for the class shows, too."""
    return shown_order(lesson.name, first_answers.PREDICTION, len(lesson.predict.choices), FIRST_SEED)


def take_over(room: Room) -> None:
    """Hands as the fields have them, also where the page has just gone on from them."""
    for number in range(len(room.lesson.predict.choices)):
        count = st.session_state.get(_key(room, number))
        if count is not None:
            room.counted[number] = int(count)


def _count(room: Room, number: int, place: int) -> None:
    key = _key(room, number)
    if key not in st.session_state:
        st.session_state[f"{key}/begun"] = room.counted.get(number, 0)
    label = say("Hands for {letter}", letter=letter(place))
    begun = st.session_state[f"{key}/begun"]
    st.number_input(label, 0, MOST_HANDS, begun, 1, key=key, label_visibility="collapsed")


def _key(room: Room, number: int) -> str:
    return f"room/hands/{room.lesson.name}/{number}"
