"""Which case it is: its number is in the address, so that a teacher can set it; its first digit is the level."""

from __future__ import annotations

import streamlit as st

from sim.fields import FieldError
from sim.say import all_said, mark, say
from sim.screens import language, web_address
from sim.screens.own_patient import in_link
from sim.screens.practice import session_answers
from sim.teach import own_setup, practice

OWN_LEVEL = own_setup.FIRST // 1000
LEVELS = {
    1: mark("One mistake, or none"),
    2: mark("Two mistakes"),
    3: mark("Three that partly cancel"),
    OWN_LEVEL: mark("Set it up yourself"),
}
_CASE, _AT = "case", "practice/at"
_NUMBER, _LEVEL = "practice/number", "practice/level"
# Cases of a level follow each other in steps of this size, so that neighbours in number are not neighbours in time.
_STEP, _OF_A_LEVEL = 37, 1000


def current() -> int:
    """The number in the address, else the case that was left, else the first. Raises FieldError."""
    given = st.query_params.get(_CASE)
    number = st.session_state.get(_AT, first(1)) if given is None else _checked(given)
    _go(number)
    return number


def start_again() -> int:
    """The first case, where the address names none."""
    _go(first(1))
    return first(1)


def first(level: int) -> int:
    """The first case of a level."""
    return level * _OF_A_LEVEL + 1


def following(number: int) -> int:
    """The next case of the same level that is not answered yet; the next one where all are."""
    level, place = divmod(number, _OF_A_LEVEL)
    answered = _answered()
    for step in range(1, _OF_A_LEVEL):
        other = level * _OF_A_LEVEL + (place + step * _STEP) % _OF_A_LEVEL
        if other not in answered:
            return other
    return level * _OF_A_LEVEL + (place + _STEP) % _OF_A_LEVEL


def _answered() -> set[int]:
    """The cases that were answered: those that count, or with one's own patient those of this session."""
    return set(session_answers.given()) if in_link.current().set else session_answers.first_answers()


def choose(number: int) -> None:
    """Another level, or another number."""
    st.session_state[_LEVEL], st.session_state[_NUMBER] = number // _OF_A_LEVEL, number
    st.segmented_control(
        say("Level"),
        list(LEVELS),
        format_func=all_said(LEVELS).__getitem__,
        key=_LEVEL,
        required=True,
        label_visibility="collapsed",
        on_change=_to_level,
    )
    with st.popover(say("Number of the case"), icon=":material/tag:", type="tertiary"):
        st.number_input(
            say("A number is a case, the same for everybody"),
            practice.FIRST,
            own_setup.LAST,
            step=1,
            key=_NUMBER,
            on_change=_to_number,
        )
        st.caption(say("Its first digit is the level. This address opens this case, before the answer."))
        web_address.copyable(web_address.whole("practice", {_CASE: str(number)}), "link-case")


def onward(number: int) -> None:
    """The way to the next case."""
    with st.container(horizontal=True, key="onward"):
        st.button(
            say("Next case"),
            on_click=_go,
            args=(following(number),),
            type="primary" if number in session_answers.given() else "secondary",
            icon=":material/arrow_forward:",
            key="practice/next",
        )


def _checked(given: str) -> int:
    if not (given.isascii() and given.isdecimal() and practice.FIRST <= int(given[:9]) <= own_setup.LAST):
        raise FieldError(_CASE, given[:40], f"a whole number from {practice.FIRST} to {own_setup.LAST}")
    return int(given[:9])


def _go(number: int) -> None:
    st.session_state[_AT] = number
    new = in_link.linked({_CASE: str(number)})
    if language.parameters() != new:
        language.put(new)


def _to_level() -> None:
    level = st.session_state[_LEVEL]
    if level is not None:
        start = first(level)
        _go(start if start not in _answered() else following(start))


def _to_number() -> None:
    number = st.session_state[_NUMBER]
    if number is not None:
        _go(int(number))
