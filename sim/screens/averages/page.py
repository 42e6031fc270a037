"""The page of averages: one question at a time."""

from __future__ import annotations

import streamlit as st

from sim.say import mark, say
from sim.screens import heading, url_widgets
from sim.screens.averages import categories, population, real_log, repeat, surprising
from sim.screens.cautions.texts import ONE_READING

# Short names for phones, and the question that each answers.
VIEWS = {
    "repeat": (mark("Repeat and average"), mark("How much does averaging help?")),
    "name": (mark("Categories"), mark("Can 129 and 131 be told apart?")),
    "people": (mark("A population"), mark("What does a small error do to many people?")),
    "surprise": (mark("A surprising reading"), mark("Can this reading be right?")),
    "log": (mark("A real log"), mark("What does a week of readings say?")),
}
_SCREENS = {
    "repeat": repeat.show,
    "name": categories.show,
    "people": population.show,
    "surprise": surprising.show,
    "log": real_log.show,
}


def show() -> None:
    """The question that the address names, and its answer."""
    view = url_widgets.segments("view", say("What to look at"), {name: say(words[0]) for name, words in VIEWS.items()})
    short, question = (say(words) for words in VIEWS[view])
    heading.title(question, say("Averages: {view}", view=short))
    _SCREENS[view]()
    st.caption(say(ONE_READING))
