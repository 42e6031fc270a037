"""A closer look at the reading: what cost what, the recording, the envelope, the inside of the arm."""

from __future__ import annotations

import streamlit as st

from sim.explain.same_arm import SameArm
from sim.say import all_said, say
from sim.screens import cache, lesson_pictures, pictures, steps_shown
from sim.screens.charts import envelope, recording
from sim.screens.charts import field as field_chart
from sim.screens.charts.shown import draw
from sim.screens.lesson.address import State
from sim.setup import Setup
from sim.teach.lesson import Lesson


def show(lesson: Lesson, state: State, inputs: Setup, found: SameArm) -> None:
    """One view at a time, chosen here; only that one is made."""
    st.subheader(say("A closer look"), anchor=False)
    names = lesson_pictures.looks(lesson)
    st.segmented_control(
        say("A closer look"),
        list(names),
        format_func=all_said(names).__getitem__,
        key=f"{lesson.name}/look",
        required=True,
        label_visibility="collapsed",
    )
    view(state.look, lesson, inputs, found)


def view(name: str, lesson: Lesson, inputs: Setup, found: SameArm) -> None:
    """One view of the readings, a key of `lesson_pictures.VIEWS`: of their mean, or of the one that is looked at."""
    if name == "steps":
        steps_shown.show(found.mean, "steps", which(found), in_full=True)
    elif name == "recording":
        _recording(found)
    elif name == "envelope":
        _envelope(found)
    elif name == "person":
        st.html(pictures.seated(inputs, lesson.picture, found.mean.result.reading))
    else:
        _arm(inputs)
        if not lesson_pictures.PICTURES[lesson.picture].across:
            st.html(pictures.across(inputs))


def _arm(inputs: Setup) -> None:
    """The pressure inside the arm under the cuff."""
    field = cache.field(inputs)
    words = field_chart.sentence(field)
    draw(field_chart.inside(field), words, "field")
    draw(field_chart.along_artery(field), words, "field-along")
    st.caption(words)


def which(found: SameArm) -> str:
    """What is broken down: the mean display, or the only one."""
    return say("display, mean of {count}", count=found.with_numbers) if found.count > 1 else say("display")


def _of_this(found: SameArm) -> str:
    """Which reading a picture is of."""
    return (
        say("Reading number {number} of {count}.", number=found.number, count=found.count) + " "
        if found.count > 1
        else ""
    )


def _recording(found: SameArm) -> None:
    words = _of_this(found) + recording.sentence(found.this)
    draw(recording.pressure(found.this), words, "recording")
    beats = recording.beats(found.this)
    if beats is not None:
        draw(beats, words, "beats")
    st.caption(words)


def _envelope(found: SameArm) -> None:
    words = _of_this(found) + envelope.sentence(found.this)
    spec = envelope.envelope(found.this)
    if spec is not None:
        draw(spec, words, "envelope")
    st.caption(words)
