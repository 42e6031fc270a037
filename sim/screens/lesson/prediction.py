"""Before anything is shown: the learner commits to a prediction. Afterwards: the answer to it."""

from __future__ import annotations

import streamlit as st

from sim.say import say
from sim.screens import pictures
from sim.screens.lesson import first_answers, guessing, lesson_state
from sim.screens.lesson.address import NO_PREDICTION, State
from sim.screens.own_patient import in_lesson
from sim.screens.words import plain
from sim.teach.choice_order import shown_order
from sim.teach.lesson import Lesson
from sim.teach.parts import PredictChoice


def ask(lesson: Lesson, state: State) -> None:
    """The question and its choices; nothing has been measured yet."""
    asked, drawn = st.columns([11, 9], gap="large")
    with asked, st.container(key="prediction"):
        st.markdown(f"## {lesson.question}", anchors=False)
        key = lesson_state.widget(lesson, "choice", None)
        chosen = st.radio(
            lesson.predict.question,
            shown_order(lesson.name, first_answers.PREDICTION, len(lesson.predict.choices), state.order),
            format_func=lambda i: lesson.predict.choices[i].text,
            index=None,
            key=key,
        )
        in_lesson.said_of(lesson.predict.question)
        guessing.ask(lesson)
        st.button(
            say("This is my prediction"),
            type="primary",
            disabled=chosen is None,
            on_click=_commit,
            args=(lesson, state),
            key=f"{lesson.name}/commit",
        )
        st.caption(say("Answer first. A wrong guess still helps you learn."))
    with drawn:
        st.html(pictures.asked(lesson.inputs(), lesson.picture))


def _commit(lesson: Lesson, state: State) -> None:
    chosen = st.session_state.get(f"{lesson.name}/choice")
    if chosen is not None and guessing.take(lesson, state):
        state.predicted = chosen + 1
        first_answers.first(lesson, first_answers.PREDICTION, lesson.predict.choices, chosen)


def answer(lesson: Lesson, state: State) -> None:
    """What to say to the prediction that was made, and beside it to the guess, where there is one."""
    if state.guess is None:
        _reply(lesson, state)
        return
    replied, guessed = st.columns([11, 9], gap="large")
    with replied:
        _reply(lesson, state)
    with guessed:
        guessing.answer(lesson, state)


def note(lesson: Lesson, state: State) -> None:
    """Keep the first guess of this session, also where the address brought it.

    A prediction in an address may be somebody else's, so it is no first answer: only one that was made here is.
    """
    guessing.note(lesson, state)


def _reply(lesson: Lesson, state: State) -> None:
    if state.predicted == NO_PREDICTION or state.predicted is None:
        st.info(say("The question was: {question}", question=lesson.predict.question), icon=":material/help:")
        return
    choice = lesson.predict.choices[state.predicted - 1]
    said = say("You predicted: *{choice}*", choice=plain(choice.text))
    _answered(choice, said, lesson)
    in_lesson.said_of(choice.reply)


def _answered(choice: PredictChoice, said: str, lesson: Lesson) -> None:
    if choice.right:
        reply = choice.reply.removeprefix(say("Yes. "))
        st.success(f"{said}  \n**{say('Yes, that is right.')}** {reply}", icon=":material/check_circle:")
        return
    right = next((c.text for c in lesson.predict.choices if c.right), "")
    answered = f"{said}  \n**{say('Not quite.')}** {choice.reply}"
    if right:
        answered += "  \n" + say("Right: *{choice}*", choice=plain(right))
    st.warning(answered, icon=":material/psychology_alt:")
