"""Readings of the same arm, shown as points under the numbers."""

from __future__ import annotations

import streamlit as st

from sim.explain.same_arm import SameArm
from sim.screens.charts import strip
from sim.screens.charts.shown import draw
from sim.screens.words import plain


def show(found: SameArm, truth: bool = True, key: str = "strip") -> None:
    """The points and what they say; truth: whether the resting pressure is told."""
    spec, words = strip.strip(found, truth), strip.sentence(found, truth)
    if spec is not None:
        draw(spec, words, key)
    st.caption(plain(words))
