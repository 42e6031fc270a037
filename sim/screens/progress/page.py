"""My progress: what was done, to look at, to hand in, to take along and to delete."""

from __future__ import annotations

import streamlit as st

from sim.say import all_said, mark, say
from sim.screens import cache, heading, page_links, url_widgets
from sim.screens.cautions.texts import ONE_READING, SHORT
from sim.screens.progress import browser_store, handing_in, learner, lesson_links, taking_along
from sim.screens.words import plain
from sim.teach import path
from sim.teach.lesson import Lesson
from sim.teach.lesson_record import FROM_HERE
from sim.teach.practice_score import tally
from sim.teach.summary import NEVER_CORRECT, score_line, status, test_lines

_VIEWS = {
    "done": mark("Done"),
    "summary": mark("Summary"),
    "checklist": mark("Checklist"),
    "along": mark("Take along"),
}
_WHERE = mark("It is kept in this browser only, and nobody else sees it. The first answer to each question counts.")
_NOT_KEPT = mark("This browser keeps nothing, as in a private window. Take your progress with you before you close it.")


def show() -> None:
    """The part of it that the address names."""
    heading.title(say("My progress"), say("My progress"))
    if not browser_store.keeps():
        st.warning(say(_NOT_KEPT), icon=":material/warning:")
    view = url_widgets.segments("view", say("My progress"), all_said(_VIEWS))
    screens = {"summary": handing_in.summary, "checklist": handing_in.checklist, "along": taking_along.show}
    screens.get(view, _done)()
    st.caption(f"{say(SHORT)} {say(ONE_READING)} {say(NEVER_CORRECT)}")


def _done() -> None:
    st.markdown(say(_WHERE))
    lessons, _ = cache.lessons()
    for title, part in zip((mark("Essentials"), mark("After that"), FROM_HERE), path.parts(lessons), strict=True):
        if part:
            st.header(say(title), anchor=False)
            with st.container(gap=None, key=f"lessons-{title.partition(' ')[0]}"):
                for lesson in part:
                    _lesson(lesson)
    _practice()
    _tests()


def _lesson(lesson: Lesson) -> None:
    words = status(learner.progress(), lesson)
    with st.container(gap=None):
        lesson_links.show(lesson)
        if words:
            st.caption(plain(words))


def _practice() -> None:
    progress = learner.progress()
    st.header(say("Practice cases"), anchor=False)
    counts = tally(progress.cases, progress.own)
    if counts:
        st.markdown(say("First answers to {cases} cases:", cases=len(progress.cases) + len(progress.own)))
        st.markdown("\n".join(f"- {score_line(count)}" for count in counts))
    page_links.link(page_links.page("practice"), label=say("Practise"), icon=":material/arrow_forward:")


def _tests() -> None:
    progress = learner.progress()
    st.header(say("Final test"), anchor=False)
    for seed in sorted(progress.tests):
        st.markdown(f"**{say('Test {seed}', seed=seed)}**")
        st.markdown("\n".join(f"- {line}" for line in test_lines(seed, progress)))
    page_links.link(page_links.page("final_test"), label=say("Final test"), icon=":material/arrow_forward:")
