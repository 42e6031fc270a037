"""A chart on the page."""

from __future__ import annotations

import streamlit as st

from sim.screens.charts.common import Spec


def draw(spec: Spec, words: str, key: str) -> None:
    """A chart; `words` says what it shows to people who do not see it."""
    st.vega_lite_chart(None, spec, theme=None, alt=words, key=key)
