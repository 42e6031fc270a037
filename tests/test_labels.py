"""Labels say what is in a recording: held to the heart and to a finder of peaks that is not ours.

The envelope is held to the slow reference in tests/reference/test_engine.py.
"""

import numpy as np
import pytest
from scipy.signal import butter, find_peaks, peak_prominences, sosfiltfilt

from sim.cuff.movement import movement
from sim.labels import MOVEMENT_FROM_MMHG, MOVEMENT_JOINED_S, is_movement, labelled, labels_of
from sim.record import planned, record
from sim.setup import Setup

SEED = 4
RHYTHMS = ("regular", "atrial-fibrillation", "early-beats")
KINDS = ("jolts", "tremor", "shivering", "arm", "vehicle")
HZ = 100.0
# Peaks that somebody would see in the trace [mmHg].
SEEN_MMHG = 0.5


def setup(**changes):
    """Three rhythms without movement, then each kind of movement."""
    n = len(RHYTHMS) + len(KINDS)
    rhythms = [*RHYTHMS, *["regular"] * len(KINDS)]
    moved = [0.0] * len(RHYTHMS) + [2.0] * len(KINDS)
    kinds = ["jolts"] * len(RHYTHMS) + list(KINDS)
    usual = {"rhythm": rhythms, "movement": kinds, "movement_mmhg": moved}
    return Setup.of(sbp=np.linspace(110, 160, n), **usual | changes).spread(n)


def rng():
    return np.random.default_rng(SEED)


@pytest.fixture(scope="module")
def made():
    return labelled(setup(), rng())


@pytest.fixture(scope="module")
def clean():
    """What a sensor without noise and steps records of the same people and the same chance, where nobody moves."""
    return record(setup(noise_mmhg=0.0, resolution_mmhg=0.0, movement_mmhg=0.0), rng())[0]


@pytest.fixture(scope="module")
def drawn():
    return planned(setup(), rng())


def beats_of(labels, row, name):
    values = getattr(labels, f"beat_{name}")[row]
    return values[: labels.beats[row]]


def test_the_recordings_are_those_without_labels(made):
    recording, truth = record(setup(), rng())
    assert np.array_equal(made[0].pressure_mmhg, recording.pressure_mmhg, equal_nan=True)
    assert np.array_equal(made[1].at_cuff.sbp, truth.at_cuff.sbp)


def test_beats_begin_when_the_heart_beats(made, drawn):
    """Every whole beat of the heart within the recording, and no other; the pulse takes no time to the cuff."""
    recording, _, labels = made
    sweep, chance = drawn
    for row, heart_s in enumerate(sweep.beats(chance).start_s):
        end_s = (recording.samples[row] - 1) / HZ
        whole = (heart_s[:-1] >= 0) & (heart_s[1:] <= end_s)
        assert np.array_equal(beats_of(labels, row, "time_s"), heart_s[:-1][whole])
        assert labels.beats[row] > 40


def without_fall(pressure):
    """The pulses of a trace without the fall, as anybody would filter it: Butterworth, 0.3 Hz, forwards and back."""
    line = np.linspace(pressure[0], pressure[-1], len(pressure))
    return sosfiltfilt(butter(2, 0.3, "high", fs=HZ, output="sos"), pressure - line)


@pytest.mark.parametrize("row", range(3), ids=RHYTHMS)
def test_a_finder_of_peaks_finds_the_same_beats(made, clean, row):
    """Every peak that it sees is one of ours, at the same time, and every one of ours that it should see it sees."""
    labels = made[2]
    trace = without_fall(clean.recorded(row))
    found = find_peaks(trace, prominence=SEEN_MMHG)[0] / HZ
    peak_s = beats_of(labels, row, "peak_s")
    first, last = peak_s[0] - 0.1, peak_s[-1] + 0.1
    found = found[(found > first) & (found < last)]
    assert len(found) > 20
    assert np.abs(found[:, None] - peak_s).min(axis=1).max() < 0.05
    # Such a finder measures from the higher foot; early beats begin on a high one.
    feet = np.round(beats_of(labels, row, "time_s") * HZ).astype(int)
    higher = np.maximum(trace[feet[:-1]], trace[feet[1:]])
    should = peak_s[:-1][trace[np.round(peak_s[:-1] * HZ).astype(int)] - higher > 1.3 * SEEN_MMHG]
    assert len(should) > 20
    assert np.abs(should[:, None] - found).min(axis=1).max() < 0.05


@pytest.mark.parametrize("row", range(3), ids=RHYTHMS)
def test_the_foot_is_where_the_trace_is_lowest(made, clean, row):
    labels, trace = made[2], without_fall(clean.recorded(row))
    lowest = find_peaks(-trace, prominence=SEEN_MMHG)[0] / HZ
    time_s = beats_of(labels, row, "time_s")
    lowest = lowest[(lowest > time_s[0] - 0.1) & (lowest < time_s[-1])]
    assert len(lowest) > 20
    assert np.median(np.abs(lowest[:, None] - time_s).min(axis=1)) < 0.03
    assert beats_of(labels, row, "foot_mmhg") == pytest.approx(
        np.interp(time_s, clean.time_s[: clean.samples[row]], clean.recorded(row))
    )


