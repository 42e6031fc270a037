"""The course of the cuff's pressure that valve or pump drives: steady fall, fall by steps, or steady rise.

A valve that follows the heart (`deflation_mmhg_per_beat`) lets the pressure fall, during each beat, at the rate that
would have been right for the beat before it, the last whose length it knows. That is said here as the valve's clock,
which runs faster or slower than the clock on the wall; steps are counted on it, too.

**Leak.** Through a narrow gap air flows out in proportion to the pressure in the cuff over that around it (laminar
flow), and in a cuff whose volume hardly changes the pressure goes with the amount of air (the gas law), so a closed
cuff would empty as e^(-k t). With a valve that lets out air at the rate r(t) [mmHg/s],

    dR/dt = -r(t) - k R

which is solved exactly from sample to sample. The valve does not notice: one that measures its own rate would hold a
small leak off. What a pulse adds to the pressure leaks away in minutes, and is left as it is.
"""

from __future__ import annotations

import numpy as np

from sim.cuff.instrument import Instrument

# The time that the valve takes for one step [s] (assumed).
_STEP_S = 0.3
# The cuff pressure at which a leak is stated [mmHg]: chosen, a pressure that cuffs are filled to.
LEAK_AT_MMHG = 200.0
# How much longer than by the usual rate of the heart a fall by beats is planned, in case the heart is slow in this
# reading. Chosen: three standard deviations of the rate in atrial fibrillation (sim.parameters) slow it by a quarter.
SPARE_BY_BEAT = 1.4


def mean_rate(instrument: Instrument, heart_rate: np.ndarray) -> np.ndarray:
    """Mean rate of the valve, (n,) [mmHg/s]; by beats that of a heart at its usual rate, (n,) [beats/min].

    >>> mean_rate(Instrument(deflation_mmhg_per_beat=[0, 2]).spread(2), np.array([90.0, 90.0]))
    array([3., 3.])
    """
    rate = np.where(
        instrument.deflation_mmhg_per_beat > 0,
        _held_in(instrument.deflation_mmhg_per_beat * heart_rate / 60),
        instrument.deflation_mmhg_per_s,
    )
    held = (instrument.course == "steps") & (instrument.step_hold_s > 0)
    return np.where(held, instrument.step_mmhg / (instrument.step_hold_s + _STEP_S), rate)


def by_beat(instrument: Instrument) -> np.ndarray:
    """Which of n valves follow the heart, (n,): a step that is held for a time goes before."""
    held = (instrument.course == "steps") & (instrument.step_hold_s > 0)
    return (instrument.deflation_mmhg_per_beat > 0) & ~held


def valve_seconds(
    start_mmhg: np.ndarray, end_mmhg: np.ndarray, instrument: Instrument, rate_mmhg_per_s: np.ndarray
) -> np.ndarray:
    """How long valve or pump take from one end to the other, (n,) [s]; all (n,)."""
    seconds = (start_mmhg - end_mmhg) / rate_mmhg_per_s
    leak = _leak_per_s(instrument)
    if (leak != 0).any():
        some = np.where(leak != 0, leak, 1.0)
        driven = rate_mmhg_per_s / some
        seconds = np.where(leak != 0, np.log((start_mmhg + driven) / (end_mmhg + driven)) / some, seconds)
    return seconds


def clock_at(feet_s: np.ndarray, instrument: Instrument, rate_mmhg_per_s: np.ndarray) -> np.ndarray:
    """What the clocks of n valves show at the feet of the beats, (n, k + 1) [s]; 0 where a recording begins.

    feet_s: (n, k + 1) the times themselves, the first at or before 0 [s]

    >>> device = Instrument(deflation_mmhg_per_beat=3).spread(1)
    >>> clock_at(np.array([[0.0, 1.0, 2.0, 2.5, 3.0]]), device, np.array([3.0]))
    array([[0. , 1. , 2. , 2.5, 3.5]])
    """
    length_s = np.diff(feet_s, axis=1)
    # The first beat's length is known from the pulses while the cuff was filled.
    known_s = np.concatenate([length_s[:, :1], length_s[:, :-1]], axis=1)
    rate = _held_in(instrument.deflation_mmhg_per_beat[:, None] / known_s)
    shown = np.zeros(feet_s.shape)
    np.cumsum(length_s * rate / rate_mmhg_per_s[:, None], axis=1, out=shown[:, 1:])
    before = -feet_s[:, :1] * rate[:, :1] / rate_mmhg_per_s[:, None]
    return np.where(by_beat(instrument)[:, None], shown - before, feet_s)


