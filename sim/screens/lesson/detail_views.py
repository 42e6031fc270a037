"""A closer look at the reading: what cost what, the recording, the envelope, the inside of the arm."""

from __future__ import annotations

from html import escape

import streamlit as st

from sim.explain.same_arm import SameArm
from sim.figures import steps as contributions
from sim.figures.colours import KINDS
from sim.figures.numbers import signed, whole
from sim.figures.steps import Step
from sim.screens import cache, lesson_pictures, pictures
from sim.screens.charts import envelope, recording
from sim.screens.charts import field as field_chart
from sim.screens.charts import steps as steps_chart
from sim.screens.charts.shown import draw
from sim.screens.lesson.address import State
from sim.screens.words import plain, sentence
from sim.setup import Setup
from sim.teach.lesson import Lesson


def show(lesson: Lesson, state: State, inputs: Setup, found: SameArm) -> None:
    """One view at a time, chosen here; only that one is made."""
    st.subheader("A closer look", anchor=False)
    names = lesson_pictures.looks(lesson)
    st.segmented_control(
        "A closer look",
        list(names),
        format_func=names.__getitem__,
        key=f"{lesson.name}/look",
        required=True,
        label_visibility="collapsed",
    )
    view(state.look, lesson, inputs, found)


def view(name: str, lesson: Lesson, inputs: Setup, found: SameArm) -> None:
    """One view of the readings, a key of `lesson_pictures.VIEWS`: of their mean, or of the one that is looked at."""
    if name == "steps":
        _steps(found)
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


def _steps(found: SameArm) -> None:
    mean = found.mean
    steps = contributions.steps(mean)
    if not steps:
        st.info(plain(sentence("No breakdown: " + (mean.reason or "there is no reading"))), icon=":material/info:")
        return
    words = contributions.sentence(mean)
    resting = mean.result.truth.resting
    display = which(found)
    for column, name in zip(st.columns(2, gap="large"), ("sbp", "dbp"), strict=True):
        with column:
            draw(steps_chart.steps(steps, name, int(whole(getattr(resting, name)[0])), display), words, f"steps-{name}")
    st.html(_table(steps, found))


def _table(steps: list[Step], found: SameArm) -> str:
    """The steps as a table whose columns add up."""
    rows = "".join(
        f'<tr><td><span class="kind" style="color:{KINDS[s.kind].colour if s.kind in KINDS else "inherit"}" '
        f'aria-hidden="true">{s.symbol}</span> {escape(s.cause)}<small>{escape(_kind(s))}</small></td>'
        f"<td>{signed(s.sbp)}</td><td>{signed(s.dbp)}</td></tr>"
        for s in steps
    )
    sums = "".join(f"<td>{signed(contributions.difference(found.mean, n))}</td>" for n in ("sbp", "dbp"))
    return (
        '<table class="steps"><thead><tr><th>step, mmHg</th><th>systolic</th><th>diastolic</th></tr></thead>'
        f"<tbody>{rows}</tbody><tfoot><tr><td>{which(found)}, minus resting pressure</td>{sums}</tr></tfoot></table>"
    )


def _kind(step: Step) -> str:
    return step.plain if step.kind == contributions.ROUNDING else f"{step.kind}: {step.plain}"


def which(found: SameArm) -> str:
    """What is broken down: the mean display, or the only one."""
    return f"display, mean of {found.with_numbers}" if found.count > 1 else "display"


def _of_this(found: SameArm) -> str:
    """Which reading a picture is of."""
    return f"Reading number {found.number} of {found.count}. " if found.count > 1 else ""


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
