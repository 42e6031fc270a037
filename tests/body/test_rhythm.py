"""When the heart beats: what a regular rhythm, atrial fibrillation and early beats are made of."""

import numpy as np
import pytest

from sim import Instrument, Subject, Technique, measure, parameters
from sim.body.pulse import Beats
from sim.body.rhythm import rhythm
from sim.record import planned
from sim.setup import Setup

SLOW = Instrument(deflation_mmhg_per_s=1)


def beats_of(n: int = 400, seed: int | None = 2, technique: Technique | None = None, **person: object) -> Beats:
    setup = Setup(Subject(**person), technique or Technique(), SLOW).spread(n)
    sweep, chance = planned(setup, None if seed is None else np.random.default_rng(seed))
    return sweep.beats(chance)


def early_of(n: int = 300, **person: float) -> tuple[np.ndarray, Beats]:
    """Which beats come early (n, k), and the beats."""
    setup = Setup(Subject(rhythm="early-beats", **person), instrument=SLOW).spread(n)
    sweep, chance = planned(setup, np.random.default_rng(2))
    share = rhythm(sweep.setup.subject, np.zeros(n, dtype=bool), chance).pulse_share
    return share == parameters.EARLY_PULSE, sweep.beats(chance)


def test_the_heart_goes_with_the_breath() -> None:
    """The spectrum of the intervals has its highest peak at the breath's own frequency, 15 per min."""
    setup = Setup(Subject(breathing_per_min=15, heart_rate=72), instrument=SLOW).spread(100)
    sweep, chance = planned(setup, np.random.default_rng(1))
    start = sweep.beats(chance).start_s
    time = np.arange(0, 128, 0.25)
    power = np.zeros(len(time) // 2 + 1)
    for row in start:
        intervals = np.interp(time, row[:-1], np.diff(row))
        power += np.abs(np.fft.rfft(intervals - intervals.mean())) ** 2
    hz = np.fft.rfftfreq(len(time), 0.25)
    fast = hz > 0.15
    assert hz[fast][np.argmax(power[fast])] == pytest.approx(0.25, abs=0.01)


def test_deep_breaths_swing_the_rate_by_fifteen() -> None:
    """15 per min or more from lowest to highest is healthy: Ewing DJ, et al. 1985 (from memory)."""
    found = beats_of(technique=Technique(breathing="deep"))
    rate = 60 / np.diff(found.start_s, axis=1)
    # The wandering besides makes the extremes of a minute lie further apart: the middle of crest and trough counts.
    low, high = np.quantile(rate / np.median(rate, axis=1, keepdims=True), [0.07, 0.93])
    assert 70 * (high - low) == pytest.approx(15, rel=0.2)


def test_without_chance_every_interval_is_alike() -> None:
    for rhythm_name in ("regular", "atrial-fibrillation", "early-beats"):
        intervals = np.diff(beats_of(1, None, rhythm=rhythm_name, heart_rate=60).start_s)
        np.testing.assert_allclose(intervals, 1.0)


@pytest.mark.parametrize("share", [0.0, 0.05, 0.4])
def test_as_many_beats_come_early_as_are_asked_for(share: float) -> None:
    early, _ = early_of(early_beat_share=share)
    assert early[:, 1:].mean() == pytest.approx(share, abs=0.01)
    assert not (early[:, 1:] & early[:, :-1]).any()


def test_the_pause_makes_up_for_an_early_beat() -> None:
    """So the mean rate stays what it is without early beats."""
    regular, found = beats_of(), beats_of(rhythm="early-beats")
    seconds = np.full(400, 100.0)
    assert found.mean_rate(seconds).mean() == pytest.approx(regular.mean_rate(seconds).mean(), abs=0.2)


def test_early_beats_are_as_many_as_published_and_never_two_in_succession() -> None:
    """13 ± 12 % of beats: Baman TS, et al. 2010."""
    early, _ = early_of()
    assert early.mean() == pytest.approx(0.13, abs=0.01)
    assert not (early[:, 1:] & early[:, :-1]).any()


def test_an_early_beat_is_early_and_weak_and_a_larger_one_follows() -> None:
    """After 57 % of an interval (Park K-M, et al. 2015); the pulse after the pause 9.8 ± 5.4 % larger (PMC2290033)."""
    early, found = early_of()
    intervals, pulse = np.diff(found.start_s, axis=1), found.pulse_mmhg
    usual = ~early[:, 1:-1] & ~early[:, :-2] & ~early[:, 2:]
    before = intervals[:, :-1][early[:, 1:]]
    assert before.mean() / intervals[:, 1:-1][usual].mean() == pytest.approx(0.57, abs=0.02)
    weak = pulse[early].mean() / pulse[:, 1:-1][usual].mean()
    assert weak < 0.5
    foot = found.foot_mmhg[:, :-1]
    rise = pulse + 0.2 * np.diff(found.foot_mmhg, axis=1)  # from foot to top, which a fifth of the beat lies after it
    pause = early[:, :-1]
    # The pressure has run off during the pause.
    assert foot[:, 1:][pause].mean() < foot[:, 1:-1][usual].mean() - 5
    assert rise[:, 1:][pause].mean() / rise[:, 1:-1][usual].mean() == pytest.approx(1.098, abs=0.054)


def test_the_truth_says_the_mean_rate_of_its_beats() -> None:
    result = measure(Subject(heart_rate=80), rng=np.random.default_rng(3), n=200)
    assert result.truth.pulse_rate.std() > 1.5
    # What is shown follows the truth of its own reading, not the usual rate.
    off = result.reading.pulse_rate - result.truth.pulse_rate
    assert off.std() < 0.6 * (result.reading.pulse_rate - 80).std()
    assert result.mean().truth.pulse_rate[0] == pytest.approx(result.truth.pulse_rate.mean())
