"""The pages of the app by name, for links from one to another."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import streamlit as st

from sim.say import mark, say
from sim.screens import language

_FILES = Path(__file__).parent / "page_files"
# Name, which is the end of the address, the file's and the folder's, and title.
_TITLES = {
    "home": mark("Lessons"),
    "lesson": mark("Lesson"),
    "watch": mark("Watch a reading"),
    "present": mark("For a room"),
    "practice": mark("Practice"),
    "final_test": mark("Final test"),
    "progress": mark("My progress"),
    "averages": mark("Averages"),
    "algorithms": mark("Algorithms"),
    "handouts": mark("Pages to print"),
    "evidence": mark("Evidence and limits"),
    "cautions": mark("Cautions"),
}


def begin() -> list[Any]:
    """All pages, new for this run of the app; called once before any link is drawn."""
    pages = {
        name: st.Page(_FILES / f"{name}.py", title=say(title), url_path=name, default=name == "home")
        for name, title in _TITLES.items()
    }
    st.session_state["pages"] = pages
    return list(pages.values())


def link(to: Any, *, query_params: dict[str, str] | None = None, **more: Any) -> None:
    """A link to a page, as `st.page_link`, which stays in the language that is spoken."""
    st.page_link(to, query_params=(query_params or {}) | language.query(), **more)


def page(name: str) -> Any:
    """One page ("home", "lesson", "cautions"), for links to it."""
    return st.session_state["pages"][name]
