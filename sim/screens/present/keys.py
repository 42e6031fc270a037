"""The keys for presenting: each presses a button that stands on the page."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from importlib import resources
from typing import Any

import streamlit as st

from sim.say import mark, say


@dataclass(frozen=True)
class Key:
    """What a key does.

    button: name of the button that it presses;  keys: as browsers call them;  shown: as people know them;  words: what
    it does;  repeats: whether a key that is held down goes on
    """

    button: str
    keys: tuple[str, ...]
    shown: str
    words: str
    repeats: bool = False


# Pointers that are held in the hand send page up and page down, and some a full stop (common practice).
KEYS = (
    Key(
        "next",
        ("ArrowRight", "PageDown"),
        mark("→ or page down"),
        mark("next step; after the last one the next lesson"),
    ),
    Key("back", ("ArrowLeft", "PageUp"), mark("← or page up"), mark("back")),
    Key("reveal", ("r", "R"), "R", mark("reveal the answer, once the question is shown")),
    Key("hold", ("h", "H"), "H", mark("hold: numbers and picture stay while the lever moves; the player pauses")),
    Key("up", ("ArrowUp",), "↑", mark("lever up"), repeats=True),
    Key("down", ("ArrowDown",), "↓", mark("lever down"), repeats=True),
    Key("mistake", ("m", "M"), "M", mark("the lever to a common mistake")),
    Key("correct", ("c", "C"), "C", mark("all levers to correct technique")),
    Key("other", ("l", "L"), "L", mark("the next lever")),
    Key("blank", ("b", "B", "."), mark("B or full stop"), mark("blank the screen, and show it again")),
    Key("keys", ("k", "K", "?"), mark("K or ?"), mark("these keys")),
)


def connect() -> None:
    """Let the keys press their buttons; called once on the page."""
    given = {key: {"button": each.button, "repeats": each.repeats} for each in KEYS for key in each.keys}
    _component()(data={"keys": given}, key="room_keys")


def button_key(button: str) -> str:
    """The key of the container of this button, by which the script finds it."""
    return f"press-{button}"


def table() -> str:
    """The keys as a Markdown table."""
    rows = "\n".join(f"| **{say(each.shown)}** | {say(each.words)} |" for each in KEYS)
    return f"| {say('Key')} | {say('What it does')} |\n|---|---|\n{rows}"


@lru_cache(maxsize=1)
def _component() -> Any:
    """The component, registered once."""
    script = resources.files("sim.screens.present").joinpath("keys.js").read_text(encoding="utf-8")
    return st.components.v2.component("cuffbias_room_keys", js=script)
