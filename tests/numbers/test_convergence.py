"""How far a reading moves when the arithmetic is made finer: 0.05 mmHg at the most is what we would have.

Where it moves farther the test is an expected failure, and DEVELOPERS.md says how far. The draws and the course of the
cuff are held, the sensor has neither noise nor steps.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from sim import Instrument, Technique, record
from sim.body import artery, pulse
from sim.cuff import indentation, transmission
from sim.estimate.door import read
from sim.record import Sweep, planned
from sim.results import Reading
from sim.setup import Setup
from sim.study.cohort import cohort

MOST_MMHG = 0.05
# The figures of DEVELOPERS.md are those of 60 people; the tests go through every third of them.
PEOPLE, EVERY = 60, 3
# The fit of a model ends somewhere within its steps of 0.02 mmHg, and takes longest.
READ_BY = ("fixed-ratio", "slope", "corrected-ratio")

Change = Callable[[pytest.MonkeyPatch], Any]


def _table(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(artery.VolumeTable, "_ARTERY", 47)
    monkeypatch.setattr(artery.VolumeTable, "_CUFF", 191)


def _places(monkeypatch: pytest.MonkeyPatch) -> None:
    places = transmission.PLACES_OVER_WIDTH
    between = (places[1:] + places[:-1]) / 2
    monkeypatch.setattr(transmission, "PLACES_OVER_WIDTH", np.sort(np.concatenate([places, between])))
    monkeypatch.setattr(record, "_HALF_CLOSED", 2 * record._HALF_CLOSED)


def _indentation(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(indentation, "_WIDTHS", np.geomspace(1e-3, 2.0, 480))
    monkeypatch.setattr(indentation, "_WAVES", 960)
    monkeypatch.setattr(indentation, "_HIGHEST_WAVE", 240.0)


# What is made finer, twice as many of each: how, and what of it was worked out once and is to be forgotten.
Finer = tuple[Change, Callable[[], None]]
MISSED: dict[str, Finer] = {
    "samples": (lambda _: None, lambda: None),
    "table of volumes": (_table, lambda: None),
    "pieces of the artery's share": (_places, transmission._straight_pieces.cache_clear),
}
KEPT: dict[str, Finer] = {
    "widths of contact": (lambda patch: patch.setattr(transmission, "_WIDTHS", 6), lambda: None),
    "waves along the arm": (
        lambda patch: patch.setattr(transmission, "_WAVES", 288),
        transmission._waves.cache_clear,
    ),
    "indentation": (_indentation, indentation.forget),
    "steps of the pulse": (lambda patch: patch.setattr(pulse, "_STEPS", 16384), pulse._shapes.cache_clear),
}
# Farthest that a pressure by the fixed ratios moves, of 60 people, as DEVELOPERS.md has it [mmHg].
STATED_MMHG = {"samples": 0.26, "table of volumes": 0.37, "pieces of the artery's share": 0.20}


@pytest.fixture(scope="module")
def people():
    subject = cohort(PEOPLE, np.random.default_rng(3))
    setup = Setup(subject, Technique(), Instrument(noise_mmhg=0, resolution_mmhg=0)).spread(PEOPLE)
    sweep, _ = planned(setup, np.random.default_rng(5))
    return setup.replace(start_mmhg=np.minimum(sweep.start_mmhg, 330))


def readings(setup: Setup) -> dict[str, Reading]:
    rows = np.arange(0, PEOPLE, EVERY)
    _, chance = planned(setup, np.random.default_rng(5))
    recording, _ = Sweep(setup.take(rows), chance.fill[rows]).record(chance.take(rows))
    return {name: read(name, recording) for name in READ_BY}


@pytest.fixture(scope="module")
def moved(people):
    """By what is made finer and by estimator: how far systolic and diastolic pressures move, (2, n) [mmHg]."""
    usual = readings(people)
    found = {}
    for what, (change, forget) in (MISSED | KEPT).items():
        with pytest.MonkeyPatch.context() as patch:
            change(patch)
            forget()
            finer = readings(people.replace(sampling_hz=200.0) if what == "samples" else people)
        forget()
        for name, reading in finer.items():
            off = np.array([reading.sbp - usual[name].sbp, reading.dbp - usual[name].dbp])
            found[what, name] = np.abs(off[:, np.isfinite(off).all(axis=0)])
    return found


def told(off: np.ndarray) -> str:
    middle, most = np.median(off, axis=1), off.max(axis=1)
    high = np.quantile(off, 0.95, axis=1)
    return "; ".join(f"{m:.3f}, 95 % {h:.3f}, most {a:.3f}" for m, h, a in zip(middle, high, most, strict=True))


@pytest.mark.parametrize("name", ["fixed-ratio", "slope"])
@pytest.mark.parametrize("what", KEPT)
def test_twice_as_fine_moves_no_reading(moved, what, name):
    off = moved[what, name]
    print(f"{what}, {name}: systolic and diastolic {told(off)} mmHg")
    assert off.shape[1] > 0.8 * PEOPLE / EVERY
    assert 0 < off.max() < MOST_MMHG


@pytest.mark.xfail(raises=AssertionError, strict=True, reason="DEVELOPERS.md, Numbers: by how much it is missed")
@pytest.mark.parametrize("name", READ_BY)
@pytest.mark.parametrize("what", MISSED)
def test_twice_as_fine_should_move_no_reading(moved, what, name):
    off = moved[what, name]
    print(f"{what}, {name}: systolic and diastolic {told(off)} mmHg")
    assert off.max() < MOST_MMHG


@pytest.mark.parametrize("what", MISSED)
def test_the_misses_are_no_larger_than_stated(moved, what):
    stated = STATED_MMHG[what]
    assert moved[what, "fixed-ratio"].max() < stated + 0.03
    text = (Path(__file__).resolve().parents[2] / "DEVELOPERS.md").read_text(encoding="utf-8")
    assert f"{stated:.2f}" in next(line for line in text.splitlines() if line.startswith(f"| {what} |"))
