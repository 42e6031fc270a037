"""Courses of devices against plain loops: steps that are held, a valve that follows the heart, a cuff that leaks."""

from __future__ import annotations

import numpy as np
import pytest

from sim import Instrument
from sim.cuff.course import LEAK_AT_MMHG, course, mean_rate, valve_seconds
from sim.parameters import SURROUNDING_MMHG
from sim.record import planned
from sim.setup import Setup

HZ = 100.0
# Unequal beats, as in atrial fibrillation: their feet [s].
FEET_S = np.concatenate([[-0.4], -0.4 + np.cumsum(np.random.default_rng(3).uniform(0.5, 1.3, 60))])[None]


def by_loop_of_steps(start_mmhg: float, step_mmhg: float, hold_s: float, samples: int) -> list[float]:
    """Waits, then lets out evenly over 0.3 s, and again."""
    found, base, waited = [], start_mmhg, 0.0
    for _ in range(samples):
        falling_s = max(0.0, waited - hold_s)
        found.append(base - step_mmhg * min(1.0, falling_s / 0.3))
        waited += 1 / HZ
        if waited >= hold_s + 0.3 - 1e-9:
            base, waited = base - step_mmhg, waited - hold_s - 0.3
    return found


@pytest.mark.parametrize(("step_mmhg", "hold_s"), [(8.0, 3.0), (12.0, 1.7)])
def test_a_step_that_is_held_is_as_a_plain_loop_has_it(step_mmhg: float, hold_s: float) -> None:
    device = Instrument(course="steps", step_mmhg=step_mmhg, step_hold_s=hold_s).spread(1)
    driven = course(np.array([190.0]), 3000, device, HZ)[0]
    np.testing.assert_allclose(driven, by_loop_of_steps(190.0, step_mmhg, hold_s, 3000), atol=1e-6)


def by_loop_of_beats(start_mmhg: float, per_beat_mmhg: float, samples: int) -> list[float]:
    """Sample for sample: which beat is under way, how long was the one before, how fast may the valve be."""
    feet = FEET_S[0]
    found, pressure = [], start_mmhg
    for k in range(samples):
        found.append(pressure)
        for fine in range(20):
            beat = int(np.searchsorted(feet, (k + (fine + 0.5) / 20) / HZ)) - 1
            known = max(beat - 1, 0)
            rate = per_beat_mmhg / (feet[known + 1] - feet[known])
            pressure -= min(max(rate, 1.0), 20.0) / HZ / 20
    return found


@pytest.mark.parametrize("per_beat_mmhg", [0.8, 3.0])
def test_a_valve_that_follows_the_heart_is_as_a_plain_loop_has_it(per_beat_mmhg: float) -> None:
    """0.8 mmHg from beat to beat is below 1 mmHg/s after most of these beats, which the valve cannot do."""
    device = Instrument(deflation_mmhg_per_beat=per_beat_mmhg).spread(1)
    rate = mean_rate(device, np.array([70.0]))
    driven = course(np.array([190.0]), 3000, device, HZ, rate, FEET_S)[0]
    np.testing.assert_allclose(driven, by_loop_of_beats(190.0, per_beat_mmhg, 3000), atol=2e-3)


def test_between_even_beats_the_pressure_falls_by_what_was_asked() -> None:
    feet = np.arange(0, 40, 1.5)[None]  # 40 beats a minute
    device = Instrument(deflation_mmhg_per_beat=3).spread(1)
    driven = course(np.array([190.0]), 3000, device, HZ, mean_rate(device, np.array([40.0])), feet)[0]
    np.testing.assert_allclose(np.diff(driven[::150]), -3, atol=1e-9)


def test_steps_that_follow_the_heart_are_held_for_so_many_beats() -> None:
    """9 mmHg at 3 from beat to beat: three beats a step, the valve at work for 0.3 s of 2.4."""
    feet = np.arange(0, 60, 0.8)[None]
    device = Instrument(course="steps", step_mmhg=9, deflation_mmhg_per_beat=3).spread(1)
    driven = course(np.array([190.0]), 4800, device, HZ, mean_rate(device, np.array([75.0])), feet)[0]
    np.testing.assert_allclose(driven[10::240], 190 - 9 * np.arange(20), atol=1e-6)
    assert (np.diff(driven) == 0).mean() == pytest.approx(2.1 / 2.4, abs=0.01)


