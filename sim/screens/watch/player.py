"""The player: everything about the readings is handed to the browser once, and the browser does the playing."""

from __future__ import annotations

import hashlib
import json
import math
from functools import lru_cache
from importlib import resources
from typing import Any

import streamlit as st

from sim.figures.colours import DISPLAY, GRID, QUIET, TEXT, TRUTH
from sim.figures.numbers import SIMULATED
from sim.say import mark, say
from sim.screens.watch.moments import AFTER_S, CURVE_DONE, NUMBER_AT, POINTS_AT
from sim.screens.watch.watched_reading import Watched, truth

LABEL = mark("Player: a reading, played")
HELP = mark(
    "Keyboard, after clicking the player: space plays and pauses (with no animation: the next moment). ← and → move "
    "by one second, with shift by five. Page up and page down go to the previous and the next moment. Home and end go "
    "to the start and the end."
)
# What the script says itself; {n} and {mmhg} are filled in there.
_WORDS = (
    mark("not yet"),
    mark("no reading"),
    mark("Pause"),
    mark("Play"),
    mark("Time in the reading"),
    mark("From the start"),
    mark("Previous moment"),
    mark("Next moment"),
    mark("Real time"),
    mark("{n} times as fast"),
    mark("Speed"),
    mark("No animation"),
    mark("display"),
    mark("in the cuff"),
    mark("{mmhg} mmHg in the cuff"),
    mark("pressure in the cuff, mmHg"),
    mark("on the artery"),
    mark("pulses in it, mmHg"),
    mark("height of each beat, mmHg"),
    mark("height of each beat, mmHg, over the pressure in the cuff"),
)
_LOOKS = {
    "truth": TRUTH.colour,
    "truthText": TRUTH.words,
    "truthFill": TRUTH.colour + "40",
    "display": DISPLAY.colour,
    "displayText": DISPLAY.words,
    "text": TEXT,
    "quiet": QUIET,
    "grid": GRID,
}
# The pressure on the artery gets a line of its own where it is further than this from that in the cuff [mmHg].
_APART_MMHG = 3.0
# Beats are shown whole up to this many times the tallest one of a recording that gave a reading.
_TALLER = 1.5


def show(watched: tuple[Watched, ...], on_wall: bool = False) -> None:
    """The player with one reading, or with two side by side; on_wall: large, on one screen."""
    _component(on_wall)(data=data(watched), key="player")


def data(watched: tuple[Watched, ...]) -> dict[str, Any]:
    """What the browser is given."""
    given = {
        "label": say(LABEL),
        "help": say(HELP),
        "truth": say("resting pressure, the truth: {truth} mmHg", truth=truth(watched)),
        "simulated": say(SIMULATED),
        "words": {text: say(text) for text in _WORDS},
        "looks": _LOOKS,
        "shared": _shared([each.track for each in watched]),
        "sides": [
            {"title": each.side.title, "how": each.side.how, "alt": each.alt, "track": each.track} for each in watched
        ],
    }
    return given | {"id": hashlib.sha256(json.dumps(given).encode()).hexdigest()}


def _shared(tracks: list[dict[str, Any]]) -> dict[str, Any]:
    """The ends of the axes, the same for all readings."""
    cuff = [value / 100 for track in tracks for value in (min(track["cuff"]), max(track["cuff"]))]
    artery = [value / 100 for track in tracks for value in (min(track["artery"]), max(track["artery"]))]
    kept = [max([beat[2] for beat in track["beats"] if beat[3]], default=1.0) for track in tracks]
    read = [height for height, track in zip(kept, tracks, strict=True) if track["display"]]
    low, high = min(cuff + artery), max(cuff + artery)
    return {
        "seconds": max(track["seconds"] for track in tracks),
        "low": 10 * (low // 10),
        "high": 10 * -(-high // 10),
        "cuffLow": 10 * (min(cuff) // 10),
        "cuffHigh": 10 * -(-max(cuff) // 10),
        # Beats of a disturbed recording may run out of the picture, so that the others stay to be seen.
        "top": 1.25 * max(1.0, min(max(kept), _TALLER * max(read, default=math.inf))),
        "outside": any(_apart(track) > _APART_MMHG for track in tracks),
        "after": AFTER_S,
        "curveDone": CURVE_DONE,
        "pointsAt": POINTS_AT,
        "numberAt": NUMBER_AT,
    }


def _apart(track: dict[str, Any]) -> float:
    """How far the pressure on the artery is on average from that in the cuff, between the true pressures [mmHg]."""
    sbp, dbp = (100 * value for value in track["truth"])
    apart = [abs(c - o) / 100 for c, o in zip(track["cuff"], track["outside"], strict=True) if dbp <= o <= sbp]
    return math.fsum(apart) / max(1, len(apart))


@lru_cache(maxsize=2)
def _component(on_wall: bool) -> Any:
    """The component, registered once for the page and once for the wall."""
    css, wall, drawing, player = (
        resources.files("sim.screens.watch").joinpath(name).read_text(encoding="utf-8")
        for name in ("player.css", "wall.css", "drawing.js", "player.js")
    )
    name, html = ("cuffbias_player_on_wall", "wall") if on_wall else ("cuffbias_player", "")
    css = f"{css}\n{wall}" if on_wall else css
    host = f'<div class="host {html}"></div>'
    return st.components.v2.component(name, html=host, css=css, js=f"{drawing}\n{player}")
