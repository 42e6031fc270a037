"""Why it happens, and how we know: the model beside published effects."""

from __future__ import annotations

import math
from typing import Any

import streamlit as st

from sim.say import mark, say
from sim.screens import cache
from sim.screens.charts import effects
from sim.screens.charts.shown import draw
from sim.screens.lesson.address import State
from sim.screens.words import NO_FIGURE, plain, sentence
from sim.teach.evidence import Comparison, Effect
from sim.teach.lesson import Lesson
from sim.teach.lesson_record import FROM_HERE
from sim.teach.parts import SURE
from sim.texts import real_minus

_KINDS = {"published": mark("published"), "model": mark("model")}
_NAMES = {"sbp": mark("systolic"), "dbp": mark("diastolic")}


def show(lesson: Lesson, state: State) -> None:
    """The explanation, then the evidence."""
    with st.container(key="prose"):
        st.subheader(say("Why it happens"), anchor=False)
        st.markdown(f"*{lesson.summary}*")
        st.markdown(lesson.sections["Why it happens"])
    st.subheader(say("How we know"), anchor=False)
    if not lesson.evidence:
        st.markdown(say("No published figures stand behind this lesson."))
        return
    if lesson.local:
        whose = say("these figures and their sources were put together by whoever wrote the lesson.")
        st.caption(f"{say(FROM_HERE)}: {whose}")
    st.html(
        '<p class="legend"><span class="published">○</span> '
        f"{say('published mean, with its interval as a line')}<br>"
        '<span class="model">■</span> '
        f"{say('this model: mean, with a band from the 10th to the 90th percentile of people')}</p>"
    )
    with st.spinner(say("Measuring the same people with and without the mistake …")):
        compared = [cache.comparison(lesson, number) for number in range(len(lesson.evidence))]
    _findings(compared)


def _findings(compared: list[Comparison]) -> None:
    """Two findings side by side, all on the same scale."""
    found = [_bars(each) for each in compared]
    ends = [v for bars in found for bar in bars for v in (bar["value"], bar["low"], bar["high"]) if v is not None]
    low, high = min([0, *ends]), max([0, *ends])
    low, high = 5 * math.floor(low / 5), 5 * math.ceil(high / 5)
    for first in range(0, len(compared), 2):
        for column, number in zip(st.columns(2, gap="large"), range(first, len(compared))[:2], strict=False):
            with column, st.container(key=f"finding-{number}"):
                _finding(compared[number], found[number], low, high, f"effects-{number}")


def _finding(compared: Comparison, bars: list[dict[str, Any]], low: float, high: float, key: str) -> None:
    evidence = compared.evidence
    st.markdown(f"**{plain(evidence.label)}**")
    if evidence.finding:
        st.markdown(plain(evidence.finding))
    if bars:
        draw(effects.effects(bars, low, high), _sentence(bars), key)
    st.caption(_source(compared))


def _bars(compared: Comparison) -> list[dict[str, Any]]:
    """Published and model figures of one finding, as the chart wants them."""
    bars = []
    for name, word in _NAMES.items():
        effect: Effect = getattr(compared, name)
        if effect.published is not None:
            p = effect.published
            bars.append({"row": say(word), "kind": "published", "value": p.value, "low": p.low, "high": p.high})
        if effect.model is not None:
            m = effect.model
            bars.append({"row": say(word), "kind": "model", "value": m.mean, "low": m.low, "high": m.high})
    return [{k: round(v, 1) if isinstance(v, float) else v for k, v in bar.items()} for bar in bars]


def _sentence(bars: list[dict[str, Any]]) -> str:
    words = []
    for bar in bars:
        interval = (
            say(" ({low} to {high})", low=f"{bar['low']:g}", high=f"{bar['high']:g}")
            if bar["low"] is not None and bar["high"] is not None
            else ""
        )
        value = f"{bar['value']:+g}" if bar["value"] is not None else say("no mean")
        words.append(f"{bar['row']}, {say(_KINDS[bar['kind']])}: {value}{interval}")
    return real_minus(say("Difference in mmHg: ") + "; ".join(words) + ".")


def _source(compared: Comparison) -> str:
    """Who measured it, in whom, where to read it, how sure we are, and how the model compares."""
    evidence = compared.evidence
    name = f"[{evidence.identifier}]({evidence.link})" if evidence.link else plain(evidence.identifier)
    parts = [f"{plain(evidence.source)}, {name}", plain(evidence.studied), say(SURE[evidence.sure])]
    parts += [say("line: {basis}", basis=plain(say(basis))) for basis in compared.bases]
    more = [_verdict(compared), evidence.assumed and say("Assumed: {assumed}", assumed=evidence.assumed), evidence.note]
    if evidence.not_comparable:
        more.append(say("Not comparable: {reason}", reason=evidence.not_comparable))
    if compared.reason:
        more.append(say(NO_FIGURE) + compared.reason)
    tail = " ".join(plain(words.rstrip(".") + ".") for words in more if words)
    return "; ".join(p for p in parts if p) + ". " + tail


def _verdict(compared: Comparison) -> str:
    """Whether the model's mean lies inside the published interval, miss or not."""
    built_in = [say(word) for name, word in _NAMES.items() if getattr(compared, name).built_in]
    words = []
    if built_in:
        figures = say(" and the ").join(built_in)
        words.append(
            say("the model was set to the {figures} figure, so agreement there proves nothing", figures=figures)
        )
    for name, word in _NAMES.items():
        effect: Effect = getattr(compared, name)
        if not effect.built_in and effect.inside is not None:
            words.append(
                say("the model's {pressure} mean lies inside the published interval", pressure=say(word))
                if effect.inside
                else say("the model's {pressure} mean lies outside the published interval", pressure=say(word))
            )
    return sentence("; ".join(words)) if words else ""