@pytest.mark.parametrize("how", ["deflating", "steps"])
def test_a_leak_is_as_an_amount_of_air_that_flows_out(how: str) -> None:
    """The gas law, p V = n R T, in a cuff of fixed volume: per millisecond the amount falls by what the valve lets out
    and by what leaks, which is in proportion to the pressure over the surrounding."""
    device = Instrument(course=how, leak_mmhg_per_min=30, step_hold_s=4).spread(1)
    start, samples = 200.0, 2000
    closed = course(np.array([start]), samples, device.replace(leak_mmhg_per_min=0), HZ)[0]
    amount, found = SURROUNDING_MMHG + start, [start]  # in units of V / R T
    for k in range(1, samples):
        for _ in range(10):
            leak = 30 / 60 / LEAK_AT_MMHG * (amount - SURROUNDING_MMHG)
            amount -= (closed[k - 1] - closed[k]) / 10 + leak / HZ / 10
        found.append(amount - SURROUNDING_MMHG)
    driven = course(np.array([start]), samples, device, HZ)[0]
    np.testing.assert_allclose(driven, found, atol=2e-3)
    assert closed[-1] - driven[-1] > 5


def test_a_step_in_a_cuff_that_leaks_fades_exponentially() -> None:
    """Held for 10 s at 200 mmHg with 24 mmHg/min: to 200 e^(-10 * 24 / 60 / 200)."""
    device = Instrument(course="steps", step_hold_s=10, leak_mmhg_per_min=24).spread(1)
    driven = course(np.array([200.0]), 1001, device, HZ)[0]
    assert driven[1000] == pytest.approx(200 * np.exp(-0.02), abs=1e-6)


def test_a_leak_slows_a_rise_that_ends_where_it_should() -> None:
    device = Instrument(course="inflating", leak_mmhg_per_min=30, deflation_mmhg_per_s=2).spread(1)
    driven = course(np.array([180.0]), 6000, device, HZ)[0]
    assert driven[-1] == pytest.approx(180)
    middle = (driven[2:] + driven[:-2]) / 2
    rise = (driven[2:] - driven[:-2]) * HZ / 2
    np.testing.assert_allclose(rise, 2 - 30 / 60 / LEAK_AT_MMHG * middle, atol=1e-5)


@pytest.mark.parametrize("how", ["deflating", "inflating", "steps"])
def test_a_fall_that_leaks_takes_as_long_as_planned(how: str) -> None:
    device = Instrument(course=how, leak_mmhg_per_min=20, step_mmhg=6).spread(1)
    seconds = valve_seconds(np.array([190.0]), np.array([40.0]), device, np.array([3.0]))
    driven = course(np.array([190.0]), round(seconds[0] * HZ) + 1, device, HZ)[0]
    # By steps, to within one.
    assert min(driven[0], driven[-1]) == pytest.approx(40, abs=6 if how == "steps" else 0.1)


@pytest.mark.parametrize("heart_rate", [50.0, 70.0, 95.0])
def test_a_recording_by_beats_ends_where_it_should(heart_rate: float) -> None:
    """To within a block of 2 s, whatever the heart does in this reading."""
    setup = Setup.of(heart_rate=heart_rate, deflation_mmhg_per_beat=3, start_mmhg=180, end_mmhg=40).spread(20)
    sweep, chance = planned(setup, np.random.default_rng(5))
    recording, truth = sweep.record(chance)
    driven = sweep.driven(sweep.beats(chance).start_s, sweep.longest)
    last = driven[np.arange(20), recording.samples - 1]
    assert ((last < 40.1) & (last > 40 - 2 * 3 * heart_rate / 60 * 1.2)).all()
    beats = recording.samples / recording.sampling_hz * truth.pulse_rate / 60
    np.testing.assert_allclose(beats, (180 - last) / 3, rtol=0.05)
