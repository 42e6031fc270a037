"""Which part of somebody's own recording is read: the longest fall of the pressure, or what is chosen."""

from __future__ import annotations

import numpy as np
import streamlit as st

from sim.files.span import Span, cut, longest_fall
from sim.files.units import suspicion
from sim.results import Recording
from sim.screens.words import plain

# The slider's steps [s].
_STEP_S = 0.1


def ask(recording: Recording, key: str) -> tuple[Recording, tuple[float, float]]:
    """The part of the recording, and from when to when it goes [s]."""
    doubt = suspicion(float(np.nanmax(recording.pressure_mmhg)))
    if doubt:
        st.warning(plain(doubt), icon=":material/help:")
    length_s = recording.seconds()
    if length_s < 2 * _STEP_S:
        return recording, (0.0, length_s)
    fall = longest_fall(recording)
    start = fall or Span(0.0, length_s)
    from_s, to_s = st.slider(
        "Which part of it is read, in seconds",
        0.0,
        length_s,
        (start.start_s, start.end_s),
        step=_STEP_S,
        format="%.1f",
        key=f"part-{key}",
    )
    if fall is not None:
        st.caption(f"The cuff is filled or let go in this recording. The longest fall goes from {fall}.")
    if to_s - from_s < _STEP_S:
        return recording, (0.0, length_s)
    return cut(recording, from_s, to_s), (from_s, to_s)
