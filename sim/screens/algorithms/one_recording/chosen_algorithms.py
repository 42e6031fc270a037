"""The algorithms that are asked, the step in their middle that can be exchanged, and what they read."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import asdict, dataclass, is_dataclass, replace
from typing import Any

import streamlit as st

from sim.estimate import door
from sim.estimate.named import LABELS, NAMED
from sim.estimate.oscillogram import OscillogramBuilder
from sim.results import Estimator, Oscillogram, Reading, Recording
from sim.screens import url_widgets
from sim.screens.algorithms.one_recording.source import Source

OWN = "own"
FIRST = next(iter(NAMED))
AMPLITUDE = {
    "height": "its height, foot to top",
    "area": "the area under it",
    "upper": "its top over its own mean",
}
PAIRED_WITH = {
    OWN: "what each algorithm is made for",
    "mean": "the mean pressure over the beat",
    "line": "the pressure of the falling line under its top",
}


@dataclass(frozen=True)
class Step:
    """How oscillograms are made (sim.estimate.oscillogram); what is as usual is left to the algorithm."""

    amplitude: str = "height"
    paired_with: str = OWN
    smoothing_mmhg: float = 6.0
    smoothing_beats: float = 2.5

    def changes(self) -> dict[str, Any]:
        """The fields that are not as usual."""
        return {name: value for name, value in asdict(self).items() if value != getattr(_USUAL, name)}

    def words(self) -> str:
        """The exchanged step in one line, "" where nothing was exchanged."""
        named = {"amplitude": AMPLITUDE, "paired_with": PAIRED_WITH}
        labels = {
            "amplitude": "a beat counts with",
            "paired_with": "it is paired with",
            "smoothing_mmhg": "the curve is smoothed over mmHg:",
            "smoothing_beats": "the curve is smoothed over at least so many beats:",
        }
        changed = self.changes().items()
        return "; ".join(f"{labels[k]} {named[k][v] if k in named else f'{v:g}'}" for k, v in changed)


_USUAL = Step()


@dataclass(frozen=True, eq=False)
class Read:
    """What one algorithm reads from the recording, and with the usual step where that was exchanged."""

    name: str
    reading: Reading
    usual: Reading | None

    @property
    def label(self) -> str:
        """Its name as words: the name that commands know, without hyphens."""
        return self.name.replace("-", " ")


def ask_names() -> list[str]:
    """Which algorithms to ask."""
    options = {name: f"{name.replace('-', ' ')}: {LABELS.get(name, '')}" for name in NAMED}
    return url_widgets.some("algorithms", "Algorithms", options, list(NAMED))


def ask_step() -> Step:
    """The step from the recording to the oscillogram."""
    return Step(
        url_widgets.choose("amplitude", "A beat counts with", AMPLITUDE),
        url_widgets.choose("paired_with", "It is paired with", PAIRED_WITH),
        float(url_widgets.slider("smoothing_mmhg", "The curve is smoothed over", 0.5, 30, 6.0, 0.5, "mmHg")),
        float(url_widgets.slider("smoothing_beats", "But at least over", 0.5, 10, 2.5, 0.5, "beats")),
    )


def read(source: Source, names: list[str], step: Step) -> list[Read]:
    """What the algorithms read from a recording."""
    changed = step != _USUAL
    return [
        Read(
            name,
            _read(source.key, name, step, source.recording),
            _read(source.key, name, _USUAL, source.recording) if changed else None,
        )
        for name in names
    ]


def exchanged(estimator: Estimator, step: Step) -> Estimator:
    """The algorithm with another step; itself where it has none to exchange."""
    build = getattr(estimator, "build", None)
    changes = step.changes()
    if not changes or not is_dataclass(estimator) or not isinstance(build, OscillogramBuilder):
        return estimator
    made: Any = replace(estimator, build=replace(build, **changes))
    return made


def forget() -> None:
    """Drop what was read in this session."""
    _read.clear()
    _oscillogram.clear()


# Of this session only: a recording may be somebody's own.
@st.cache_resource(max_entries=120, scope="session", show_spinner=False)
def _read(key: tuple[Hashable, ...], name: str, step: Step, _recording: Recording) -> Reading:
    estimator: Any = exchanged(NAMED[name], step)
    build = getattr(estimator, "build", None)
    if is_dataclass(estimator) and isinstance(build, OscillogramBuilder):
        # Algorithms that need the same oscillogram share it.
        found = _oscillogram(key, build, _recording)
        estimator = replace(estimator, build=lambda _: found)  # type: ignore[type-var]
    return door.read(estimator, _recording, name)


@st.cache_resource(max_entries=60, scope="session", show_spinner=False)
def _oscillogram(key: tuple[Hashable, ...], build: OscillogramBuilder, _recording: Recording) -> Oscillogram:
    return build(_recording)
