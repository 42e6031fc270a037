"""Widgets whose values are in the address, so that a link opens what was left.

A value that the address gives and the widget does not take is passed over: the widget then starts as it would without.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from operator import contains
from typing import Any

import streamlit as st

from sim.texts import decimal
from sim.texts import whole as texts_whole

_PREFIX = "asked/"


def arrive(page: str) -> None:
    """Forget what was asked on another page: a widget there may have the name of one here, and other values."""
    if st.session_state.get("asking") == page:
        return
    st.session_state["asking"] = page
    for key in [key for key in st.session_state if str(key).startswith(_PREFIX)]:
        del st.session_state[key]


def slider(
    name: str, label: str, low: float, high: float, start: float, step: float = 1.0, unit: str = "", **more: Any
) -> float:
    """A slider in the address under `name`."""
    whole = all(float(v).is_integer() for v in (low, high, step))
    kind: Callable[[float], float] = int if whole else float

    def read(text: str) -> float:
        value = kind(decimal(text))
        if not low <= value <= high:
            raise ValueError
        return value

    key, begun = _begin(name, kind(start), read)
    form = ("%d" if whole else "%g") + (f" {unit}" if unit else "").replace("%", "%%")
    value = st.slider(label, kind(low), kind(high), begun, kind(step), format=form, key=key, **more)
    return _end(name, value, kind(start), f"{value:g}")


def choose(name: str, label: str, options: dict[str, str], start: str | None = None, **more: Any) -> str:
    """One of named options, in the address under `name`; the first is the default."""
    first = start or next(iter(options))
    key, begun = _begin(name, first, lambda text: _one(text, options))
    index = list(options).index(begun if begun in options else first)
    value = st.selectbox(label, list(options), index, format_func=options.__getitem__, key=key, **more)
    return _end(name, value, first, value)


def segments(name: str, label: str, options: dict[str, str]) -> str:
    """One of a few named options side by side, in the address under `name`; the first is the default."""
    first = next(iter(options))
    key, begun = _begin(name, first, lambda text: _one(text, options))
    value = st.segmented_control(
        label,
        list(options),
        default=begun if begun in options else first,
        format_func=options.__getitem__,
        key=key,
        required=True,
        label_visibility="collapsed",
    )
    return _end(name, value or first, first, value or first)


def some(name: str, label: str, options: dict[str, str], start: list[str]) -> list[str]:
    """Any of named options as boxes to tick, in the address under `name` with commas between them."""
    found = []
    given = st.query_params.get(name)
    ticked = start if given is None else given.split(",")
    st.markdown(label)
    with st.container(gap=None):
        for option, words in options.items():
            key, begun = _remember(f"{name}/{option}", partial(contains, ticked, option))
            if st.checkbox(words, begun, key=key):
                found.append(option)
    return list(_end(name, found, [option for option in options if option in start], ",".join(found)))


def number(name: str, label: str, low: int, high: int, start: int, **more: Any) -> int | None:
    """A whole number, or None where the field is emptied; in the address under `name`."""

    def read(text: str) -> int | None:
        if text == "":
            return None
        value = texts_whole(text)
        if not low <= value <= high:
            raise ValueError
        return value

    key, begun = _begin(name, start, read)
    value = st.number_input(label, low, high, begun, 1, key=key, **more)
    return _end(name, value, start, "" if value is None else str(value))


def _begin(name: str, start: Any, read: Callable[[str], Any]) -> tuple[str, Any]:
    """The widget's key, and the value it began with: what the address says, or `start`."""

    def begin() -> Any:
        given = st.query_params.get(name)
        try:
            return start if given is None else read(given)
        except (ValueError, OverflowError):
            del st.query_params[name]
            return start

    return _remember(name, begin)


def _remember(name: str, begin: Callable[[], Any]) -> tuple[str, Any]:
    """The widget's key, and the value it began with when it was last new.

    A widget is drawn with the value it began with as its own default, the same at every run. A value put into the
    session's state reaches a slow phone a moment later than the widget itself; a touch in between would lose it.
    """
    key = _PREFIX + name
    if key not in st.session_state:
        st.session_state[key + "/begun"] = begin()
    return key, st.session_state[key + "/begun"]


def _end(name: str, value: Any, start: Any, text: str) -> Any:
    """The value, put into the address unless it is where the widget starts."""
    if value == start:
        st.query_params.pop(name, None)
    elif st.query_params.get(name) != text:
        st.query_params[name] = text
    return value


def _one(text: str, options: dict[str, str]) -> str:
    if text not in options:
        raise ValueError
    return text
