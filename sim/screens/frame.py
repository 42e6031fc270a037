"""What stands on every page of the app: title line, links, footer."""

from __future__ import annotations

import gc
from functools import lru_cache
from importlib import resources
from pathlib import Path

import streamlit as st

import sim
from sim.say import say
from sim.screens import language, no_lookup, page_links, url_widgets
from sim.screens.cautions.texts import SHORT
from sim.screens.heading import NAME
from sim.screens.lesson import changed_lessons
from sim.screens.own_patient import in_link
from sim.screens.page_links import page
from sim.screens.progress import browser_store

_HERE = Path(__file__).parent


def show() -> None:
    """Page settings, navigation, then the page that the address names, between title line and footer."""
    _settle()
    language.arrive()
    st.set_page_config(
        page_icon=str(_HERE / "icon.png"),
        layout="wide",
        initial_sidebar_state="collapsed",
    )
    current = st.navigation(page_links.begin(), position="hidden")
    st.html(f"<style>{_style()}</style>")
    _masthead()
    url_widgets.arrive(current.url_path)
    changed_lessons.follow()
    in_link.arrive()
    language.not_reviewed()
    current.run()
    with st.container(key="footer"):
        st.caption(say(SHORT))
        versions = {"name": NAME, "version": sim.__version__, "parameters": sim.PARAMETERS_VERSION}
        st.caption(say("{name} {version}, model parameters {parameters}", **versions))
    browser_store.connect(asks=current.url_path == "progress")


def _masthead() -> None:
    with st.container(horizontal=True, vertical_alignment="center", key="masthead"):
        page_links.link(page("home"), label=f"**{NAME}**")
        st.space("stretch")
        page_links.link(page("home"), label=say("Lessons"))
        page_links.link(page("practice"), label=say("Practice"))
        page_links.link(page("progress"), label=say("Progress"))
        page_links.link(page("averages"), label=say("Averages"))
        page_links.link(page("algorithms"), label=say("Algorithms"))
        page_links.link(page("evidence"), label=say("Evidence"))
        page_links.link(page("cautions"), label=say("Cautions"))
        language.switch()


@lru_cache(maxsize=1)
def _style() -> str:
    return resources.files("sim.screens").joinpath("style.css").read_text(encoding="utf-8")


@lru_cache(maxsize=1)
def _settle() -> None:
    """Load the engine, then take what is loaded out of the garbage collector's sight, once.

    The server collects after every rerun. Going through all imported code each time would take longer than a
    lever's new picture may.
    """
    from sim.screens import home  # noqa: F401
    from sim.screens.cautions import page as cautions  # noqa: F401
    from sim.screens.lesson import page as lesson  # noqa: F401

    no_lookup.forbid()  # under `streamlit run` nobody has yet
    gc.collect()
    gc.freeze()
