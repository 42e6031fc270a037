"""A reading that cannot be right: the person first, then what mistakes can make, then how to repeat it."""

from __future__ import annotations

from typing import Any

import numpy as np
import streamlit as st

from sim.body.subject import Subject
from sim.cuff.bladder import FITTING, bladders
from sim.cuff.instrument import Instrument
from sim.explain.impossible import Judgement, first_words, judge, words
from sim.fields import FieldError
from sim.screens import url_widgets
from sim.screens.averages import explanations_chart
from sim.screens.charts.shown import draw
from sim.screens.words import plain, sentence
from sim.technique import Technique
from sim.texts import real_minus

_PEOPLE = 60
_SEED = 7
# What someone may have seen, and the fields that it sets.
SEEN: dict[str, tuple[str, dict[str, Any]]] = {
    "low": ("arm hung or lay low, cuff some 15 cm below the heart", {"cuff_below_heart_cm": 15}),
    "high": ("arm high, cuff some 10 cm above the heart", {"cuff_below_heart_cm": -10}),
    "talk": ("talking", {"talking": "conversation"}),
    "stress": ("stressful talk", {"talking": "stressful"}),
    "legs": ("legs crossed at the knee", {"legs": "knees"}),
    "back": ("back unsupported", {"back": "unsupported"}),
    "arm": ("arm held up", {"arm_support": "held-up"}),
    "rest": ("no rest beforehand", {"rest_min": 0}),
    "bladder": ("full urinary bladder", {"full_bladder": "yes"}),
    "coffee": ("coffee within the hour", {"caffeine": "yes"}),
    "tobacco": ("smoked just before", {"nicotine": "yes"}),
    "cold": ("cold room", {"cold": "yes"}),
    "sleeve": ("cuff over a thick sleeve", {"sleeve_mm": 4}),
    "loose": ("cuff wrapped loosely", {"slack_cm": 4}),
    "first": ("first reading of the visit", {"reading_number": 1}),
}


def show() -> None:
    """Ask for the person, then the display, then what was seen."""
    with st.container(key="emergency"):
        st.markdown(f"**First: how does the person feel?** {words()['people']['unwell']}")
        st.caption(words()["people"]["source"])
    hands, eyes = st.columns([9, 11], gap="large")
    with hands:
        display = _pair("shown", "Display", 172, 98)
        expected = _pair("usual", "Expected", 132, 82)
        st.caption("Expected: for instance the mean of the last weeks. Leave blank if unknown.")
        arm = url_widgets.slider("arm", "Arm circumference", 18, 55, 35, unit="cm")
        names = {b.name: b.printed for b in bladders()}
        cuff = url_widgets.choose("cuff", "Cuff", {FITTING: "the size for this arm"} | names)
        seen = url_widgets.some("seen", "What was seen", {n: label for n, (label, _) in SEEN.items()}, ["low", "talk"])
    with eyes:
        _said(display, expected, float(arm), cuff, tuple(sorted(seen)))
    with st.container(key="prose"):
        st.header("Repeat it properly", anchor=False)
        st.markdown("\n".join(f"{i}. {step}" for i, step in enumerate(words()["repeat"]["steps"], 1)))
        st.caption(words()["repeat"]["source"])


def _pair(key: str, label: str, sbp: int, dbp: int) -> tuple[float, float] | None:
    left, right = st.columns(2)
    with left:
        s = url_widgets.number(f"{key}-sbp", f"{label}, systolic", 40, 300, sbp)
    with right:
        d = url_widgets.number(f"{key}-dbp", f"{label}, diastolic", 20, 220, dbp)
    return None if s is None or d is None else (float(s), float(d))


def _said(
    display: tuple[float, float] | None,
    expected: tuple[float, float] | None,
    arm: float,
    cuff: str,
    seen: tuple[str, ...],
) -> None:
    """Advice for this display, then what can and cannot have made it."""
    if display is None:
        st.info("What did the display say?", icon=":material/help:")
        return
    for line in first_words(*display)[1:]:
        st.warning(f"**{line}**", icon=":material/emergency:")
    try:
        with st.spinner("Measuring people with what was seen …"):
            found = _judge(display, expected, arm, cuff, seen)
    except FieldError as error:
        st.warning(plain(sentence(str(error))), icon=":material/tune:")
        return
    if found.impossible:
        st.warning(plain(sentence(found.impossible)), icon=":material/help:")
    said = explanations_chart.sentence(found)
    draw(explanations_chart.spans(found, "sbp"), said, "spans")
    st.markdown(_verdict(found))
    with st.expander("In numbers"):
        st.markdown("\n".join(f"- {plain(line)}" for line in said.rstrip(".").split("; ")))
        st.caption("From the 2.5th to the 97.5th of 100 people like this one; a square is their mean.")


def _verdict(found: Judgement) -> str:
    """What the ranges leave open; never a number to take instead."""
    if found.gap_sbp is None:
        return "Nothing was expected, so there is no gap to explain. **The pressure may really be this.**"
    kinds = {e.kind: e for e in found.explanations}
    mistakes = kinds.get("all mistakes") or kinds.get("mistake")
    lines = [real_minus(f"The display minus what was expected: {found.gap_sbp:+.0f}/{found.gap_dbp:+.0f} mmHg.")]
    if mistakes is not None:
        lines.append(f"What was seen {mistakes.verdict}.")
    lines.append("**The pressure may really be this.** Nobody can tell from here: only repeating it properly can.")
    return " ".join(lines)


@st.cache_resource(max_entries=200, show_spinner=False)
def _judge(
    display: tuple[float, float], expected: tuple[float, float] | None, arm: float, cuff: str, seen: tuple[str, ...]
) -> Judgement:
    fields: dict[str, Any] = {}
    for name in seen:
        fields |= SEEN[name][1]
    subject = Subject(arm_circumference_cm=arm)
    rng = np.random.default_rng(_SEED)
    return judge(display, expected, subject, Technique(**fields), Instrument(bladder=cuff), rng=rng, people=_PEOPLE)