def seconds_by_beat(clock_s: np.ndarray, feet_s: np.ndarray, valve_s: np.ndarray) -> np.ndarray:
    """Times at which the clocks of n valves (n, k + 1) show `valve_s`, (n,) [s]; after the last beat the last foot."""
    after = np.clip((clock_s <= valve_s[:, None]).sum(axis=1), 1, clock_s.shape[1] - 1)
    rows = np.arange(len(clock_s))
    shown, next_shown = clock_s[rows, after - 1], clock_s[rows, after]
    share = np.clip((valve_s - shown) / (next_shown - shown), 0, 1)
    return feet_s[rows, after - 1] + share * (feet_s[rows, after] - feet_s[rows, after - 1])


def course(
    start_mmhg: np.ndarray,
    samples: int,
    instrument: Instrument,
    sampling_hz: float,
    rate_mmhg_per_s: np.ndarray | None = None,
    feet_s: np.ndarray | None = None,
) -> np.ndarray:
    """Driven cuff pressure (n, samples) [mmHg]; start_mmhg: (n,) its upper end. Rates are means over the whole.

    rate_mmhg_per_s: (n,) as `mean_rate` has it; feet_s: (n, k + 1) when the beats begin [s]; both are needed only where
    the valve follows the heart

    >>> course(np.array([180.0]), 3, Instrument(deflation_mmhg_per_s=3).spread(1), sampling_hz=1.0)
    array([[180., 177., 174.]])
    """
    time_s = np.arange(samples) / sampling_hz
    mean = mean_rate(instrument, np.full(len(start_mmhg), np.nan)) if rate_mmhg_per_s is None else rate_mmhg_per_s
    rate = mean[:, None]
    follows = by_beat(instrument)
    if follows.any():
        assert feet_s is not None
        time_s = np.tile(time_s, (len(start_mmhg), 1))
        clock_s = clock_at(feet_s, instrument, mean)
        for row in np.flatnonzero(follows):
            time_s[row] = np.interp(time_s[row], feet_s[row], clock_s[row])
    fallen = rate * time_s
    by_steps = instrument.course == "steps"
    if by_steps.any():
        shown_s = time_s[by_steps] if time_s.ndim == 2 else time_s
        step = instrument.step_mmhg[by_steps, None]
        each_s = step / rate[by_steps]
        whole, part = np.divmod(shown_s, each_s)
        quick_s = np.minimum(_STEP_S, each_s / 2)
        fallen[by_steps] = step * (whole + np.clip((part - (each_s - quick_s)) / quick_s, 0, 1))
    rising = instrument.course == "inflating"
    # A rise covers the same pressures: it ends where a fall would begin, and is worked out from there backwards.
    backwards = rising & follows
    fallen[backwards] = fallen[backwards, -1:] - fallen[backwards, ::-1]
    driven = start_mmhg[:, None] - fallen
    leak = _leak_per_s(instrument)
    leaks = leak != 0
    if leaks.any():
        driven[leaks] = _leaking(driven[leaks], leak[leaks, None], sampling_hz)
    driven[rising] = driven[rising, ::-1]
    return driven


def _held_in(rate_mmhg_per_s: np.ndarray) -> np.ndarray:
    """Rates that the valve can be set to."""
    return Instrument.LIMITS["deflation_mmhg_per_s"].within(rate_mmhg_per_s)


def _leak_per_s(instrument: Instrument) -> np.ndarray:
    """Share of the cuff's pressure that leaks out in a second, (n,) [1/s]; negative where time is counted backwards."""
    share = instrument.leak_mmhg_per_min / (60 * LEAK_AT_MMHG)
    return np.where(instrument.course == "inflating", -share, share)


def _leaking(closed_mmhg: np.ndarray, leak_per_s: np.ndarray, sampling_hz: float) -> np.ndarray:
    """The course (n, m) of a cuff that leaks, out of that of one that does not [mmHg]; leak_per_s: (n, 1).

    R[i + 1] = e R[i] - w (what the valve took), with e = exp(-k dt) and w = (1 - e) / (k dt), summed over time.
    """
    step = leak_per_s / sampling_hz
    left = np.exp(-step * np.arange(closed_mmhg.shape[1]))
    taken = np.diff(closed_mmhg, axis=1) * (-np.expm1(-step) / step) / left[:, 1:]
    found = np.repeat(closed_mmhg[:, :1], closed_mmhg.shape[1], axis=1)
    found[:, 1:] += np.cumsum(taken, axis=1)
    return found * left
