"""The first screen: what this is, whom for, the cautions, the lessons."""

from __future__ import annotations

import streamlit as st

from sim.say import language, mark, say
from sim.screens import cache, heading, page_links, pictures
from sim.screens.cautions.texts import EMERGENCY_NONE, EMERGENCY_SYMPTOMS, EMERGENCY_TITLE, ONE_READING, SHORT
from sim.screens.lesson import guessing, lesson_state
from sim.screens.lesson_faults import fault_text, own_unread
from sim.screens.progress import learner, lesson_links, recall_question
from sim.screens.words import plain
from sim.teach import path
from sim.teach.lesson import Lesson
from sim.teach.lesson_record import FROM_HERE
from sim.teach.progress import begun, done
from sim.teach.summary import status

_WHAT = mark(
    "Here the pressure in the artery is known. You take a reading with a simulated cuff, with good or bad technique. "
    "You see what the display says, what was true, and why the two differ."
)
_WHOM = mark(
    "For **nursing students** who learn to measure, for **patient educators** who show why technique matters, and for "
    "**engineers** who want to know what their algorithm reads."
)

_BEYOND = (
    (
        "practice",
        mark("What went wrong here?"),
        mark(
            "Cases without any hints: find the mistakes, or find that there were none, and say what to do next. Or "
            "set up a reading yourself."
        ),
    ),
    (
        "final_test",
        mark("What have you learnt?"),
        mark(
            "Ten cases in a row, and the result after the last one, by kind of mistake. It is training, and no "
            "certificate."
        ),
    ),
    (
        "averages",
        mark("How many readings, and what does their average mean?"),
        mark(
            "Repeat readings and average them, see what a category says, ask whether a surprising reading can be "
            "right, read a log of real readings."
        ),
    ),
    (
        "algorithms",
        mark("What does an algorithm read?"),
        mark(
            "One recording under several algorithms, simulated or your own file; or a study of many people, scored as "
            "the standard scores a device."
        ),
    ),
    (
        "handouts",
        mark("What can patients take home?"),
        mark(
            "Pages to print from any lessons, with drawings, in large print if wanted; questions for a class; a form "
            "for readings at home."
        ),
    ),
    (
        "evidence",
        mark("How well does the model agree with published trials?"),
        mark("Every published effect beside the model's own figure, the misses first, and what the model leaves out."),
    ),
)


def show() -> None:
    """The first screen."""
    lessons, faults = cache.lessons()
    words, care = st.columns([12, 8], gap="large")
    with words, st.container(key="welcome"):
        heading.title(say("The display says one thing. What was true?"), say("Lessons"))
        st.markdown(say(_WHAT))
        _next(lessons)
        st.markdown(say(_WHOM))
    with care, st.container(key="care"):
        st.markdown(f"**{say(ONE_READING)}** {say(SHORT)}")
        st.markdown(f"**{say(EMERGENCY_TITLE)}?** {say(EMERGENCY_SYMPTOMS)} {say(EMERGENCY_NONE)}")
        page_links.link(page_links.page("cautions"), label=say("All cautions"), icon=":material/health_and_safety:")
    recall_question.show(lessons)
    guesses = guessing.own_error_told()
    if guesses:
        with st.container(key="own-guesses"):
            st.markdown(f"**{say('Your guesses.')}** {guesses}")
    titles = (say("Lessons: essentials"), say("Lessons: after that"), say("Lessons: from this clinic"))
    for title, part in zip(titles, path.parts(lessons), strict=True):
        if part:
            st.header(title, anchor=False)
        for first in range(0, len(part), 3):
            for column, lesson in zip(st.columns(3, gap="medium"), part[first : first + 3], strict=False):
                with column:
                    _card(lesson)
    st.header(say("Beyond the lessons"), anchor=False)
    for first in range(0, len(_BEYOND), 3):
        for column, (name, question, text) in zip(
            st.columns(3, gap="medium"), _BEYOND[first : first + 3], strict=False
        ):
            with column, st.container(border=True, height="stretch", key=f"card-{name}"):
                st.markdown(f"### {say(question)}", anchors=False)
                st.markdown(say(text))
                page_links.link(page_links.page(name), label=say("Open"), icon=":material/arrow_forward:")
    for file in dict.fromkeys(fault.file for fault in faults if not fault.local):
        st.warning(fault_text(file, faults), icon=":material/edit_note:")
    if unread := own_unread(faults):
        st.caption(plain(unread))


def _next(lessons: tuple[Lesson, ...]) -> None:
    """The lesson to go on with, in one click."""
    progress = learner.progress()
    finished = sum(done(progress, lesson) for lesson in lessons)
    lesson = path.following(lessons, progress)
    with st.container(key="next"):
        if lesson is not None:
            new = not any(begun(progress, each) for each in lessons)
            words = say("Begin with {lesson}") if new else say("Continue with {lesson}")
            words = words.format(lesson=lesson_links.named(lesson))
            lesson_links.show(lesson, label=words)
        elif lessons:
            page_links.link(
                page_links.page("final_test"), label=say("Take the final test"), icon=":material/arrow_forward:"
            )
        if finished:
            st.caption(say("{done} of {all} lessons done.", done=finished, all=len(lessons)))


def _card(lesson: Lesson) -> None:
    left = lesson_state.state_if_any(lesson)
    here = (left is not None and left.predicted is not None) or begun(learner.progress(), lesson)
    with st.container(border=True, height="stretch", key=f"card-{lesson.name}"):
        st.html(pictures.card(lesson.inputs(lesson.tempting), lesson.picture))
        st.markdown(f"### {plain(lesson.title)}", anchors=False)
        st.markdown(lesson.question)
        about = say("About {minutes} minutes · {audience}", minutes=lesson.minutes, audience=plain(lesson.audience))
        st.caption(f"**{say(FROM_HERE)}** · {about}" if lesson.local else about)
        if lesson.language != language() and not lesson.local:
            st.markdown(f"*{say('Not translated yet: in English.')}*")
        if words := status(learner.progress(), lesson):
            st.markdown(f"**{plain(words)}**")
        again = done(learner.progress(), lesson)
        lesson_links.show(
            lesson, label=say("Open this lesson" if again else "Continue this lesson" if here else "Begin this lesson")
        )
