"""What shakes the cuff: its frequencies as published, its height as asked, and what the estimators make of it."""

import numpy as np
import pytest

from sim import Instrument, Subject, Technique, measure
from sim.chance import Chance, Source
from sim.cuff.movement import bands, movement
from sim.estimate.door import read
from sim.estimate.named import NAMED
from sim.study.cohort import cohort

HZ, SECONDS, N = 100.0, 60, 200
SAMPLES = int(HZ * SECONDS)
# Physiological and essential tremor of the hand: 4 to 12 Hz (quoted in PMC6806079); shivering 8 to 10 Hz (Pozos RS, et
# al. 1987); an ambulance's stretcher below 10 Hz, most at 1.5 to 4 Hz (Leyshon DR, Stammers CW 1986); at will below
# tremors (assumed).
PUBLISHED_HZ = {"tremor": (4, 12), "shivering": (8, 10), "arm": (0.5, 3), "vehicle": (1.5, 4)}


def shaken(kind: str, mmhg: float = 2.0, n: int = N) -> np.ndarray:
    drawn = Chance.draw(Source(np.random.default_rng(4)), n, 10, SAMPLES)
    return movement(Technique(movement=kind, movement_mmhg=mmhg).spread(n), drawn, SAMPLES, HZ)


def power_between(values: np.ndarray, low_hz: float, high_hz: float) -> float:
    """Share of the power of signals (n, m) between two frequencies."""
    power = (np.abs(np.fft.rfft(values * np.hanning(values.shape[1]), axis=1)) ** 2).sum(axis=0)
    hz = np.fft.rfftfreq(values.shape[1], 1 / HZ)
    return float(power[(hz >= low_hz) & (hz <= high_hz)].sum() / power.sum())


@pytest.mark.parametrize("kind", PUBLISHED_HZ)
def test_a_lasting_movement_has_the_published_frequencies(kind: str) -> None:
    low, high = PUBLISHED_HZ[kind]
    # A tremor whose middle is at a limit reaches half its width beyond it.
    beyond = 0.5 if kind in ("tremor", "shivering") else 0.1
    share = power_between(shaken(kind), low - beyond, high + beyond)
    print(f"{kind}: {share:.1%} of the power from {low:g} to {high:g} Hz")
    assert share > 0.98


def test_the_kinds_are_those_of_the_field() -> None:
    assert {"jolts", *bands()} == set(Technique.LIMITS["movement"].options)  # type: ignore[attr-defined]


@pytest.mark.parametrize("kind", PUBLISHED_HZ)
def test_it_is_as_high_as_asked(kind: str) -> None:
    """A wave whose swings are h high has a root mean square of h / sqrt(2)."""
    assert shaken(kind).std() == pytest.approx(2 / np.sqrt(2), rel=0.05)


def test_shivering_grows_and_fades_six_to_eight_times_a_minute() -> None:
    """Pozos RS, et al. 1987."""
    strength = shaken("shivering") ** 2
    strength -= strength.mean(axis=1, keepdims=True)
    power = (np.abs(np.fft.rfft(strength, axis=1)) ** 2).sum(axis=0)
    per_min = 60 * np.fft.rfftfreq(SAMPLES, 1 / HZ)
    slow = (per_min > 2) & (per_min < 30)
    assert 6 <= per_min[slow][np.argmax(power[slow])] <= 8


@pytest.mark.parametrize("kind", ["jolts", *PUBLISHED_HZ])
def test_without_chance_nothing_moves(kind: str) -> None:
    still = measure(Subject(), ideal=True).recording.pressure_mmhg
    asked = measure(Subject(), Technique(movement=kind, movement_mmhg=5), ideal=True).recording.pressure_mmhg
    np.testing.assert_array_equal(asked, still)


@pytest.mark.parametrize("kind", ["jolts", *PUBLISHED_HZ])
def test_every_estimator_reads_or_says_why_not(kind: str) -> None:
    """And strong movement leaves few readings."""
    people = cohort(40, np.random.default_rng(1))
    for mmhg, most in ((1, 1.0), (6, 0.4)):
        how = Technique(movement=kind, movement_mmhg=mmhg)
        taken = measure(people, how, Instrument(), rng=np.random.default_rng(2))
        for name, estimator in NAMED.items():
            found = read(estimator, taken.recording, name)
            assert (found.ok == (found.reason == "")).all()
            assert np.isfinite(found.sbp[found.ok]).all()
            assert np.isnan(found.sbp[~found.ok]).all()
            assert found.ok.mean() <= most
