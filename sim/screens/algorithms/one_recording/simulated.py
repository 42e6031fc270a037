"""A simulated arm: its levers, and the recording that they make."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import replace
from functools import partial
from typing import Any

import streamlit as st

from sim import PARAMETERS_VERSION, __version__
from sim.body.subject import Subject
from sim.cuff.bladder import FITTING, bladders
from sim.cuff.instrument import Instrument
from sim.explain.same_arm import one_recording
from sim.fields import Choice, FieldError, Fields, Limit
from sim.files.dataset import Dataset, dataset
from sim.results import Recording, Truth
from sim.screens import cache, url_widgets
from sim.screens.algorithms.one_recording.source import Source
from sim.screens.words import sentence
from sim.setup import FIELDS, Setup
from sim.technique import Technique

HIGHEST_SEED = 9999
_ARTERY = ("artery_b_mmhg", "artery_a_mmhg", "artery_law", "artery_scale", "form_factor", "breathing_per_min")
_SENSOR = ("start_mmhg", "end_mmhg", "sampling_hz", "noise_mmhg", "resolution_mmhg")
CHANCE = {"yes": "Random variation", "no": "No variation"}  # beside each other on a phone


def ask() -> Source:
    """The levers, and the recording that they make. Raises FieldError where they do not go together."""
    who = {name: _lever(Subject, name) for name in ("sbp", "dbp", "heart_rate", "arm_circumference_cm", "rhythm")}
    how = {"movement_mmhg": _lever(Technique, "movement_mmhg")}
    device = {"course": _lever(Instrument, "course"), "deflation_mmhg_per_s": _rate()}
    if device["course"] == "steps":
        device["step_mmhg"] = _lever(Instrument, "step_mmhg")
    with st.expander("Artery and pulse", icon=":material/favorite:"):
        for name in _ARTERY:
            who[name] = _lever(Subject, name)
        st.caption(
            "Zero is where the pressures inside and outside the artery are equal. 4 and 20 mmHg are taken as usual "
            "(assumed). A larger width above zero stands for a stiffer artery."
        )
    with st.expander("Cuff and sensor", icon=":material/tune:"):
        bladder = _bladder()
        for name in ("cuff_below_heart_cm", "slack_cm"):
            how[name] = _lever(Technique, name)
        for name in _SENSOR:
            device[name] = _lever(Instrument, name)
    chance = url_widgets.segments("chance", "Random variation", CHANCE)
    seed = 1
    if chance == "yes":
        # The same seed makes the same recording on every computer.
        seed = url_widgets.number("seed", "Random seed (change it for another reading)", 1, HIGHEST_SEED, 1) or 1
    else:
        st.caption("No noise, no breathing, no movement, and all beats are alike.")
    return source(Setup.of(**who, **how, **device, bladder=bladder).fitted(), seed, ideal=chance == "no")


def source(inputs: Setup, seed: int, ideal: bool) -> Source:
    """The recording of one arm. Raises FieldError where the inputs do not go together."""
    key = cache.told(inputs), seed, ideal
    recording, truth = _recorded(key, inputs, seed, ideal)
    subject, instrument = inputs.subject, inputs.instrument
    ends = "without random variation" if ideal else f"seed {seed}"
    width, length = float(instrument.bladder_width_cm), float(instrument.bladder_length_cm)
    return Source(
        recording,
        truth,
        key,
        f"arm-{float(subject.sbp):.0f}-{float(subject.dbp):.0f}-{ends.replace(' ', '-')}",
        f"a simulated arm, {float(subject.arm_circumference_cm):g} cm round, under a bladder of {width:g} × {length:g} "
        f"cm, {ends}",
        f"cuffbias {__version__}, parameters {PARAMETERS_VERSION}, {ends}",
        partial(_dataset, recording, truth, inputs, seed, ideal),
    )


def words(error: FieldError) -> str:
    """What is wrong with the levers, in the words that stand on them."""
    if error.field not in FIELDS:
        return sentence(str(error))
    allowed = error.allowed.replace(" sbp,", " the systolic pressure,")
    return f"{FIELDS[error.field].label}, {error.value}: must be {allowed}."


def _dataset(recording: Recording, truth: Truth, inputs: Setup, seed: int, ideal: bool) -> Dataset:
    made = dataset(recording, truth, inputs, seed=None if ideal else seed)
    return replace(made, origin={**made.origin, "chance": "left out"}) if ideal else made


def _lever(kind: type[Fields], name: str) -> Any:
    """The widget of a field, as the field's own limits have it."""
    limit = kind.LIMITS[name]
    if isinstance(limit, Limit):
        return url_widgets.slider(name, limit.label, limit.low, limit.high, limit.default, limit.step, limit.unit)
    assert isinstance(limit, Choice)
    return url_widgets.choose(name, limit.label, limit.options, limit.default)


def _rate() -> float:
    limit = Instrument.LIMITS["deflation_mmhg_per_s"]
    assert isinstance(limit, Limit)
    label = "Rate at which the pressure falls or rises"
    return url_widgets.slider(
        "deflation_mmhg_per_s", label, limit.low, limit.high, limit.default, limit.step, limit.unit
    )


def _bladder() -> str:
    sizes = {b.name: b.printed for b in bladders()}
    return url_widgets.choose("bladder", "Bladder", {FITTING: "the size for this arm"} | sizes)


# Shared between sessions and never written to.
@st.cache_resource(max_entries=60, show_spinner=False)
def _recorded(key: tuple[Hashable, ...], _inputs: Setup, seed: int, ideal: bool) -> tuple[Recording, Truth]:
    return one_recording(_inputs, seed, ideal=ideal)
