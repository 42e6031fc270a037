"""How every reading is taken: a few mistakes to choose from, and what the engine says each does to one person."""

from __future__ import annotations

from typing import Any

import numpy as np
import streamlit as st

from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.explain.averaging import NONE, Systematic
from sim.explain.systematic import effects, people_like, systematic
from sim.say import mark
from sim.technique import Technique

# One arm, so that the wrong cuff is wrong: 16 x 32 cm fits it, 13.5 x 26 cm is one size too small.
ARM_CM = 36.0
RIGHT_BLADDER, SMALL_BLADDER = "16x32", "13.5x26"
READINGS = 150
SEED = 3

# name -> label, fields of the technique, bladder
MISTAKES: dict[str, tuple[str, dict[str, Any], str]] = {
    "none": (mark("nothing done wrong"), {}, RIGHT_BLADDER),
    "low": (mark("arm too low: cuff 10 cm below the heart"), {"cuff_below_heart_cm": 10}, RIGHT_BLADDER),
    "hanging": (mark("arm hanging: cuff 18 cm below the heart"), {"cuff_below_heart_cm": 18}, RIGHT_BLADDER),
    "high": (mark("arm too high: cuff 10 cm above the heart"), {"cuff_below_heart_cm": -10}, RIGHT_BLADDER),
    "small": (mark("cuff one size too small"), {}, SMALL_BLADDER),
    "talk": (mark("talking during every reading"), {"talking": "conversation"}, RIGHT_BLADDER),
    "legs": (mark("legs crossed at the knee"), {"legs": "knees"}, RIGHT_BLADDER),
    "sleeve": (mark("over a sleeve 4 mm thick"), {"sleeve_mm": 4}, RIGHT_BLADDER),
    "both": (
        mark("arm too low, legs crossed and talking"),
        {"cuff_below_heart_cm": 10, "legs": "knees", "talking": "conversation"},
        RIGHT_BLADDER,
    ),
}


def bias(mistake: str, sbp: float, dbp: float) -> Systematic:
    """What the mistake does to every reading of someone with this resting pressure, without the algorithm's part."""
    return NONE if mistake == "none" else _bias(mistake, sbp, dbp)


@st.cache_resource(max_entries=200, show_spinner=False)
def _bias(mistake: str, sbp: float, dbp: float) -> Systematic:
    _, fields, bladder = MISTAKES[mistake]
    subject = Subject(sbp=sbp, dbp=dbp, arm_circumference_cm=ARM_CM)
    found = systematic(
        subject, Technique(**fields), Instrument(bladder=bladder), rng=np.random.default_rng(SEED), n=READINGS
    )
    return Systematic(
        sbp=found.sbp - found.algorithm_sbp,
        dbp=found.dbp - found.algorithm_dbp,
        person_sbp=found.person_sbp,
        person_dbp=found.person_dbp,
        extra_sbp=found.extra_sbp,
        extra_dbp=found.extra_dbp,
    )


@st.cache_resource(max_entries=50, show_spinner=False)
def effect_over_people(mistake: str, people: int) -> tuple[np.ndarray, np.ndarray]:
    """What the mistake adds to a steady reading of each of some people, systolic and diastolic, (people,) [mmHg]."""
    _, fields, bladder = MISTAKES[mistake]
    rng = np.random.default_rng(SEED)
    group = people_like(Subject(sbp=130, dbp=80, arm_circumference_cm=ARM_CM), people, rng)
    ((sbp, dbp),) = effects(group, Technique(**fields), Instrument(bladder=bladder), rng)
    there = np.isfinite(sbp) & np.isfinite(dbp)
    return sbp[there], dbp[there]
