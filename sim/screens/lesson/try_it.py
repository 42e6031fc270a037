"""Try it: levers, the two numbers, and the picture that explains."""

from __future__ import annotations

from typing import Any

import streamlit as st

from sim.explain.categories import schemes
from sim.explain.same_arm import READINGS
from sim.fields import FieldError, Limit
from sim.say import say
from sim.screens import cache, language, lesson_pictures, numbers_panel, page_links, pictures, readings_strip
from sim.screens.cautions.texts import LISTENER
from sim.screens.lesson import address, detail_views, lesson_state, prediction, share_links
from sim.screens.lesson.address import HIGHEST_SEED, State
from sim.screens.own_patient import in_lesson, in_link
from sim.screens.words import plain, sentence
from sim.setup import RECORDS
from sim.teach.lesson import Lesson
from sim.teach.parts import Lever


def show(lesson: Lesson, state: State) -> None:
    """The answer to the prediction, then the bench."""
    prediction.answer(lesson, state)
    in_lesson.no_longer(lesson)
    _bench(lesson)


@language.fragment
def _bench(lesson: Lesson) -> None:
    """What follows a lever; alone it runs again when one moves."""
    state = lesson_state.state_if_any(lesson)
    if state is None:
        return
    _take_over(lesson, state)
    try:
        inputs = lesson.inputs(state.values)
        found = cache.readings(inputs, state.seed, state.ideal, state.reading)
    except FieldError as error:
        st.warning(plain(sentence(str(error))), icon=":material/tune:")
        _levers(lesson)
        return
    st.html(numbers_panel.panel(found, state.scheme))
    if urgent := numbers_panel.urgent(found):
        st.html(urgent)
    # Numbers and pictures stay in sight while a lever is moved (style.css).
    with st.container(key="try-it"):
        hands, eyes = st.columns([9, 11], gap="large")
        with hands:
            _levers(lesson)
            _controls(lesson, state)
            _watch(lesson, state)
            if lesson_pictures.PICTURES[lesson.picture].across:
                st.html(pictures.across(inputs))
        with eyes:
            readings_strip.show(found)
            detail_views.view(lesson_pictures.PICTURES[lesson.picture].leads, lesson, inputs, found)
    st.html(numbers_panel.remarks(found, state.scheme, lesson.compare_with))
    st.caption(say(LISTENER))
    detail_views.show(lesson, state, inputs, found)
    _categories(lesson)
    share_links.show(lesson, state)
    lesson_state.keep(lesson, state)


def _watch(lesson: Lesson, state: State) -> None:
    """The way to the page that plays this very reading."""
    page_links.link(
        page_links.page("watch"),
        label=say("Watch this reading happen"),
        icon=":material/play_circle:",
        query_params=in_link.linked(address.write(state, lesson)),
    )


def _take_over(lesson: Lesson, state: State) -> None:
    """What the widgets below say, before they are drawn: the numbers stand above them."""
    for lever in lesson.levers:
        state.values[lever.field] = st.session_state[
            lesson_state.widget(lesson, lever.field, state.values[lever.field])
        ]
    state.ideal = st.session_state[lesson_state.widget(lesson, "ideal", state.ideal)]
    state.scheme = st.session_state[lesson_state.widget(lesson, "scheme", state.scheme)]
    state.look = st.session_state[lesson_state.widget(lesson, "look", state.look)]


def _levers(lesson: Lesson) -> None:
    for lever in lesson.levers:
        key = f"{lesson.name}/{lever.field}"
        if lever.is_choice:
            labels = {option.value: option.label for option in lever.options}
            st.radio(lever.label, list(labels), format_func=labels.__getitem__, key=key)
        else:
            st.slider(
                lever.label,
                float(lever.low),
                float(lever.high),
                step=float(lever.step),
                format=f"%g{unit(lever)}",
                key=key,
            )
        if lever.help:
            st.caption(lever.help)


def unit(lever: Lever) -> str:
    """What stands behind the lever's number in the slider's format, short enough for a phone."""
    limit = RECORDS[lever.group].LIMITS.get(lever.name)
    unit = limit.unit.replace("%", "%%") if isinstance(limit, Limit) else ""
    return "°" if unit == "degrees" else " " + unit if unit else ""


def _controls(lesson: Lesson, state: State) -> None:
    """Mistake and back, another reading, chance left out."""
    with st.container(horizontal=True, key="mistakes"):
        st.button(
            say("Show a common mistake"),
            on_click=_tempt,
            args=(lesson,),
            icon=":material/warning:",
            key=f"{lesson.name}/tempt",
        )
        st.button(
            say("Back to correct technique"),
            on_click=_put,
            args=(lesson, lesson.correct),
            icon=":material/undo:",
            key=f"{lesson.name}/correct",
        )
    with st.container(horizontal=True, vertical_alignment="center", key="chance"):
        st.button(
            say("New reading"),
            on_click=_again,
            args=(state,),
            icon=":material/refresh:",
            disabled=state.ideal,
            key=f"{lesson.name}/again",
            help=say(
                "The next of these readings of the same arm: breathing, beats and noise come out differently each "
                "time. After number {count} come {count} new ones.",
                count=READINGS,
            ),
        )
        st.toggle(
            say("Turn off random variation"),
            key=f"{lesson.name}/ideal",
            help=say("No noise, no breathing, no variation from beat to beat: every reading is the same."),
        )


def _tempt(lesson: Lesson) -> None:
    """The next lever's tempting mistake, the others correct."""
    key = f"{lesson.name}/tempted"
    number = st.session_state.get(key, 0)
    st.session_state[key] = (number + 1) % len(lesson.levers)
    lever = lesson.levers[number]
    _put(lesson, lesson.correct | {lever.field: lever.tempting})


def _put(lesson: Lesson, values: dict[str, Any]) -> None:
    for field, value in values.items():
        lesson_state.set_widget(lesson, field, value)


def _again(state: State) -> None:
    if state.reading < READINGS:
        state.reading += 1
    else:
        state.reading, state.seed = 1, state.seed % HIGHEST_SEED + 1


def _categories(lesson: Lesson) -> None:
    """Which scheme names the categories, and where it comes from; what the resting pressure stands for."""
    known = schemes()
    with st.expander(say("What the numbers stand for"), icon=":material/menu_book:"):
        key = f"{lesson.name}/scheme"
        st.selectbox(
            say("Category scheme"),
            list(known),
            format_func={name: say(scheme.label) for name, scheme in known.items()}.__getitem__,
            key=key,
        )
        scheme = known[st.session_state[key]]
        how = {"quoted": say("figures seen as quoted by another source"), "from memory": say("figures from memory")}
        st.caption(
            f"{scheme.source}, [DOI {scheme.doi}](https://doi.org/{scheme.doi}); {how.get(scheme.sure, scheme.sure)}. "
            f"{say(scheme.note)}"
        )
