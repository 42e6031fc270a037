"""The way to the browser's own storage and back: a small script, mounted on every page."""

from __future__ import annotations

import re
import time
from functools import lru_cache
from importlib import resources
from typing import Any

import streamlit as st

from sim.screens.progress import learner
from sim.teach.progress import Progress, merge
from sim.teach.progress_text import from_text, to_text

_MOUNTED, _STATE = "browser_store", "browser_store/state"


def connect(asks: bool) -> None:
    """Hand what is to be kept to the browser; called at the end of every page, when all answers are in.

    asks: whether the page shows what the browser says of itself: its date, and whether it keeps anything
    """
    state, progress = _state(), learner.progress()
    given = {
        "session": state["session"],
        "taken": state["taken"],
        "deleted": state["deleted"],
        "asks": asks,
        "text": to_text(progress) if progress != Progress() else None,
    }
    _component()(data=given, key=_MOUNTED, on_found_change=lambda: take(_found()))


def take(found: Any) -> None:
    """Add what the browser has stored to what this session knows; what cannot be read is left out."""
    state = _state()
    number = found.get("number") if isinstance(found, dict) else None
    if not isinstance(number, int) or number <= state["taken"]:
        return
    if found.get("gone") is True:
        learner.forget(_MOUNTED, _STATE)
    elif isinstance(found.get("text"), str):
        learner.keep(merge(learner.progress(), from_text(found["text"])))
    today = found.get("today")
    state["today"] = today if isinstance(today, str) and re.fullmatch(r"\d{4}-\d\d-\d\d", today, re.ASCII) else ""
    state["keeps"] = found.get("keeps") is not False
    state["taken"] = number


def delete() -> None:
    """Delete the progress here: in this session, and in the browser's storage."""
    learner.forget(_MOUNTED, _STATE)
    _state()["deleted"] += 1


def today() -> str:
    """The date that the browser gives, as year-month-day; "" where it gave none."""
    return str(_state()["today"])


def keeps() -> bool:
    """Whether the browser keeps anything: in a private window it may not."""
    return bool(_state()["keeps"])


def _state() -> dict[str, Any]:
    """What is known of the browser: how much of what it sent was taken, how often it was told to delete."""
    new = {"session": str(time.time_ns()), "taken": 0, "deleted": 0, "today": "", "keeps": True}
    return st.session_state.setdefault(_STATE, new)


def _found() -> Any:
    mounted = st.session_state.get(_MOUNTED)
    return mounted.get("found") if mounted is not None else None


@lru_cache(maxsize=1)
def _component() -> Any:
    """The component, registered once."""
    script = resources.files("sim.screens.progress").joinpath("browser_store.js").read_text(encoding="utf-8")
    return st.components.v2.component("cuffbias_browser_store", js=script)
