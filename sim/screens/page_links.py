"""The pages of the app by name, for links from one to another."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import streamlit as st

_FILES = Path(__file__).parent / "page_files"
# Name, which is the end of the address, the file's and the folder's, and title.
_TITLES = {
    "home": "Lessons",
    "lesson": "Lesson",
    "watch": "Watch a reading",
    "present": "For a room",
    "practice": "Practice",
    "final_test": "Final test",
    "progress": "My progress",
    "averages": "Averages",
    "algorithms": "Algorithms",
    "handouts": "Pages to print",
    "evidence": "Evidence and limits",
    "cautions": "Cautions",
}


def begin() -> list[Any]:
    """All pages, new for this run of the app; called once before any link is drawn."""
    pages = {
        name: st.Page(_FILES / f"{name}.py", title=title, url_path=name, default=name == "home")
        for name, title in _TITLES.items()
    }
    st.session_state["pages"] = pages
    return list(pages.values())


def page(name: str) -> Any:
    """One page ("home", "lesson", "cautions"), for links to it."""
    return st.session_state["pages"][name]
