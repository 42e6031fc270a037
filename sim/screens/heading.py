"""Headings of a page and of a lesson's steps; whoever comes to another of them starts at its top, at its heading."""

from __future__ import annotations

from functools import lru_cache
from importlib import resources
from typing import Any

import streamlit as st

from sim.say import language
from sim.screens.words import plain

NAME = "cuffbias"


def title(words: str, tab: str, step: str = "") -> None:
    """The page's heading, and its name in the browser's tab.

    tab: a name that no other place has
    step: of the page, whose heading will stand in a container of `step_key`; somebody who comes there starts with it
    """
    st.set_page_config(page_title=f"{tab} · {NAME}")
    st.title(plain(words), anchor=False)
    # The place may have any words in it: the browser only compares it with that of before.
    heading = f".st-key-{step_key(step)} h2" if step else "h1"
    place = {"place": f"{tab}/{step}", "heading": f'[data-testid="stMain"] {heading}', "language": language()}
    _component()(data=place, key="arriving")


def step_key(step: str) -> str:
    """The key of the container with the step's heading in it."""
    return f"step-{step}"


def step_title(words: str, step: str) -> None:
    """The heading of a step."""
    with st.container(key=step_key(step)):
        st.header(plain(words), anchor=False)


@lru_cache(maxsize=1)
def _component() -> Any:
    """The component, registered once."""
    script = resources.files("sim.screens").joinpath("arriving.js").read_text(encoding="utf-8")
    return st.components.v2.component("cuffbias_arriving", js=script)
