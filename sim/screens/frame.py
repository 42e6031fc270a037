"""The pages of the app and what stands on each of them: title line, links, footer."""

from __future__ import annotations

import gc
from functools import lru_cache
from importlib import resources
from pathlib import Path
from typing import Any

import streamlit as st

import sim
from sim.screens import asking
from sim.screens.cautions import SHORT
from sim.screens.heading import NAME

_HERE = Path(__file__).parent


def show() -> None:
    """Page settings, navigation, then the page that the address names, between title line and footer."""
    _settle()
    st.set_page_config(
        page_icon=str(_HERE / "icon.png"),
        layout="wide",
        initial_sidebar_state="collapsed",
    )
    st.session_state["pages"] = _pages()
    current = st.navigation(list(st.session_state["pages"].values()), position="hidden")
    st.html(f"<style>{_style()}</style>")
    _masthead()
    asking.arrive(current.url_path)
    current.run()
    with st.container(key="footer"):
        st.caption(SHORT)
        st.caption(f"{NAME} {sim.__version__}, model parameters {sim.PARAMETERS_VERSION}")


def page(name: str) -> Any:
    """One page ("home", "lesson", "safety"), for links to it."""
    return st.session_state["pages"][name]


def _pages() -> dict[str, Any]:
    return {
        "home": st.Page(_HERE / "page_files" / "home.py", title="Lessons", url_path="lessons", default=True),
        "lesson": st.Page(_HERE / "page_files" / "lesson.py", title="Lesson", url_path="lesson"),
        "playing": st.Page(_HERE / "page_files" / "watch.py", title="Watch a reading", url_path="watch"),
        "practice": st.Page(_HERE / "page_files" / "practice.py", title="Practice", url_path="practice"),
        "averages": st.Page(_HERE / "page_files" / "averages.py", title="Averages", url_path="averages"),
        "algorithms": st.Page(_HERE / "page_files" / "algorithms.py", title="Algorithms", url_path="algorithms"),
        "evidence": st.Page(_HERE / "page_files" / "evidence.py", title="Evidence and limits", url_path="evidence"),
        "safety": st.Page(_HERE / "page_files" / "cautions.py", title="Cautions", url_path="cautions"),
    }


def _masthead() -> None:
    with st.container(horizontal=True, vertical_alignment="center", key="masthead"):
        st.page_link(page("home"), label=f"**{NAME}**")
        st.space("stretch")
        st.page_link(page("home"), label="Lessons")
        st.page_link(page("practice"), label="Practice")
        st.page_link(page("averages"), label="Averages")
        st.page_link(page("algorithms"), label="Algorithms")
        st.page_link(page("evidence"), label="Evidence")
        st.page_link(page("safety"), label="Cautions")


@lru_cache(maxsize=1)
def _style() -> str:
    return resources.files("sim.screens").joinpath("style.css").read_text(encoding="utf-8")


@lru_cache(maxsize=1)
def _settle() -> None:
    """Load the engine, then take what is loaded out of the garbage collector's sight, once.

    The server collects after every rerun. Going through all imported code each time would take longer than a
    lever's new picture may.
    """
    from sim.screens import home, lesson_page, safety  # noqa: F401

    gc.collect()
    gc.freeze()
