"""An algorithm of one's own: how it is tried. The app never runs it."""

from __future__ import annotations

from dataclasses import replace

import streamlit as st

from sim.estimate.oscillogram import USUAL
from sim.screens.algorithms.one_recording.chosen_algorithms import Step
from sim.screens.algorithms.one_recording.source import Source

_COMMANDS = """\
cuffbias read {file}.csv --estimator fixed-ratio --estimator my_algorithm.py:estimate
cuffbias score my_algorithm.py:estimate
cuffbias recordings train.npz --subjects 1000"""
_WORDS = """
This page never runs code that is uploaded. An algorithm of your own stays on your computer and runs there, in a
terminal: the first line lets it read the recording above (download it as CSV first), the second scores it on people
whose true pressure is known, the third writes recordings with their truth to train on.
"""


def show(source: Source, step: Step) -> None:
    """The commands, and a file to begin with that has the step chosen on this page."""
    with st.expander("An algorithm of your own", icon=":material/terminal:"):
        st.markdown(_WORDS)
        st.code(_COMMANDS.format(file=source.name), language=None, wrap_lines=True)
        st.markdown("A file to begin with, `my_algorithm.py`: fixed ratios of the curve with the step as chosen above.")
        st.code(program(step), language=None, wrap_lines=True)


def program(step: Step) -> str:
    """A file that holds an algorithm with this step."""
    build = replace(USUAL, **step.changes())
    return f"""\
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.oscillogram import OscillogramBuilder

build = OscillogramBuilder(
    amplitude={build.amplitude!r},
    paired_with={build.paired_with!r},
    smoothing_mmhg={build.smoothing_mmhg:g},
    smoothing_beats={build.smoothing_beats:g},
)


def estimate(recording):
    # recording.pressure_mmhg has a row for each recording, recording.sampling_hz samples a second.
    beats = build(recording)
    # beats.cuff_mmhg, beats.amplitude_mmhg, beats.kept: a column for each beat;
    # beats.envelope_cuff_mmhg, beats.envelope_mmhg: the curve through them.
    return FixedRatio(systolic_ratio=0.55, diastolic_ratio=0.77).read(beats)
"""
