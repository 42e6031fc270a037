"""One lesson: the question, the prediction, and after it the steps."""

from __future__ import annotations

import streamlit as st

from sim.say import all_said, language, say
from sim.screens import cache, heading, lesson_faults, page_links
from sim.screens.lesson import lesson_state, prediction, questions, share_links, try_it, what_to_do, why
from sim.screens.lesson.address import STEPS, State
from sim.screens.own_patient import in_lesson, in_link, panel
from sim.screens.progress import lesson_links
from sim.screens.words import plain
from sim.teach import path
from sim.teach.lesson import Lesson
from sim.teach.lesson_record import FROM_HERE

_STEP_SCREENS = {"try": try_it.show, "why": why.show, "check": questions.show, "do": what_to_do.show}


def show() -> None:
    """The lesson that the address names."""
    lesson = lesson_faults.wanted()
    if lesson is None:
        heading.title(say("This lesson cannot be shown"), say("No such lesson"))
        lesson_faults.missing()
        return
    written, lesson = lesson, in_link.for_lesson(lesson)
    state = lesson_state.state(lesson)
    lesson_state.keep(lesson, state)  # before anything can be clicked whose rerun would bring the address of before
    for problem in lesson_state.problems():
        st.warning(plain(problem), icon=":material/link_off:")
    # The number that file, command and handout have; a lesson of one's own has none.
    number = path.number(lesson)
    named = say("Lesson {number}", number=number) if number else say("Lesson")
    minutes = say("about {minutes} minutes", minutes=lesson.minutes)
    st.html(f'<p class="eyebrow">{say(FROM_HERE) if lesson.local else named} · {minutes}</p>')
    if lesson.language != language() and not lesson.local:
        st.caption(say("This lesson has not been translated yet: it is in English."))
    step = state.step if state.predicted is not None else ""
    heading.title(lesson.title, f"{named}: {lesson.title}", step)
    panel.show()
    in_lesson.words_of(written)
    if state.predicted is None:
        prediction.ask(lesson, state)
        share_links.to_a_room(in_link.linked({"lesson": lesson.name}))
    else:
        _steps(lesson, written, state)


def _steps(lesson: Lesson, written: Lesson, state: State) -> None:
    """The steps after the prediction, one at a time; only the first is about a patient of one's own.

    written: the lesson as its file has it
    """
    key = lesson_state.widget(lesson, "step", state.step)
    st.segmented_control(
        say("Steps of the lesson"),
        list(STEPS),
        format_func=all_said(STEPS).__getitem__,
        key=key,
        required=True,
        label_visibility="collapsed",
    )
    heading.step_title(say(STEPS[state.step]), state.step)
    prediction.note(lesson, state)
    _STEP_SCREENS[state.step](lesson if state.step == "try" else written, state)
    if state.step != "try":  # there the links follow the levers
        share_links.show(lesson, state)
    _onward(lesson, state)
    st.button(
        say("Start this lesson again"),
        on_click=lesson_state.restart,
        args=(lesson,),
        type="tertiary",
        icon=":material/restart_alt:",
        key=f"{lesson.name}/restart",
    )


def _onward(lesson: Lesson, state: State) -> None:
    """The way to the next step, and after the last one to the next lesson."""
    names = list(STEPS)
    place = names.index(state.step)
    with st.container(horizontal=True, key="onward"):
        if place + 1 < len(names):
            following = names[place + 1]
            name = say(STEPS[following])
            st.button(
                say("Next: {step}", step=f"{name[0].lower()}{name[1:]}"),
                on_click=lesson_state.go(lesson, following),
                type="primary",
                icon=":material/arrow_forward:",
                key=f"{lesson.name}/onward",
            )
            return
        lessons, _ = cache.lessons()
        # By name: the files may have been read again since, and one of one's own may be gone.
        index = next((n for n, each in enumerate(lessons) if each.name == lesson.name), len(lessons))
        if index + 1 < len(lessons):
            other = lessons[index + 1]
            lesson_links.show(other, label=say("Next lesson: {title}", title=other.title))
        page_links.link(page_links.page("home"), label=say("All lessons"), icon=":material/grid_view:")
