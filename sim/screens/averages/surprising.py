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
from sim.say import language, mark, say
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
    "low": (mark("arm hung or lay low, cuff some 15 cm below the heart"), {"cuff_below_heart_cm": 15}),
    "high": (mark("arm high, cuff some 10 cm above the heart"), {"cuff_below_heart_cm": -10}),
    "talk": (mark("talking"), {"talking": "conversation"}),
    "stress": (mark("stressful talk"), {"talking": "stressful"}),
    "legs": (mark("legs crossed at the knee"), {"legs": "knees"}),
    "back": (mark("back unsupported"), {"back": "unsupported"}),
    "arm": (mark("arm held up"), {"arm_support": "held-up"}),
    "rest": (mark("no rest beforehand"), {"rest_min": 0}),
    "bladder": (mark("full urinary bladder"), {"full_bladder": "yes"}),
    "coffee": (mark("coffee within the hour"), {"caffeine": "yes"}),
    "tobacco": (mark("smoked just before"), {"nicotine": "yes"}),
    "cold": (mark("cold room"), {"cold": "yes"}),
    "sleeve": (mark("cuff over a thick sleeve"), {"sleeve_mm": 4}),
    "loose": (mark("cuff wrapped loosely"), {"slack_cm": 4}),
    "first": (mark("first reading of the visit"), {"reading_number": 1}),
}


def show() -> None:
    """Ask for the person, then the display, then what was seen."""
    with st.container(key="emergency"):
        st.markdown(f"**{say('First: how does the person feel?')}** {say(words()['people']['unwell'])}")
        st.caption(say(words()["people"]["source"]))
    hands, eyes = st.columns([9, 11], gap="large")
    with hands:
        display = _pair("shown", say("Display, systolic"), say("Display, diastolic"), 172, 98)
        expected = _pair("usual", say("Expected, systolic"), say("Expected, diastolic"), 132, 82)
        st.caption(say("Expected: for instance the mean of the last weeks. Leave blank if unknown."))
        arm = url_widgets.slider("arm", say("Arm circumference"), 18, 55, 35, unit="cm")
        names = {b.name: b.printed for b in bladders()}
        cuff = url_widgets.choose("cuff", say("Cuff"), {FITTING: say("the size for this arm")} | names)
        options = {n: say(label) for n, (label, _) in SEEN.items()}
        seen = url_widgets.some("seen", say("What was seen"), options, ["low", "talk"])
    with eyes:
        _said(display, expected, float(arm), cuff, tuple(sorted(seen)))
    with st.container(key="prose"):
        st.header(say("Repeat it properly"), anchor=False)
        st.markdown("\n".join(f"{i}. {say(step)}" for i, step in enumerate(words()["repeat"]["steps"], 1)))
        st.caption(say(words()["repeat"]["source"]))


def _pair(key: str, systolic: str, diastolic: str, sbp: int, dbp: int) -> tuple[float, float] | None:
    left, right = st.columns(2)
    with left:
        s = url_widgets.number(f"{key}-sbp", systolic, 40, 300, sbp)
    with right:
        d = url_widgets.number(f"{key}-dbp", diastolic, 20, 220, dbp)
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
        st.info(say("What did the display say?"), icon=":material/help:")
        return
    for line in first_words(*display)[1:]:
        st.warning(f"**{say(line)}**", icon=":material/emergency:")
    try:
        with st.spinner(say("Measuring people with what was seen …")):
            found = _judge(display, expected, arm, cuff, seen, language())
    except FieldError as error:
        st.warning(plain(sentence(str(error))), icon=":material/tune:")
        return
    if found.impossible:
        st.warning(plain(sentence(found.impossible)), icon=":material/help:")
    said = explanations_chart.sentence(found)
    draw(explanations_chart.spans(found, "sbp"), said, "spans")
    st.markdown(_verdict(found))
    with st.expander(say("In numbers")):
        st.markdown("\n".join(f"- {plain(line)}" for line in said.rstrip(".").split("; ")))
        st.caption(say("From the 2.5th to the 97.5th of 100 people like this one; a square is their mean."))


def _verdict(found: Judgement) -> str:
    """What the ranges leave open; never a number to take instead."""
    if found.gap_sbp is None:
        return say("Nothing was expected, so there is no gap to explain. **The pressure may really be this.**")
    kinds = {e.kind: e for e in found.explanations}
    mistakes = kinds.get("all mistakes") or kinds.get("mistake")
    gaps = {"sbp": found.gap_sbp, "dbp": found.gap_dbp}
    lines = [real_minus(say("The display minus what was expected: {sbp:+.0f}/{dbp:+.0f} mmHg.", **gaps))]
    if mistakes is not None:
        lines.append(say("What was seen {verdict}.", verdict=say(mistakes.verdict)))
    lines.append(say("**The pressure may really be this.** Nobody can tell from here: only repeating it properly can."))
    return " ".join(lines)


@st.cache_resource(max_entries=200, show_spinner=False)
def _judge(
    display: tuple[float, float],
    expected: tuple[float, float] | None,
    arm: float,
    cuff: str,
    seen: tuple[str, ...],
    spoken: str,  # the names of the mistakes are kept with the ranges
) -> Judgement:
    fields: dict[str, Any] = {}
    for name in seen:
        fields |= SEEN[name][1]
    subject = Subject(arm_circumference_cm=arm)
    rng = np.random.default_rng(_SEED)
    return judge(display, expected, subject, Technique(**fields), Instrument(bladder=cuff), rng=rng, people=_PEOPLE)
