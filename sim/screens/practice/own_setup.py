"""Set it up yourself: cuff, support and moment are chosen, then the readings are taken and broken down."""

from __future__ import annotations

import streamlit as st

from sim.say import mark, say
from sim.screens import steps_shown
from sim.screens.own_patient import in_link
from sim.screens.practice import cards, session_answers
from sim.screens.words import plain
from sim.teach import own_setup
from sim.teach.own_setup import MOMENTS, SUPPORTS, Chosen, Room

_ABOUT = {"cuff": mark("The cuff."), "support": mark("The support."), "moment": mark("The moment.")}


def show(number: int) -> None:
    """The room of this number."""
    room = own_setup.room(number, in_link.current())
    seen, asked = st.columns([11, 9], gap="large")
    with asked:
        chosen = session_answers.given().get(number)
        if chosen is None:
            chosen = _choose(room)
        else:
            _chosen(room, chosen)
    with seen, st.container(border=True, key="card-practice-setup"):
        cards.simulated()
        _drawing(room)
        st.markdown("\n".join(f"- {plain(sentence)}" for sentence in room.words))
        cards.sizes()
    if chosen is not None and number in session_answers.given():
        _result(room, chosen)


def _chosen(room: Room, chosen: Chosen) -> None:
    """What was chosen, once the readings are taken."""
    size = next(b for b in room.sizes if b.name == chosen.bladder)
    st.markdown(say("**You chose**"))
    st.markdown(
        say("1. the bladder {size}", size=size.printed)
        + "\n"
        + say("2. the arm {support}", support=say(SUPPORTS[chosen.support]))
        + f"\n3. {say(MOMENTS[chosen.moment])}"
    )


def _choose(room: Room) -> Chosen | None:
    """The three choices, and the button that takes the readings."""
    key = session_answers.key(room.number)
    sizes = {b.name: b.printed for b in room.sizes}
    with st.container(key="practice-questions"):
        bladder = cards.ask(say("1. The cuff, by the bladder printed on it"), sizes, f"{key}/bladder")
        support = cards.ask(say("2. The arm rests"), SUPPORTS, f"{key}/support")
        moment = cards.ask(say("3. The readings are taken"), MOMENTS, f"{key}/moment")
        chosen = Chosen(bladder, support, moment) if bladder and support and moment else None
        taken = st.button(say("Take the readings"), type="primary", disabled=chosen is None, key=f"{key}/commit")
        if taken and chosen is not None:
            session_answers.answer(room.number, chosen)
            st.rerun()
    return chosen


def _drawing(room: Room) -> None:
    """The arm on the support and in the cuff, as far as they are chosen."""
    given = session_answers.given().get(room.number)
    key = session_answers.key(room.number)
    bladder = given.bladder if given else st.session_state.get(f"{key}/bladder")
    support = given.support if given else st.session_state.get(f"{key}/support")
    if not (bladder and support):
        st.caption(say("The drawing appears when a cuff and a support are chosen, and follows them."))
        return
    setup = own_setup.set_up(room, Chosen(bladder, support, "five"))
    cards.in_words(cards.drawing(setup, table_lower_cm=max(room.heights_cm["table"], 0.0)))


def _result(room: Room, chosen: Chosen) -> None:
    """What came of it."""
    said = own_setup.remarks(room, chosen)
    st.header(say("The result"), anchor=False)
    readings = session_answers.own_readings(room.number, chosen, in_link.current())
    cards.beside_the_truth(readings)
    if all(remark.right for remark in said):
        st.success(
            say("**Good.** Nothing was wrong with how these readings were taken."), icon=":material/check_circle:"
        )
    for remark in said:
        words = f"**{say(_ABOUT[remark.about])}** {remark.words}"
        if remark.right:
            st.success(words, icon=":material/check_circle:")
        else:
            st.warning(words, icon=":material/psychology_alt:")
    st.header(say("What added what"), anchor=False)
    steps_shown.show(readings.mean(), "practice-steps")
    cards.again(room.number, say("Set it up again"), say("The first choice"))
