"""Find what went wrong: what is shown, what is asked, and afterwards what was right."""

from __future__ import annotations

import streamlit as st

from sim.say import mark, say
from sim.screens.own_patient import in_link
from sim.screens.practice import cards, outcome, session_answers
from sim.screens.words import plain
from sim.teach.own_patient import NOBODY, OwnPatient
from sim.teach.practice import BANDS, Case, case
from sim.teach.practice_answers import DIRECTIONS, NEXT, NOTHING, Answer, band_words, order

_SHOWN_THEN = mark("The truth is shown when all four are answered. A wrong guess still helps you learn.")


def show(number: int) -> None:
    """The case of this number."""
    own = in_link.current()
    found = case(number, own)
    seen(found, own)
    if number in session_answers.given():
        outcome.show(found, session_answers.given()[number], own)
        return
    answer = questions(found, session_answers.key(number), _SHOWN_THEN)
    if answer is not None:
        session_answers.answer(number, answer)
        st.rerun()


def seen(found: Case, own: OwnPatient = NOBODY) -> None:
    """The set-up, a few words, the display and a recording; nothing that tells the truth."""
    setup, numbers = st.columns([11, 9], gap="large")
    with setup, st.container(border=True, key="card-practice-setup"):
        cards.simulated()
        words = cards.drawing(found.setup)
        st.markdown("\n".join(f"- {plain(sentence)}" for sentence in found.words))
        cards.in_words(words)
        cards.sizes()
    readings = session_answers.readings(found.number, own)
    with numbers, st.container(border=True, key="card-practice-display"):
        cards.display(readings)
        cards.first_recording(readings)


def questions(found: Case, key: str, until: str) -> Answer | None:
    """All that is asked; the answer, in the run in which it is given, which it can be once everything is said.

    key: what the keys of the widgets begin with;  until: a line that stands there until everything is said
    """
    with st.container(key="practice-questions"):
        named = _named(found.number, key)
        direction = cards.ask(
            say("2. Compared with the resting pressure, the mean systolic display is"), DIRECTIONS, f"{key}/direction"
        )
        band = 0 if direction == "alike" else _band(key)
        following = cards.ask(say("4. What do you do next?"), NEXT, f"{key}/next")
        nothing = bool(st.session_state.get(f"{key}/nothing"))
        if nothing and named:
            st.warning(say("Nothing was wrong, or a mistake was made: it cannot be both."), icon=":material/rule:")
        complete = (nothing != bool(named)) and None not in (direction, band, following)
        if st.button(say("This is my answer"), type="primary", disabled=not complete, key=f"{key}/commit"):
            return Answer(tuple(named), str(direction), int(band or 0), str(following))
        if not complete:
            st.caption(say(until))
    return None


def _named(number: int, key: str) -> list[str]:
    st.markdown(say("**1. What was wrong?** Tick all that you see."))
    listed = order(number)
    third = -(-len(listed) // 3)
    named = []
    for place, column in enumerate(st.columns(3)):
        with column, st.container(gap=None):
            named += [
                m.name
                for m in listed[place * third : (place + 1) * third]
                if st.checkbox(say(m.name), key=f"{key}/named/{m.name}")
            ]
    st.checkbox(say(NOTHING), key=f"{key}/nothing")
    return named


def _band(key: str) -> int | None:
    bands = {str(band): band_words(band) for band in range(1, len(BANDS) + 1)}
    chosen = cards.ask(say("3. By how much?"), bands, f"{key}/band")
    return None if chosen is None else int(chosen)
