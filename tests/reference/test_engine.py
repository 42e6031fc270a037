"""The engine is held to the plain evaluation of the same equations: 0.1 mmHg in the cuff, 0.3 mmHg in the reading.

The reference integrates the elastic equations, the artery's volume and the cuff's air as they stand (tests/reference);
the engine takes tables and few nodes.
"""

from __future__ import annotations

from functools import lru_cache
from itertools import pairwise
from typing import Any

import numpy as np
import pytest
from scipy.signal import find_peaks

from sim import Instrument, Subject, Technique, measure
from sim.cuff.transmission import along_arm, round_arm, round_arm_patch
from sim.estimate.fixed_ratio import FixedRatio
from sim.labels import labelled
from sim.results import Recording
from sim.setup import Setup
from tests.reference import transmission
from tests.reference.engine import case_of

CUFF_MMHG, READING_MMHG, HEIGHT_MMHG = 0.1, 0.3, 0.05

CASES: dict[str, tuple[dict[str, Any], dict[str, Any], dict[str, Any]]] = {
    "reference arm": ({}, {}, {"bladder": "13.5x26"}),
    "usual cuff": ({}, {}, {}),
    "bladder far too small": ({"arm_circumference_cm": 44}, {}, {"bladder": "12x22"}),
    "bladder far too large": ({"arm_circumference_cm": 22}, {}, {}),
    "slack, large artery": ({"artery_scale": 2}, {"slack_cm": 6}, {}),
    "conical arm": ({"arm_circumference_cm": 44, "arm_slant_degrees": 84.7}, {}, {"bladder": "18x40"}),
    "sleeve, high pressure": ({"sbp": 200, "dbp": 120}, {"sleeve_mm": 4}, {}),
    "turned": ({}, {"cuff_turned_deg": 180}, {"bladder": "12x22"}),
    "soft deep artery": ({"artery_a_mmhg": 8, "artery_b_mmhg": 10, "artery_radius_ratio": 0.25}, {}, {}),
    "stiff shallow artery": ({"artery_a_mmhg": 3, "artery_b_mmhg": 35, "artery_radius_ratio": 0.5}, {}, {}),
    "another law": ({"artery_law": "arctangent"}, {}, {}),
    "fast deflation": ({}, {}, {"deflation_mmhg_per_s": 10}),
    "arm low, low pressure": ({"sbp": 85, "dbp": 50}, {"cuff_below_heart_cm": 30}, {}),
    "adiabatic air, soft cloth": ({}, {}, {"polytropic_index": 1.4, "cloth_compliance_ml_per_mmhg": 0.1}),
}


def records(name: str) -> tuple[Subject, Technique, Instrument]:
    person, how, cuff = CASES[name]
    return Subject(**person), Technique(**how), Instrument(**{"resolution_mmhg": 0, "noise_mmhg": 0, **cuff})


@lru_cache(maxsize=len(CASES))
def reference(name: str) -> Recording:
    return case_of(*records(name)).recording()


@pytest.mark.parametrize("name", CASES)
def test_engine_against_the_reference(name: str) -> None:
    engine = measure(*records(name), ideal=True)
    plain = reference(name)

    off = engine.recording.pressure_mmhg[0] - plain.pressure_mmhg[0]
    read = FixedRatio()(plain)
    differences = {part: getattr(engine.reading, part)[0] - getattr(read, part)[0] for part in ("sbp", "dbp", "map")}
    print(f"{name}: cuff {np.abs(off).max():.3f}", {part: f"{value:+.3f}" for part, value in differences.items()})
    assert read.ok.all()
    assert np.abs(off).max() < CUFF_MMHG
    assert max(abs(value) for value in differences.values()) < READING_MMHG, differences


@pytest.mark.parametrize("name", CASES)
def test_the_envelope_of_the_labels_is_the_references(name: str) -> None:
    """The reference's trace, cut at its valleys: heights over the line from valley to valley."""
    labels = labelled(Setup(*records(name)).spread(1), None)[2]
    trace = reference(name).recorded()
    pulses = trace - np.linspace(trace[0], trace[-1], len(trace))
    valleys = find_peaks(-pulses, prominence=0.5, distance=60)[0]
    beats = [pulses[first : last + 1] for first, last in pairwise(valleys)]
    high = np.array([(beat - np.linspace(beat[0], beat[-1], len(beat))).max() for beat in beats])
    cuff = [trace[first:last].mean() for first, last in pairwise(valleys)]
    ours = np.interp(cuff, labels.envelope_cuff_mmhg[0, ::-1], labels.envelope_mmhg[0, ::-1])
    print(f"{name}: {np.abs(ours - high).max():.3f} of {high.max():.2f}")
    assert len(high) >= 8
    assert np.abs(ours - high).max() < HEIGHT_MMHG


@pytest.mark.parametrize("q", [0.2, 0.35, 0.6])
@pytest.mark.parametrize("width_ratio", [0.15, 0.3, 0.47, 0.8, 1.2])
def test_share_along_the_arm(width_ratio: float, q: float) -> None:
    places = np.array([0, 0.2, 0.4, 0.5, 0.6, 0.8])
    found = along_arm(places, np.array([width_ratio]), np.array([q]))[0]
    np.testing.assert_allclose(found, transmission.along_arm(places, width_ratio, q), atol=2e-4)


@pytest.mark.parametrize("q", [0.2, 0.35, 0.6])
@pytest.mark.parametrize("turned_deg", [0, 60, 180])
@pytest.mark.parametrize("coverage", [0.4, 0.8, 1.0, 1.3])
def test_share_round_the_arm(coverage: float, turned_deg: float, q: float) -> None:
    turned = np.deg2rad(turned_deg)
    found = round_arm(coverage, turned, q)[0]
    assert found == pytest.approx(transmission.round_arm(coverage, turned, q), abs=1e-6)


@pytest.mark.parametrize("patch", [0.01, 0.05])
def test_share_lost_under_a_wrinkle(patch: float) -> None:
    """A patch without pressure over the artery takes away its part of Poisson's integral."""
    q = 0.35
    lost = transmission.round_arm(1.0, 0.0, q) - transmission.round_arm(1.0, 0.0, q, patch=patch)
    assert round_arm_patch(np.array([patch]), np.array([q]))[0] == pytest.approx(lost, abs=1e-9)
