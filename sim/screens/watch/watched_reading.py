"""One reading to watch: made once for each set of inputs, then kept."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import streamlit as st

from sim.estimate.named import NAMED
from sim.explain.playback import Playback, playback
from sim.explain.same_arm import READINGS
from sim.figures.numbers import pair
from sim.results import Result
from sim.say import language, say
from sim.screens import cache
from sim.screens.charts import envelope, recording
from sim.screens.engine import ENGINE
from sim.screens.watch.sides import Side
from sim.screens.watch.tracks import track
from sim.setup import Setup
from sim.texts import real_minus


@dataclass(frozen=True, eq=False)
class Watched:
    """A side of the player with its reading and all that is drawn of it."""

    side: Side
    result: Result
    track: dict[str, Any]

    @property
    def alt(self) -> list[str]:
        """What the pictures show, for people who do not see them: pressure, pulses, envelope, artery."""
        truth = self.result.truth.at_cuff
        return [
            recording.sentence(self.result),
            say("The pulses in the cuff, over the pressure from foot to foot of each: they appear, grow and fade."),
            envelope.sentence(self.result),
            say(
                "The artery under the middle of the cuff, seen across: shut while the pressure on it is above {sbp} "
                "mmHg, open below {dbp} mmHg. Its area is to scale, its shape is not.",
                sbp=f"{truth.sbp[0]:.0f}",
                dbp=f"{truth.dbp[0]:.0f}",
            ),
        ]


def watch(side: Side, seed: int, ideal: bool, number: int = 1) -> Watched:
    """The side's reading: that of the seed's readings of the same arm which has this number."""
    played, drawn = _played(cache.told(side.inputs), seed, ideal, number, side.estimator, language(), side.inputs)
    return Watched(side, played.result, drawn)


def truth(watched: tuple[Watched, ...]) -> str:
    """The resting pressure, of each reading where they differ in it."""
    resting = [each.result.truth.resting for each in watched]
    pairs = [pair(pressures.sbp[0], pressures.dbp[0]) for pressures in resting]
    if len(set(pairs)) == 1:
        return pairs[0]
    return "; ".join(f"{each.side.title.lower()} {text}" for each, text in zip(watched, pairs, strict=True))


def caption(watched: tuple[Watched, ...]) -> str:
    """What there is to see, with its numbers, as plain text."""
    words = [f"{each.side.title} ({each.side.how}): {_shown(each.result)}." for each in watched]
    return say("Resting pressure, mmHg: {truth}.", truth=truth(watched)) + " " + " ".join(words)


def _shown(result: Result) -> str:
    reading, resting, cuff = result.reading, result.truth.resting, result.truth.at_cuff
    under = say("the pressure in the artery under the cuff is {cuff}", cuff=pair(cuff.sbp[0], cuff.dbp[0]))
    if not reading.ok[0]:
        why = say(str(reading.reason[0]))
        return say("{under}, and there is no reading: {reason}", under=under, reason=why)
    away = [round(float(getattr(reading, k)[0])) - round(float(getattr(resting, k)[0])) for k in ("sbp", "dbp")]
    off = "/".join(real_minus(f"{d:+d}").replace("+0", "0") for d in away)
    return say(
        "{under}, and the display shows {shown}, {off} mmHg from the resting pressure",
        under=under,
        shown=pair(reading.sbp[0], reading.dbp[0]),
        off=off,
    )


# Shared between sessions and never written to: nothing has to be copied.
@st.cache_resource(max_entries=60, show_spinner=False)
def _played(
    key: str, seed: int, ideal: bool, number: int, estimator: str, language: str, _inputs: Setup
) -> tuple[Playback, dict[str, Any]]:
    rng = None if ideal else np.random.default_rng(seed)
    n, number = (1, 1) if ideal else (READINGS, number)
    played = ENGINE.work(
        playback, _inputs, rng=rng, n=n, number=number, ideal=ideal, estimator=NAMED[estimator], average_person=True
    )
    return played, track(played, estimator)
