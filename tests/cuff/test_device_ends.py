"""Where a device begins and ends, and what its sensor does to the recording."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from sim import FieldError, Instrument, Subject, Technique, measure
from sim.cuff.filling import gives_away, span
from sim.cuff.profile import names, profile
from sim.cuff.sensor import sensed
from sim.explain.playback import playback
from sim.record import record
from sim.setup import Setup
from sim.study.plan import Study

CLOSES, OPENS = np.array([130.0, 150.0, 171.0]), np.array([80.0, 70.0, 95.0])


def ends(**fields: Any) -> tuple[np.ndarray, np.ndarray]:
    draws = np.full((3, 4), 0.5)
    return span(Instrument(**fields).spread(3), CLOSES, OPENS, draws, np.full(3, 3.0))


def test_a_cuff_is_filled_again_as_often_as_it_takes() -> None:
    """20 mmHg above where the artery closes are needed: 150, 170 and 191."""
    start, _ = ends(start_mmhg=150, refill_mmhg=15)
    np.testing.assert_allclose(start, [150, 180, 195])
    np.testing.assert_allclose(ends(start_mmhg=150)[0], 150)


def test_no_fill_goes_beyond_what_a_cuff_is_filled_to() -> None:
    start, _ = span(
        Instrument(start_mmhg=250, refill_mmhg=100).spread(1),
        np.array([270.0]),
        np.array([100.0]),
        np.full((1, 4), 0.5),
        np.array([3.0]),
    )
    assert start == 320


def test_a_fill_and_a_fall_go_so_far_beyond_the_pulse() -> None:
    start, end = ends(fill_beyond_mmhg=25, fall_beyond_mmhg=15)
    np.testing.assert_allclose(start - CLOSES, 25)
    np.testing.assert_allclose(OPENS - end, 15)
    np.testing.assert_allclose(ends(fall_beyond_mmhg=15, end_mmhg=70)[1], [70, 70, 80])


def test_a_fill_that_leaves_nothing_to_record_is_refused() -> None:
    with pytest.raises(FieldError, match="start_mmhg"):
        ends(start_mmhg=50, fall_beyond_mmhg=15)


@pytest.mark.parametrize(
    "fields", [{"fill_beyond_mmhg": 20}, {"fall_beyond_mmhg": 20}, {"start_mmhg": 150, "refill_mmhg": 10}]
)
def test_a_study_says_where_a_recording_gives_the_pressure_away(fields: dict[str, float]) -> None:
    assert "goes with the pressures" in str(Study(50, instrument=Instrument(**fields)).origin)
    assert not gives_away(
        Instrument(refill_mmhg=10, start_mmhg=0, deflation_mmhg_per_beat=3, leak_mmhg_per_min=3)
    ).any()


def test_a_fill_that_is_too_low_gives_no_number_and_a_second_one_does() -> None:
    person = Subject(sbp=165, dbp=95)
    low = measure(person, Technique(), Instrument(start_mmhg=160), ideal=True).reading
    again = measure(person, Technique(), Instrument(start_mmhg=160, refill_mmhg=40), ideal=True).reading
    assert "not pumped high enough" in low.reason[0]
    assert again.ok.all()


def test_drift_grows_evenly_from_nothing() -> None:
    cuff = np.linspace(180, 40, 500)[None]
    seen = sensed(cuff.copy(), Instrument(drift_mmhg=-4, noise_mmhg=0, resolution_mmhg=0).spread(1), np.zeros((1, 500)))
    np.testing.assert_allclose((seen - cuff)[0], [-4 * k / 499 for k in range(500)], atol=1e-9)


def test_drift_moves_a_reading_by_what_it_has_grown_to() -> None:
    """Each pressure is found at its own time of the fall, and is off by the share of the drift until then."""
    usual = {"start_mmhg": 180, "end_mmhg": 30, "noise_mmhg": 0, "resolution_mmhg": 0}
    plain = measure(Subject(), Technique(), Instrument(**usual), ideal=True).reading
    off = measure(Subject(), Technique(), Instrument(**usual, drift_mmhg=5), ideal=True).reading
    for name in ("sbp", "dbp"):
        share = (180 - getattr(plain, name)[0]) / 150
        assert getattr(off, name)[0] - getattr(plain, name)[0] == pytest.approx(5 * share, abs=0.6)


@pytest.mark.parametrize(("bits", "full"), [(8, 300.0), (12, 250.0)])
def test_a_converter_shows_multiples_of_its_step_within_its_scale(bits: int, full: float) -> None:
    cuff = np.linspace(-10, 320, 4001)[None]
    device = Instrument(converter_bits=bits, full_scale_mmhg=full, resolution_mmhg=2, noise_mmhg=0).spread(1)
    codes = sensed(cuff.copy(), device, np.zeros_like(cuff))[0] * 2**bits / full
    np.testing.assert_allclose(codes, np.round(codes), atol=1e-9)
    assert (codes.min(), codes.max()) == (0, 2**bits - 1)
    inside = (cuff[0] > 0) & (cuff[0] < full - full / 2**bits)
    assert np.abs(codes * full / 2**bits - cuff[0])[inside].max() <= full / 2**bits / 2 + 1e-9


def test_bits_come_whole() -> None:
    with pytest.raises(FieldError, match=r"converter_bits = 11.5: must be a whole number from 0 to 24 bits"):
        Instrument(converter_bits=11.5)
    assert all(value % 1 == 0 for value in Instrument.LIMITS["converter_bits"].everywhere(6))


def test_what_a_device_does_changes_nothing_for_the_others() -> None:
    """The first of three readings is the same to the last bit, whatever devices are beside it."""
    plain = Setup.of(sbp=[120.0, 131.0, 142.0]).spread(3)
    mixed = plain.replace(
        deflation_mmhg_per_beat=[0, 4, 0],
        leak_mmhg_per_min=[0, 0, 15],
        drift_mmhg=[0, 3, 0],
        converter_bits=[0, 9, 11],
        step_hold_s=[0, 0, 2.0],
        course=["deflating", "deflating", "steps"],
    )
    alone, beside = (record(setup, np.random.default_rng(8))[0] for setup in (plain, mixed))
    m = int(alone.samples[0])
    assert beside.samples[0] == m
    np.testing.assert_array_equal(alone.pressure_mmhg[0, :m], beside.pressure_mmhg[0, :m])
    assert (alone.pressure_mmhg[1, :m] != beside.pressure_mmhg[1, :m]).any()


@pytest.mark.parametrize("name", names())
def test_a_reading_that_is_played_is_the_one_that_is_measured(name: str) -> None:
    """Under the cuff the pressure falls as the device lets it, and the recording is the same as without watching."""
    device = profile(name)
    played = playback(Subject(), Technique(), device, rng=np.random.default_rng(4))
    measured = measure(Subject(), Technique(), device, rng=np.random.default_rng(4))
    np.testing.assert_array_equal(played.result.recording.pressure_mmhg, measured.recording.pressure_mmhg)
    assert len(played.outside_mmhg) == measured.recording.samples[0]
    assert np.abs(played.outside_mmhg - measured.recording.pressure_mmhg[0]).max() < 10
