"""The language of the app: chosen in the masthead, kept in the address as `lang`, one for each session.

It is set at the start of each run: of the whole app (`arrive`), or of a part that runs alone (`fragment`). A callback
runs before either and says nothing: it keeps what there is to say, and the page says it.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Any

import streamlit as st

from sim.say import ENGLISH, LANGUAGES, NOT_REVIEWED, language, say, speak

PARAMETER = "lang"
_KEY = "language"


def arrive() -> None:
    """Speak the language that the address names, else that of the session; another than English is in the address."""
    given = st.query_params.get(PARAMETER)
    chosen = given if given in LANGUAGES else st.session_state.get(_KEY, ENGLISH)
    st.session_state[_KEY] = chosen
    speak(chosen)
    if given != chosen and (given is not None or chosen != ENGLISH):
        st.query_params[PARAMETER] = chosen


def fragment(function: Callable[..., None], run_every: float | None = None) -> Callable[..., None]:
    """As `st.fragment`: what runs alone speaks the language of its session, too."""

    @wraps(function)
    def speaking(*arguments: Any, **named: Any) -> None:
        speak(st.session_state.get(_KEY, ENGLISH))
        function(*arguments, **named)

    return st.fragment(speaking, run_every=run_every)


def query() -> dict[str, str]:
    """What a link has to carry to stay in this language."""
    chosen = st.session_state.get(_KEY, ENGLISH)  # a callback, too, has the session's
    return {} if chosen == ENGLISH else {PARAMETER: chosen}


def parameters() -> dict[str, str]:
    """The query parameters without the language."""
    return {name: value for name, value in st.query_params.to_dict().items() if name != PARAMETER}


def put(parameters: dict[str, str]) -> None:
    """These query parameters into the address, the language with them."""
    st.query_params.from_dict(parameters | query())


def switch() -> None:
    """A button for each other language; what was done on the page stays."""
    for name, label in LANGUAGES.items():
        if name != language():
            st.button(label, on_click=_choose, args=(name,), type="tertiary", key=f"language-{name}")


def not_reviewed() -> None:
    """That nobody of the trade has read the translation yet; nothing in English."""
    if language() != ENGLISH:
        with st.container(key="not-reviewed"):
            st.caption(say(NOT_REVIEWED))


def _choose(name: str) -> None:
    st.session_state[_KEY] = name
    st.query_params[PARAMETER] = name