def test_heights_are_those_of_a_finder_of_peaks(made, clean):
    """In a regular rhythm, where the two feet of a beat are nearly as high: 3 % in the middle, of the larger beats."""
    labels, trace = made[2], without_fall(clean.recorded(0))
    high = beats_of(labels, 0, "amplitude_mmhg")
    large = high > high.max() / 3
    at = np.round(beats_of(labels, 0, "peak_s")[large] * HZ).astype(int)
    at = np.array([k - 5 + np.argmax(trace[k - 5 : k + 6]) for k in at])
    ratio = peak_prominences(trace, at)[0] / high[large]
    assert np.median(ratio) == pytest.approx(1, abs=0.03)
    assert np.percentile(np.abs(ratio - 1), 90) < 0.1


def test_the_parts_add_up_to_the_recording(made, clean, drawn):
    """Without noise, and movement, and noise: what is left is the rounding to steps of 0.02 mmHg."""
    recording = made[0]
    sweep, chance = drawn
    for row in range(len(recording)):
        m = int(recording.samples[row])
        shaken = movement(sweep.setup.technique.take([row]), chance.take([row], m), m, HZ)[0]
        noise = 0.07 * chance.noise[row, :m].astype(float)
        rest = recording.recorded(row) - clean.recorded(row) - shaken - noise
        assert np.abs(rest).max() < 0.01 + 1e-4  # noise is added in single precision
        assert noise.std() == pytest.approx(0.07, rel=0.05)


def test_samples_that_are_no_movement_differ_by_noise_alone(made, clean):
    recording, _, labels = made
    apart = np.abs(recording.pressure_mmhg - clean.pressure_mmhg)
    assert not labels.movement[: len(RHYTHMS)].any()
    for row in range(len(RHYTHMS), len(recording)):
        moving, m = labels.movement[row], int(recording.samples[row])
        assert not moving[m:].any()
        assert moving[:m].mean() > 0.1
        quiet = apart[row, :m][~moving[:m]]
        assert quiet.max(initial=0) < MOVEMENT_FROM_MMHG + 6 * 0.07
        assert np.sqrt((apart[row, :m][moving[:m]] ** 2).mean()) > 5 * 0.07


def test_a_sample_is_movement_by_its_size_or_in_a_short_gap():
    """Against the same rule sample by sample."""
    trace = np.random.default_rng(1).normal(0, 0.12, (3, 400))
    trace[:, 100:130] = trace[:, 250:268] = trace[:, :7] = trace[:, -7:] = 0
    most = round(MOVEMENT_JOINED_S * HZ)
    for row, found in zip(trace, is_movement(trace, HZ), strict=True):
        expected = np.abs(row) >= MOVEMENT_FROM_MMHG
        for first, last in zip(*[np.flatnonzero(expected)[k:][: expected.sum() - 1] for k in (0, 1)], strict=True):
            if last - first - 1 <= most:
                expected[first:last] = True
        assert np.array_equal(found, expected)
        assert 0 < found.mean() < 1


def test_early_beats_are_told_by_their_intervals(made):
    labels = made[2]
    assert not labels.beat_early[[0, 1]].any()
    time_s, early = beats_of(labels, 2, "time_s"), beats_of(labels, 2, "early")
    interval = np.diff(time_s)
    short = interval < 0.8 * np.median(interval)
    assert np.array_equal(short, early[1:])
    assert 0.05 < early.mean() < 0.2
    assert not labels.beat_early[:, -1].all()


HOW = {
    "a fall": {},
    "steps": {"course": "steps"},
    "held steps": {"course": "steps", "step_mmhg": 8.0, "step_hold_s": 3.0, "converter_bits": 10.0},
    "a rise": {"course": "inflating"},
    "by beats": {"deflation_mmhg_per_beat": 3.0, "leak_mmhg_per_min": 10.0},
}


@pytest.mark.parametrize("how", HOW.values(), ids=HOW)
def test_the_envelope_runs_through_the_middle_of_the_beats(how):
    """Over twenty readings of one person, whose beats differ by chance alone."""
    n = 20
    one = Setup.of(start_mmhg=190.0, end_mmhg=30.0, **how).spread(n)
    recording, _, labels = labelled(one, np.random.default_rng(7))
    assert labels.movement.shape == recording.pressure_mmhg.shape
    assert (np.diff(labels.envelope_cuff_mmhg, axis=1) < 0).all()
    apart = []
    for row in range(n):
        expected = np.interp(
            beats_of(labels, row, "cuff_mmhg"), labels.envelope_cuff_mmhg[row, ::-1], labels.envelope_mmhg[row, ::-1]
        )
        top = labels.envelope_mmhg[row].max()
        above = beats_of(labels, row, "cuff_mmhg") > labels.envelope_cuff_mmhg[row, labels.envelope_mmhg[row].argmax()]
        ratio = beats_of(labels, row, "amplitude_mmhg") / np.maximum(expected, 0.1)
        apart.append([ratio[(expected > top / 3) & side] for side in (above, ~above)])
    for side in zip(
        *apart, strict=True
    ):  # a curve that lay too high would be too large on one and too small on the other
        assert np.median(np.concatenate(side)) == pytest.approx(1, abs=0.03)


def test_movement_and_noise_change_no_beat_and_no_envelope(made):
    quiet = labelled(setup(movement_mmhg=0.0, noise_mmhg=0.0, resolution_mmhg=0.0), rng())[2]
    for name, values in vars(made[2]).items():
        if name != "movement":
            assert np.array_equal(values, getattr(quiet, name), equal_nan=values.dtype.kind == "f"), name
    assert not quiet.movement.any()


def test_the_same_draws_have_the_same_labels(made, drawn):
    sweep, chance = drawn
    again = labels_of(sweep, chance)
    for name, values in vars(made[2]).items():
        assert np.array_equal(values, getattr(again, name), equal_nan=values.dtype.kind == "f"), name
    assert "Labels, 8 rows" in repr(again)
