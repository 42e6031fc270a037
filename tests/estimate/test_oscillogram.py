"""Oscillograms and their exchangeable builder; gaps and clipped ends of recordings."""

from dataclasses import replace

import numpy as np
import pytest

from sim.body.artery import area
from sim.body.subject import Subject
from sim.cuff.instrument import Instrument
from sim.estimate.fixed_ratio import FixedRatio
from sim.estimate.oscillogram import OscillogramBuilder, oscillogram
from sim.estimate.refusal import NOT_HIGH_ENOUGH, NOT_LOW_ENOUGH
from sim.estimate.usable import faulty, mended
from sim.fields import FieldError
from sim.measurement import measure
from sim.results import Recording
from sim.technique import Technique
from tests.estimate.kernel import kernel_recording


@pytest.fixture(scope="module")
def recording() -> Recording:
    return measure(Subject(), Technique(), Instrument(), rng=np.random.default_rng(4), n=3).recording


def test_the_amplitudes_of_a_builder_belong_together(recording):
    """Height is the top over the line, half of area the mean over it, so upper, the top over the mean, is the rest."""
    height, area, upper = (
        OscillogramBuilder(amplitude=name)(recording).amplitude_mmhg for name in ("height", "area", "upper")
    )
    assert height - area / 2 == pytest.approx(upper, nan_ok=True)
    # A burst of noise where the pulse has gone may lie below its line.
    risen = height > 0.1
    assert (upper[risen] <= height[risen]).all()


def test_form_is_mean_height_over_height(recording):
    built = OscillogramBuilder()(recording)
    assert built.form is not None
    area = OscillogramBuilder(amplitude="area")(recording).amplitude_mmhg
    there = built.amplitude_mmhg > 0  # where the pulse has gone a beat may have no height, and then no form
    assert built.form[there] == pytest.approx((area / 2 / built.amplitude_mmhg)[there])


def test_the_mean_lies_above_the_line_by_what_the_beat_adds(recording):
    """With the fall from top to the middle of the beat taken off, the mean is the line and the beat's mean height."""
    mean, line = (OscillogramBuilder(paired_with=name)(recording) for name in ("mean", "line"))
    assert mean.form is not None
    middle = (mean.time_s + mean.end_s) / 2
    fallen = 3.0 * (middle - mean.peak_s)
    expected = line.cuff_mmhg - fallen + mean.form * mean.amplitude_mmhg
    kept = mean.kept & (mean.amplitude_mmhg > 1)
    assert mean.cuff_mmhg[kept] == pytest.approx(expected[kept], abs=0.35)


def test_an_amplitude_on_the_kernel_is_the_area_law_between_the_pressures():
    """Without feedback: k (A(SBP - R) - A(DBP - R)), with R the line under the top."""
    osc = OscillogramBuilder(paired_with="line")(kernel_recording(120, 80))
    # The first and last beats are not whole.
    cuff, height = osc.cuff_mmhg[osc.kept][1:-1], osc.amplitude_mmhg[osc.kept][1:-1]
    k = 3.0 / (24 * (1 - np.exp(-40 / 24)))
    exact = k * (area(120 - cuff, 4.0, 20.0) - area(80 - cuff, 4.0, 20.0))
    assert height == pytest.approx(exact, abs=0.06)


def test_less_smoothing_leaves_more_of_the_scatter(recording):
    rough, fine = (
        OscillogramBuilder(smoothing_mmhg=mmhg, smoothing_beats=1)(recording).envelope_mmhg for mmhg in (2, 10)
    )
    assert np.abs(np.diff(rough, 2)).mean() > 3 * np.abs(np.diff(fine, 2)).mean()


@pytest.mark.parametrize(
    ("field", "value", "allowed"),
    [
        ("amplitude", "loudness", "one of height, area, upper"),
        ("paired_with", "top", "one of mean, line"),
        ("smoothing_mmhg", 99, "from 0.5 to 30 mmHg"),
        ("smoothing_beats", float("nan"), "from 0.5 to 10 beats"),
    ],
)
def test_a_builder_that_cannot_be_names_its_field(field, value, allowed):
    with pytest.raises(FieldError, match=field) as error:
        OscillogramBuilder(**{field: value})
    assert allowed in str(error.value)


def test_the_builder_can_be_exchanged_in_an_estimator(recording):
    usual = FixedRatio()(recording)
    other = FixedRatio(build=OscillogramBuilder(amplitude="area"))(recording)
    assert usual.ok.all()
    assert other.ok.all()
    assert (np.abs(usual.dbp - other.dbp) > 0.3).any()


def test_a_sound_recording_is_not_faulty(recording):
    for row, length in enumerate(recording.samples):
        assert not faulty(recording.pressure_mmhg[row : row + 1, :length], recording.sampling_hz)[0]


def test_short_gaps_are_bridged_by_straight_lines():
    values = np.linspace(150, 50, 1001)
    holed = values.copy()
    holed[[3, 500, 501, 502, 800]] = np.nan
    whole, first = mended(holed, 100.0)
    assert first == 0
    assert whole == pytest.approx(values)


def test_a_long_gap_ends_a_recording():
    values = np.linspace(150, 50, 1001)
    values[600:640] = np.nan
    assert len(mended(values, 100.0)[0]) == 600


def test_what_stands_at_a_limit_is_left_out_at_its_own_end():
    falling = np.linspace(180, 40, 3001)
    cut, first = mended(np.clip(falling, 60, 150), 100.0)
    assert cut.max() < 150
    assert cut.min() > 60
    assert falling[first] == cut[0]
    rising, _ = mended(np.minimum(falling[::-1], 150), 100.0)
    assert rising[0] == falling[-1]
    assert rising[-1] < 150


def test_gaps_hardly_change_a_reading(recording):
    holed = recording.pressure_mmhg.copy()
    holed[np.random.default_rng(0).random(holed.shape) < 0.02] = np.nan
    sound, mended_ = FixedRatio()(recording), FixedRatio()(replace(recording, pressure_mmhg=holed))
    assert mended_.ok.all()
    assert mended_.sbp == pytest.approx(sound.sbp, abs=0.5)
    assert mended_.dbp == pytest.approx(sound.dbp, abs=0.5)


@pytest.mark.parametrize(("limits", "reason"), [((0, 108), NOT_HIGH_ENOUGH), ((80, 300), NOT_LOW_ENOUGH)])
def test_a_sensor_that_ends_inside_the_pulse_gives_no_reading(recording, limits, reason):
    clipped = replace(recording, pressure_mmhg=np.clip(recording.pressure_mmhg, *limits))
    assert (FixedRatio()(clipped).reason == reason).all()


def test_times_are_those_of_the_recording_where_its_beginning_is_left_out(recording):
    """Clipped well above systolic pressure: the beats that are left are found at the same times."""
    clipped = replace(recording, pressure_mmhg=np.minimum(recording.pressure_mmhg, 145))
    whole, part = oscillogram(recording), oscillogram(clipped)
    for row in range(len(recording)):
        times = part.time_s[row][part.kept[row]][2:]
        assert np.isin(np.round(times, 3), np.round(whole.time_s[row], 3)).mean() > 0.95


def test_the_recording_is_left_as_it_was(recording):
    before = recording.pressure_mmhg.copy()
    oscillogram(replace(recording, pressure_mmhg=recording.pressure_mmhg))
    assert np.array_equal(before, recording.pressure_mmhg, equal_nan=True)
