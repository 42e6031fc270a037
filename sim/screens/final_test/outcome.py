"""The result of a final test: by kind of mistake and of question, with the lessons on what was missed."""

from __future__ import annotations

import streamlit as st

from sim.say import say
from sim.screens import cache, page_links
from sim.screens.practice.outcome import lesson_on
from sim.screens.progress import lesson_links
from sim.screens.progress.learner import progress
from sim.teach.final_test import CASES, numbers, result
from sim.teach.practice import possible
from sim.teach.summary import score_line


def show(seed: int) -> None:
    """The result."""
    found = result(seed, progress().tests[seed])
    st.header(say("Your result"), anchor=False)
    st.markdown(
        say("You named exactly the right mistakes in **{right} of {cases}** cases.", right=found.mistakes, cases=CASES)
    )
    st.markdown(say("How often you found each mistake, of how often it was made, and how often you answered rightly:"))
    st.markdown("\n".join(f"- {score_line(count)}" for count in found.counts))
    _lessons(found.missed, say("You missed these. The lessons on them:"))
    _lessons(tuple(n for n in found.false if n not in found.missed), say("You named these where they were not made:"))
    with st.expander(say("Look at the cases again, with the truth"), icon=":material/replay:"):
        st.markdown(
            say("Each opens as a case to practise on: answer it once more, then you see what was true and why.")
        )
        with st.container(horizontal=True):
            for place, number in enumerate(numbers(seed), 1):
                query = {"case": str(number)}
                label = say("Case {number}", number=place)
                page_links.link(page_links.page("practice"), label=label, query_params=query)
    page_links.link(page_links.page("progress"), label=say("My progress, to print or hand in"), icon=":material/print:")


def _lessons(names: tuple[str, ...], words: str) -> None:
    if not names:
        return
    st.markdown(words)
    fields = {mistake.name: mistake.field for mistake in possible()}
    lessons, _ = cache.lessons()
    for name in names:
        lesson = lesson_on(fields[name], lessons)
        if lesson is not None:
            lesson_links.show(lesson, f"{say(name)}: ")
