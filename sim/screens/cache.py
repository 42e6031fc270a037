"""Readings for the screens: asked of the engine once for each set of inputs, then kept."""

from __future__ import annotations

import os

import numpy as np
import streamlit as st

from sim.cuff.field import PressureField
from sim.explain import pictured
from sim.explain.same_arm import SameArm, same_arm
from sim.say import language
from sim.screens.engine import ENGINE
from sim.setup import Setup
from sim.teach.evidence import Comparison, answer, beside
from sim.teach.kept_answers import kept_answer
from sim.teach.lesson import OWN_FOLDER, Lesson, LessonFault, load_all
from sim.teach.parts import Evidence
from sim.teach.verdicts import SEED


class _Lessons:
    """All lessons in the language that is spoken, and all faults of lesson files; called to have them."""

    def __call__(self) -> tuple[tuple[Lesson, ...], tuple[LessonFault, ...]]:
        return _lessons(language())

    def clear(self) -> None:
        """Read the files again at the next call."""
        _lessons.clear()


lessons = _Lessons()


def told(inputs: Setup) -> str:
    """A setup in one text, by which its results are kept: a tuple would be gone through entry by entry at each look."""
    return repr(inputs.key())


def readings(inputs: Setup, seed: int, ideal: bool, number: int = 1) -> SameArm:
    """Readings of the same arm and what moved them away from the resting pressure; one of them is looked at."""
    made = _readings(told(inputs), seed, ideal, language(), inputs)
    return SameArm(made.found, made.number if ideal else number)


def field(inputs: Setup) -> PressureField:
    """The pressure inside the arm under the cuff."""
    return _field(told(inputs), inputs)


def comparison(lesson: Lesson, number: int) -> Comparison:
    """A published finding of the lesson beside the model's own figure."""
    evidence = lesson.evidence[number]
    sides = lesson.sides(evidence)
    return _comparison((language(), repr(evidence), *map(told, sides)), evidence, lesson)


# Read again after a few seconds, so that an edit shows.
@st.cache_resource(ttl=5, show_spinner=False)
def _lessons(language: str) -> tuple[tuple[Lesson, ...], tuple[LessonFault, ...]]:
    own = os.environ.get(OWN_FOLDER)
    return load_all(*([own] if own else []), language=language)


# What holds words, as the name of a mistake, is kept for each language. The kept results are shared between reruns and
# sessions and never written to: nothing has to be copied. Twenty recordings take about 1 MB.
@st.cache_resource(max_entries=100, show_spinner=False)
def _readings(key: str, seed: int, ideal: bool, language: str, _inputs: Setup) -> SameArm:
    return ENGINE.work(same_arm, _inputs, seed, ideal=ideal)


@st.cache_resource(max_entries=100, show_spinner=False)
def _field(key: str, _inputs: Setup) -> PressureField:
    return ENGINE.work(pictured.inside_arm, _inputs)


@st.cache_resource(max_entries=1000, show_spinner=False)
def _comparison(key: tuple[str, ...], _evidence: Evidence, _lesson: Lesson) -> Comparison:
    model = kept_answer(_evidence, _lesson)
    if model is None:
        model = ENGINE.work(answer, _evidence, _lesson, np.random.default_rng(SEED))
    return beside(_evidence, _lesson, model)
