"""The display's two numbers, guessed before anything is shown; afterwards guess, display and truth together."""

from __future__ import annotations

import streamlit as st

from sim.explain.same_arm import FIRST_SEED, SameArm
from sim.fields import FieldError
from sim.figures.numbers import pair
from sim.say import mark, say
from sim.screens import cache
from sim.screens.charts.guessed import guessed_chart
from sim.screens.charts.shown import draw
from sim.screens.lesson.address import State
from sim.screens.words import plain
from sim.teach.guess import DBP_MMHG, SBP_MMHG, Guess, Guessed, own_error, told
from sim.teach.lesson import Lesson

_NAMES = {"sbp": mark("Systolic, mmHg"), "dbp": mark("Diastolic, mmHg")}
_LIMITS = {"sbp": SBP_MMHG, "dbp": DBP_MMHG}
_GUESSED = "guessed"
NOT_TO_CORRECT = mark(
    "These numbers belong to this simulated person. Never correct a real reading with them: measure again."
)


def ask(lesson: Lesson) -> None:
    """Two empty fields; whoever has no guess leaves them empty."""
    if not lesson.predict.guess:
        return
    subject = lesson.scenario.subject
    resting = pair(float(subject.sbp), float(subject.dbp))
    guess = say("**Guess the numbers, too.** The resting pressure is {resting}.", resting=resting)
    with st.container(key="guess"):
        st.markdown(f"{guess} {say(lesson.predict.guess)}")
        with st.container(horizontal=True, key="guess-fields"):
            for name, label in _NAMES.items():
                low, high = _LIMITS[name]
                st.number_input(say(label), low, high, value=None, step=1, key=f"{lesson.name}/guess-{name}", width=160)
        st.caption(say("Guess both numbers, or leave both fields empty."))
        fault = st.session_state.get(f"{lesson.name}/guess-fault")
        if fault:
            st.warning(plain(fault), icon=":material/edit_note:")


def take(lesson: Lesson, state: State) -> bool:
    """Take over what stands in the fields; False where it is no guess, which `ask` then says."""
    sbp, dbp = (st.session_state.get(f"{lesson.name}/guess-{name}") for name in _NAMES)
    st.session_state.pop(f"{lesson.name}/guess-fault", None)
    if sbp is None and dbp is None:
        return True
    try:
        if sbp is None or dbp is None:
            raise FieldError("guess", "one number", "two numbers, or none")
        state.guess = Guess(int(sbp), int(dbp))
    except FieldError as error:
        st.session_state[f"{lesson.name}/guess-fault"] = f"{error}."
        return False
    return True


def answer(lesson: Lesson, state: State) -> None:
    """Guess, display and truth on one scale, and in a sentence; nothing without a guess."""
    guessed = note(lesson, state)
    if guessed is None:
        return
    resting = _readings(lesson).every.truth.resting
    sbp, dbp = float(resting.sbp[0]), float(resting.dbp[0])
    words = say(
        "You guessed {guess}; the display shows {display} on average in this scene; the resting pressure was {truth}.",
        guess=guessed.guess,
        display=f"{guessed.sbp}/{guessed.dbp}",
        truth=pair(sbp, dbp),
    )
    with st.container(key="guessed"):
        st.markdown(f"**{words}**")
        chart = guessed_chart((guessed.guess.sbp, guessed.sbp, sbp), (guessed.guess.dbp, guessed.dbp, dbp))
        draw(chart, words, "guessed-chart")
        st.caption(f"{_way_there(lesson)}{say(NOT_TO_CORRECT)}")


def _way_there(lesson: Lesson) -> str:
    """That the scene is reached by the levers, which start at their correct places."""
    if lesson.predict.shows is None or not lesson.predict.shows.at:
        return ""
    return say("Move the levers below to get to this scene.") + " "


def note(lesson: Lesson, state: State) -> Guessed | None:
    """The guess beside the display that was guessed; the first one of a lesson counts for the learner's own error."""
    if state.guess is None or state.predicted is None:
        return None
    reading = _readings(lesson).mean.result.reading
    if not reading.ok[0]:
        return None
    guessed = Guessed(state.guess, round(float(reading.sbp[0])), round(float(reading.dbp[0])))
    _kept().setdefault(lesson.name, guessed)
    return guessed


def own_error_told() -> str:
    """How far the learner's guesses of this session were from the display; "" without a guess."""
    error = own_error(list(_kept().values()))
    return "" if error is None else told(error)


def _readings(lesson: Lesson) -> SameArm:
    """The readings of the scene that the prediction asks about: the same for everybody, whatever was moved since."""
    shows = lesson.predict.shows
    return cache.readings(lesson.inputs(shows.at if shows else {}), FIRST_SEED, ideal=False)


def _kept() -> dict[str, Guessed]:
    """The first guess of each lesson in this session, by the lesson's name."""
    return st.session_state.setdefault(_GUESSED, {})
